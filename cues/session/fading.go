package session

import (
	"time"

	"linkboy/cues/compile"
	"linkboy/cues/play"
)

// rideable tells whether a fade runs that a person may hold or ride. Work light
// comes whatever a thumb does, and under a kill there is nothing to see.
func (s *Session) rideable(snap *play.Snapshot) bool {
	return s.running(snap) && !s.now.overlaid() && !s.now.killed
}

// moves tells whether something moves that a person may hold.
func (s *Session) moves(snap *play.Snapshot) bool {
	return snap.Moving && !s.now.overlaid() && !s.now.killed
}

// Hold freezes the running fade where it is; when none runs, it stops the
// clock of the cue that would follow. What moves in the look stands still in
// either case. Where a cue is counted in and no fade runs, it only ends the count.
func (s *Session) Hold() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	snap := s.snapshot()
	counted := s.endCount()
	rides, moves := s.rideable(snap), s.moves(snap) && !counted
	if !rides && !moves && !s.waits() && !counted {
		return refuse(Conflict, codeNothingRuns, "nothing runs that could be held", "run a cue first")
	}
	if rides || moves {
		if err := s.engine.Hold(); err != nil {
			return stopped(err)
		}
	}
	if !rides && s.waits() {
		if f := s.follow; !f.paused {
			f.paused, f.left = true, max(time.Until(f.due), 0)
		}
	}
	s.settle()
	s.changed()
	return nil
}

// Resume lets what is held run on.
func (s *Session) Resume() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	snap := s.snapshot()
	held, frozen, paused := s.rideable(snap) && snap.Held, s.moves(snap) && snap.Frozen, s.waits() && s.follow.paused
	if !held && !frozen && !paused {
		return refuse(Conflict, codeNotHeld, "nothing is held", "hold a running fade first")
	}
	if held || frozen {
		if err := s.engine.Resume(); err != nil {
			return stopped(err)
		}
	}
	if paused {
		s.follow.paused, s.follow.due = false, time.Now().Add(s.follow.left)
	}
	s.settle()
	s.changed()
	return nil
}

// Ride puts the running fade at a progress, 0..1, and holds it there.
func (s *Session) Ride(at float64) error {
	if err := checkShare("at", &at); err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.endCount()
	if !s.rideable(s.snapshot()) {
		return refuse(Conflict, codeNothingRuns, "no fade runs that could be ridden", `start one with {"cue": NUMBER, "at": 0}`)
	}
	if err := s.engine.Ride(at); err != nil {
		return stopped(err)
	}
	s.settle()
	s.changed()
	return nil
}

// Snap ends the running fade now; when none runs it runs the stand-by in no
// time. Under a kill it is refused.
func (s *Session) Snap() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	snap := s.snapshot()
	if s.running(snap) && !s.now.killed {
		to, motion := s.now.still, s.now.motion
		switch {
		case s.now.work:
			to, motion = s.site.Load().place.Work(), nil
		case s.now.pointing != nil:
			to, motion = s.now.pointing.still, nil
		}
		s.flip(snap.Still, to, motion)
		if err := s.engine.Snap(); err != nil {
			return stopped(err)
		}
		s.settle()
		s.changed()
		return nil
	}
	k := s.standby
	switch {
	case s.now.killed:
		// A stand-by at full in no time is no way out of the dark.
		return refuse(Conflict, codeNothingRuns, "all is killed: there is no fade to end", `bring the light back with {"on": false} to kill, with work light or with a cue`)
	case k == nil:
		return refuse(Conflict, codeNoStandby, "nothing runs and nothing stands by", "run a cue, or stand one by first")
	case k.still == nil:
		return refuse(Conflict, codeNoStandby, k.note, "mend the show, or stand another cue by")
	}
	c := k.change()
	c.timing, c.fade = compile.Timing{}, nil
	if err := s.runCue(c); err != nil {
		return err
	}
	s.settle()
	s.changed()
	return nil
}

// Back goes back: in a fade it turns round to the look it came from, in the time
// that has gone and by the path that it came, and where it began in the middle
// of another fade or of this turn, also in the time that one still had to go;
// settled, it goes to the look before in the time of the cue that left it. From work light, a lamp
// that is pointed at or a kill it goes to what they cover. While
// a cue is counted in it only ends the count.
func (s *Session) Back() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	counted := s.endCount()
	var err error
	switch {
	case s.now.killed:
		err = s.endKill()
	case s.now.work:
		err = s.endWork()
	case s.now.pointing != nil:
		err = s.endPoint()
	case counted:
	default:
		err = s.turnBack()
	}
	if err != nil {
		return err
	}
	s.settle()
	s.changed()
	return nil
}

func (s *Session) turnBack() error {
	b := s.before
	if !b.known || b.look == "" {
		return refuse(Conflict, codeNoWayBack, "there is no look before this one", "run a look first")
	}
	snap := s.snapshot()
	left := s.now.cue
	timing := b.timing
	turning := s.turns(snap)
	if turning {
		timing = compile.Timing{Fade: s.wayBack(snap), Curve: b.timing.Curve, Path: b.timing.Path}
		if b.way == 0 {
			timing.Path = b.timing.PathBack(snap.Progress)
		}
	}
	if err := s.run(change{look: b.look, cue: b.cue, still: b.still, motion: b.motion, goOn: true, dark: b.dark, timing: timing, shot: b.shot, overall: b.overall}); err != nil {
		return err
	}
	if turning {
		s.before.timing = b.timing // forward again in the time of its cue
	}
	if b.cue > 0 {
		s.advance(b.cue, b.look)
	} else if left > 0 {
		s.standBy(s.site.Load().loc.Cues[left-1])
	}
	return nil
}

// startOf gives the options of a fade that ends in the look that is on.
func (s *Session) startOf() play.StartOptions {
	return play.StartOptions{Dark: s.now.dark, Motion: s.now.motion, GoOn: true}
}
