package session

import (
	"fmt"
	"time"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/play"
	"linkboy/cues/track"
)

// How a lamp is pointed at: it comes up in half a second, and what was on comes
// back in one, so that neither is a flash. From one lamp to the next there are
// at least pointApart, which leaves under three pairs of changes in a second
// however fast somebody presses. It ends by itself after pointFor.
const (
	pointOn    = 500 * time.Millisecond
	pointApart = 350 * time.Millisecond
	pointFor   = 2 * time.Minute
	// leastOverall is the overall under which nobody would see it.
	leastOverall = 0.10
)

// pointing is a lamp that is pointed at.
type pointing struct {
	lamp  string // in the rig
	dim   bool   // the others go down
	base  track.Still
	still track.Still // what is on for it
	begun time.Time
}

// Point lets one lamp of the rig stand out, so that a person finds it: its first
// cell in a white that hurts nobody, its other cells in a quarter of that. Other
// lamps keep what they have, at rest, or go down with dim, though never under
// floor light. It covers what is on as work light does; "" ends it, as every
// cue, work light, kill and roll does, and two minutes. A hot set, a kill and
// work light refuse it.
func (s *Session) Point(lamp string, dim bool) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if lamp == "" {
		if s.now.pointing == nil {
			return nil
		}
		if err := s.endPoint(); err != nil {
			return err
		}
		s.settle()
		s.changed()
		return nil
	}
	if err := s.beginPoint(lamp, dim, time.Now()); err != nil {
		return err
	}
	s.settle()
	s.changed()
	return nil
}

func (s *Session) beginPoint(lamp string, dim bool, now time.Time) error {
	if err := s.mayPoint(now); err != nil {
		return err
	}
	site := s.site.Load()
	l, err := site.rigLamp(lamp)
	if err != nil {
		return err
	}
	base, under := s.restsOn(), s.now.under
	if p := s.now.pointing; p != nil {
		base = p.base
	} else {
		under = s.covered()
	}
	still := site.place.Pointed(l, base, dim)
	if still == nil {
		return &Refusal{Code: codeNoLight, Message: fmt.Sprintf("%s gives no light that could be pointed with", lamp), Where: "lamp", Mend: "look at it yourself, or have it show itself by RDM", Kind: Conflict}
	}
	from := s.leaving(false, s.snapshot())
	if err := s.start(nil, still, compile.Timing{Fade: pointOn}, play.StartOptions{}, from, pointName(lamp)); err != nil {
		return err
	}
	s.now.dark = false // somebody walks to that lamp
	s.now.under, s.pointed = under, now
	s.now.pointing = &pointing{lamp: lamp, dim: dim, base: base, still: still, begun: now}
	return nil
}

// mayPoint refuses where pointing would disturb people or show nothing.
func (s *Session) mayPoint(now time.Time) error {
	switch {
	case s.hot:
		return refuse(Conflict, codeHot, "the set is hot: no lamp is pointed at", "cut first")
	case s.now.killed:
		return refuse(Conflict, codeKilled, "all is killed", `bring the light back first, with {"on": false} to kill or with work light`)
	case s.now.work:
		return refuse(Conflict, codeWorkLit, "work light is on", "turn work light off first, when nobody needs it")
	case s.now.overall < leastOverall:
		return refuse(Conflict, codeTooDim, fmt.Sprintf("overall is at %.0f %%: nobody would see it", 100*s.now.overall), "raise overall first")
	case now.Sub(s.pointed) < pointApart:
		return refuse(Conflict, codeTooSoon, "the lamp before has only just come up", "wait a moment: lamps that flip faster than three times a second can bring on seizures")
	}
	return nil
}

// restsOn gives what other lamps keep while one is pointed at: where the look
// is, or what they have now where a fade is cut short. s.mu must be held.
func (s *Session) restsOn() track.Still {
	if snap := s.snapshot(); s.running(snap) && len(snap.Still) == len(s.now.still) {
		return append(track.Still(nil), snap.Still...)
	}
	return s.now.still
}

// endPoint brings back what the lamp that is pointed at covers.
func (s *Session) endPoint() error {
	if err := s.start(nil, s.beneath(), compile.Timing{Fade: workOff}, s.startOf(), pointName(s.now.pointing.lamp), s.now.look); err != nil {
		return err
	}
	s.now.pointing, s.now.under = nil, nil
	return nil
}

// pointOut ends what is pointed at when its time is over, and gives how long
// nothing is due. s.mu must be held.
func (s *Session) pointOut(now time.Time) time.Duration {
	p := s.now.pointing
	if p == nil {
		return never
	}
	if in := p.begun.Add(pointFor).Sub(now); in > 0 {
		return in
	}
	if err := s.endPoint(); err != nil {
		s.log.Warn("a lamp that was pointed at does not go back", "lamp", p.lamp, "error", err)
		s.now.pointing = nil
	}
	s.changed()
	return never
}

// pointedAt gives what a lamp that is pointed at looks like at a site that takes
// the place of this one; nil where it is not there any more.
func (s *Session) pointedAt(r *renewal) track.Still {
	p := s.now.pointing
	l := r.next.loc.Lamp(p.lamp)
	if l == nil {
		return nil
	}
	base := r.kept(p.base, s.shownAt(r.next))
	return r.next.place.Pointed(l, base, p.dim)
}

// carryPointing takes a lamp that is pointed at to the new site. s.mu must be held.
func (s *Session) carryPointing(r *renewal) {
	p := s.now.pointing
	if p == nil {
		return
	}
	still := s.pointedAt(r)
	if still == nil {
		s.now.pointing, s.now.under = nil, nil
		return
	}
	moved := *p
	moved.base, moved.still = r.kept(p.base, s.shownAt(r.next)), still
	s.now.pointing = &moved
}

// overlaid tells whether work light or a lamp that is pointed at is on instead of
// the look.
func (n *now) overlaid() bool { return n.work || n.pointing != nil }

// pointName stands for a lamp that is pointed at where the name of a look is told.
func pointName(lamp string) string { return "pointing at " + lamp }

// rigLamp finds a lamp of the rig.
func (s *site) rigLamp(name string) (*cues.RigLamp, error) {
	if l := s.loc.Lamp(name); l != nil {
		return l, nil
	}
	var known []string
	for _, l := range s.loc.Rig {
		known = append(known, l.ID)
	}
	return nil, &Refusal{Code: cues.CodeUnknownLamp, Message: fmt.Sprintf("no lamp stands at %q here", name), Where: "lamp", Mend: nearest(name, known, "lamps"), Kind: Unknown}
}

// pointState names the lamp that is pointed at; nil for none. s.mu must be held.
func (s *Session) pointState(now time.Time) *Pointing {
	p := s.now.pointing
	if p == nil {
		return nil
	}
	return &Pointing{Lamp: p.lamp, Dim: p.dim, LeftMS: max(p.begun.Add(pointFor).Sub(now), 0).Milliseconds()}
}
