package session

import (
	"context"
	"time"

	"linkboy/cues/play"
)

// follow is a cue that will run by itself: so long after the fade before it
// has ended.
type follow struct {
	cue   int
	after time.Duration
	fade  uint64 // that must end first

	ended  bool // it has
	due    time.Time
	paused bool // held while it waits
	left   time.Duration
}

// followOf gives the follow that a cue of the sheet arms, nil for none.
func (s *Session) followOf(cue int) (*follow, error) {
	site := s.site.Load()
	if cue < 1 || cue >= len(site.loc.Cues) {
		return nil, nil
	}
	next := site.loc.Cues[cue]
	if next.After == nil {
		return nil, nil
	}
	after, err := next.After.Real(s.clock())
	if err != nil {
		return nil, refusalOf(err, next.At.String())
	}
	return &follow{cue: next.Number, after: after}, nil
}

// waits tells whether a follow cue is counting down or paused.
func (s *Session) waits() bool { return s.follow != nil && s.follow.ended }

// in tells how long it is until the follow runs, if nobody holds.
func (f *follow) in(now time.Time, remaining time.Duration) time.Duration {
	switch {
	case f.paused:
		return f.left
	case f.ended:
		return max(f.due.Sub(now), 0)
	}
	return remaining + f.after
}

// mind turns events and time into what they cause: it owns every timer of the
// session.
func (s *Session) mind(ctx context.Context) {
	timer := time.NewTimer(time.Hour)
	defer timer.Stop()
	for {
		timer.Reset(s.due(time.Now()))
		select {
		case <-ctx.Done():
			return
		case ev := <-s.engine.Events():
			s.heed(ev)
		case h := <-s.codes:
			s.hear(h)
		case <-s.poke:
		case <-timer.C:
		}
	}
}

// heed takes an event of the engine.
func (s *Session) heed(ev play.Event) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if f := s.follow; f != nil && ev.Kind == play.Done && ev.FadeID == f.fade {
		f.ended, f.due = true, ev.At.Add(f.after)
	}
	if ev.Kind == play.Done {
		s.noteSettled(ev.FadeID)
	}
	s.hub.wake()
}

// due does what the time has come for and gives how long nothing is due.
func (s *Session) due(now time.Time) time.Duration {
	s.mu.Lock()
	defer s.mu.Unlock()
	wait := min(s.glideOn(now), s.runTimed(now), s.takeRests(now), s.countDown(now), s.pointOut(now))
	f := s.follow
	if f == nil || !f.ended || f.paused {
		return wait
	}
	if in := f.due.Sub(now); in > 0 {
		return min(wait, in)
	}
	s.follow = nil
	err := s.runNumber(f.cue)
	if err != nil {
		s.log.Warn("a cue did not follow", "cue", f.cue, "location", s.site.Load().loc.Name, "error", err)
	}
	s.note(Trigger{Source: sourceFollow, Command: Target{Cue: &f.cue}.String()}, err)
	s.changed()
	return min(wait, s.glideOn(now))
}

// runNumber runs a cue of the sheet as it is written there.
func (s *Session) runNumber(number int) error {
	cue, err := s.site.Load().cue(number)
	if err != nil {
		return err
	}
	k, err := s.standbyOf(cue)
	if err != nil {
		return err
	}
	c := change{look: k.look, cue: k.cue, still: k.still, motion: k.motion, dark: k.dark, timing: k.timing}
	if s.standby != nil && s.standby.cue == number {
		c.fade = s.standby.fade
	}
	return s.runCue(c)
}
