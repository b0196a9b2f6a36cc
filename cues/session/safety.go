package session

import (
	"fmt"
	"math"
	"time"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/play"
	"linkboy/cues/showfile"
	"linkboy/cues/track"
)

// workName stands for work light where the name of a look is told.
const workName = "work light"

// How long work light takes to come and to go, and light to come back.
const (
	workOn     = 500 * time.Millisecond
	workOff    = time.Second
	killBack   = time.Second
	glideSteps = time.Second / play.DefaultRate
)

// WorkLight switches work light on or off; nil the other way. It comes in half
// a second, at its own level whatever overall says, and goes back to what was
// on in one. It ends a kill.
func (s *Session) WorkLight(on *bool) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	want := !s.now.work || s.now.killed
	if on != nil {
		want = *on
	}
	if want && s.endCount() {
		s.changed()
	}
	if want == (s.now.work && !s.now.killed) {
		return nil
	}
	err := error(nil)
	if want {
		err = s.beginWork()
	} else {
		err = s.endWork()
	}
	if err != nil {
		return err
	}
	s.settle()
	s.changed()
	return nil
}

func (s *Session) beginWork() error {
	under := s.now.under
	if !s.now.overlaid() && !s.now.killed {
		under = s.covered()
	}
	work := s.site.Load().place.Work()
	from := s.leaving(false, s.snapshot())
	if err := s.start(nil, work, compile.Timing{Fade: workOn}, play.StartOptions{}, from, workName); err != nil {
		return err
	}
	s.now.work, s.now.killed, s.now.under, s.now.pointing = true, false, under, nil
	s.glideTo(1, workOn)
	return nil
}

func (s *Session) endWork() error {
	if s.now.killed { // work light was killed: what it covers comes back from the dark
		return s.endKill()
	}
	s.now.dark = false // people have moved since the dark cue was announced
	if err := s.start(nil, s.beneath(), compile.Timing{Fade: workOff}, s.startOf(), workName, s.now.look); err != nil {
		return err
	}
	s.leaveWork()
	return nil
}

// leaveWork forgets work light and lets overall count again.
func (s *Session) leaveWork() {
	s.now.under = nil
	if s.now.work {
		s.now.work = false
		s.glideTo(s.now.overall, workOff)
	}
}

// covered gives what is on, to come back to, when it is not where the look
// goes: a fade that a person holds.
func (s *Session) covered() track.Still {
	if snap := s.snapshot(); s.running(snap) && snap.Held && len(snap.Still) == len(s.now.still) {
		s.now.short += snap.Remaining
		return append(track.Still(nil), snap.Still...)
	}
	return nil
}

// beneath gives what work light or a kill covers.
func (s *Session) beneath() track.Still {
	if s.now.under != nil {
		return s.now.under
	}
	return s.now.still
}

// Kill turns everything off at once; with false, what was on comes back in a
// second. It does not wait for another verb that still compiles.
func (s *Session) Kill(on bool) error {
	if on {
		if err := s.engine.Kill(true); err != nil {
			return stopped(err)
		}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if on && s.endCount() {
		s.changed()
	}
	if on == s.now.killed {
		return nil
	}
	if !on {
		if err := s.endKill(); err != nil {
			return err
		}
		s.settle()
		s.changed()
		return nil
	}
	snap := s.snapshot()
	if !s.now.overlaid() {
		s.now.under = s.covered()
	}
	s.now.pointing = nil
	s.flip(s.onSet(snap), s.site.Load().place.Dark(), nil)
	if err := s.engine.Kill(true); err != nil { // again: a verb in between may have ended it
		return stopped(err)
	}
	s.now.killed, s.follow, s.count, s.trying = true, nil, nil, ""
	s.settle()
	s.changed()
	return nil
}

// endKill brings back what was on: the look, or the work light.
func (s *Session) endKill() error {
	s.now.dark = false // people have moved since the dark cue was announced
	to, name, opt := s.beneath(), s.now.look, s.startOf()
	if s.now.work {
		to, name, opt = s.site.Load().place.Work(), workName, play.StartOptions{}
	}
	if err := s.start(nil, to, compile.Timing{Fade: killBack}, opt, "", name); err != nil {
		return err
	}
	s.now.killed = false
	if !s.now.work {
		s.now.under = nil
	}
	return nil
}

// Overall sets the level over the whole output: "80%" or "-1 stops". Under
// work light it waits until that is off.
func (s *Session) Overall(level string) error {
	l, problem := showfile.ParseLevel(level)
	if problem != nil {
		return refusalOf(problem, "level")
	}
	v := l.Value
	switch l.Kind {
	case cues.Share:
	case cues.StopsFromFull:
		v = math.Exp2(l.Value)
	default:
		return &Refusal{Code: cues.CodeBadLevel, Message: fmt.Sprintf("%q is no level for everything", level), Where: "level", Mend: "write it like 80% or -1 stops"}
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.now.overall = v
	if !s.now.work {
		s.glide = glide{}
		if err := s.engine.Overall(v); err != nil {
			return stopped(err)
		}
	}
	s.settle()
	s.changed()
	return nil
}

// Dry starts or ends a dry run: everything runs, nothing is sent.
func (s *Session) Dry(on bool) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if err := s.engine.Dry(on); err != nil {
		return stopped(err)
	}
	s.now.dry = on
	s.settle()
	s.changed()
	return nil
}
