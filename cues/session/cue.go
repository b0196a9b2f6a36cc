package session

import (
	"fmt"
	"strings"
	"time"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
)

// Cue runs a look or a cue of the sheet. With At the fade is made, put there
// and held; while it runs, the same target with another At only moves it. With
// CountIn it stands by and runs when that is over.
func (s *Session) Cue(r CueRequest) error {
	given := time.Now()
	if err := checkShare("at", r.At); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	k, err := s.target(r.Target)
	if err != nil {
		return err
	}
	if r.CountIn != "" {
		timing, err := s.retime(k.timing, r)
		if err != nil {
			return err
		}
		return s.countIn(r, k, timing, given)
	}
	if r.At != nil && s.runsTo(k) {
		if err := s.engine.Ride(*r.At); err != nil {
			return stopped(err)
		}
		s.settle()
		s.changed()
		return nil
	}
	c := k.change()
	c.fade, c.at = nil, r.At
	if ready := s.standby; ready != nil && ready.cue == k.cue && ready.look == k.look {
		c.fade = ready.fade
	}
	if r.overrides() {
		if c.timing, err = s.retime(k.timing, r); err != nil {
			return err
		}
		c.fade = nil
	}
	if err := s.runCue(c); err != nil {
		return err
	}
	s.settle()
	s.changed()
	return nil
}

// runCue makes a change, arms the cue that follows it and moves the stand-by
// on. s.mu must be held.
func (s *Session) runCue(c change) error {
	next, err := s.followOf(c.cue)
	if err != nil {
		return err
	}
	if err := s.run(c); err != nil {
		return err
	}
	if next != nil {
		next.fade = s.now.fadeID
		s.follow = next
	}
	s.advance(c.cue, c.look)
	return nil
}

// runsTo tells whether the running fade is on its way to k.
func (s *Session) runsTo(k *standby) bool {
	return s.now.look == k.look && s.now.cue == k.cue && s.now.fadeTo == k.look &&
		!s.now.killed && !s.now.work && s.running(s.snapshot())
}

// target finds what a request names, with the timing of the sheet.
func (s *Session) target(t Target) (*standby, error) {
	site := s.site.Load()
	switch {
	case t.Look != "" && t.Cue != nil:
		return nil, refuse(Invalid, codeNoTarget, "both a look and a cue are named", "name one of them")
	case t.Cue != nil:
		cue, err := site.cue(*t.Cue)
		if err != nil {
			return nil, err
		}
		return s.standbyOf(cue)
	case t.Look != "" && s.standby != nil && s.standby.shot != nil && s.standby.look == t.Look:
		return s.standby, nil
	case t.Look != "":
		k, err := site.look(t.Look)
		if err != nil {
			return nil, err
		}
		return &standby{look: t.Look, still: k.still, motion: k.motion, note: k.look.Note}, nil
	}
	return nil, refuse(Invalid, codeNoTarget, "neither a look nor a cue is named", `name one: {"look": NAME} or {"cue": NUMBER}`)
}

func (r *CueRequest) overrides() bool {
	return r.Fade != "" || r.Delay != "" || r.Curve != "" || r.Path != "" || r.Spread != ""
}

// retime puts the times and words of a request over the timing of the sheet.
func (s *Session) retime(t compile.Timing, r CueRequest) (compile.Timing, error) {
	var err error
	if r.Fade != "" {
		if t.Fade, err = s.duration(r.Fade, "fade"); err != nil {
			return t, err
		}
	}
	if r.Delay != "" {
		if t.Delay, err = s.duration(r.Delay, "delay"); err != nil {
			return t, err
		}
	}
	if r.Curve != "" {
		t.Curve = cues.Curve(r.Curve)
	}
	if r.Path != "" {
		t.Path = cues.Path(r.Path)
	}
	if r.Spread != "" {
		over, along, named := strings.Cut(r.Spread, " along ")
		if t.Spread, err = s.duration(over, "spread"); err != nil {
			return t, err
		}
		if named { // else along what the sheet says
			t.Along = strings.TrimSpace(along)
		}
	}
	return t, nil
}

// duration reads a time of a request by the clock of the place.
func (s *Session) duration(text, field string) (time.Duration, error) {
	d, problem := showfile.ParseDuration(text)
	if problem != nil {
		return 0, refusalOf(problem, field)
	}
	real, err := d.Real(s.clock())
	if err != nil {
		return 0, refusalOf(err, field)
	}
	return real, nil
}

// checkShare refuses a share outside 0..1.
func checkShare(field string, v *float64) error {
	if v == nil || *v >= 0 && *v <= 1 {
		return nil
	}
	return &Refusal{Code: cues.CodeOutOfRange, Message: fmt.Sprintf("%q is %g", field, *v), Where: field, Mend: "give a share from 0 to 1", Kind: Invalid}
}
