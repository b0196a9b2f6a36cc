package session

import (
	"path/filepath"
	"time"

	"linkboy/cues/play"
)

// State gives what runs now.
func (s *Session) State() State {
	s.mu.Lock()
	defer s.mu.Unlock()
	snap := s.snapshot()
	site := s.site.Load()
	now := time.Now()
	st := State{
		Show: site.showName(), Title: site.show().Title, Location: site.loc.Name, Setup: site.setupName(),
		Look: s.now.look, Held: s.rideable(snap) && snap.Held || s.waits() && s.follow.paused || s.moves(snap) && snap.Frozen,
		Moving: snap.Moving && !s.now.killed,
		Killed: s.now.killed, Work: s.now.work, Dry: s.now.dry, Hot: s.hot, Waiting: s.waiting, Trying: s.trying, Overall: s.now.overall,
		Fade: s.fadeState(snap), CanBack: s.canBack(), Nodes: []Node{}, Output: s.output(snap),
		Warnings: s.warnings(snap), Light: s.lightState(), Revision: s.revision, Timecode: s.timecodeState(now),
		Counting: s.countState(now), Tempo: s.tempoState(), Last: s.lastState(now),
		Pointing: s.pointState(now),
	}
	s.takeState(&st)
	if k := s.standby; k != nil {
		st.Standby = &Standby{Cue: k.cue, Look: k.look, FadeMS: k.timing.Fade.Milliseconds(), Note: k.note}
	}
	if f := s.follow; f != nil {
		remaining := time.Duration(0)
		if s.running(snap) {
			remaining = snap.Remaining
		}
		st.Follow = &Follow{Cue: f.cue, InMS: f.in(now, remaining).Milliseconds()}
	}
	return st
}

// showName is the folder of the show, the title of one in memory.
func (s *site) showName() string {
	if s.show().Dir == "" {
		return s.show().Title
	}
	dir := s.show().Dir
	if abs, err := filepath.Abs(dir); err == nil {
		dir = abs // "." has a name too
	}
	return filepath.Base(dir)
}

func (s *Session) fadeState(snap *play.Snapshot) *Fade {
	if !s.running(snap) || s.now.killed {
		return nil
	}
	return &Fade{
		From: s.now.fadeFrom, To: s.now.fadeTo, Progress: snap.Progress,
		RemainingMS: snap.Remaining.Milliseconds(), TotalMS: snap.Total.Milliseconds(),
	}
}

// canBack names the look that back goes to; nil when there is none.
func (s *Session) canBack() *string {
	look := s.before.look
	if s.now.overlaid() || s.now.killed {
		look = s.now.look
	}
	if look == "" {
		return nil
	}
	return &look
}

func (s *Session) output(snap *play.Snapshot) Output {
	late := &snap.Late
	return Output{
		Frames: snap.Frame, Rate: s.rate, Skipped: late.Skipped, SkippedMinute: late.Minute.Skipped,
		LateUSP50: late.Frames.P50.Microseconds(), LateUSP99: late.Frames.P99.Microseconds(), LateUSMax: late.Frames.Max.Microseconds(),
		FirstUSP99: late.First.P99.Microseconds(), Universes: len(snap.Addresses), SendErrors: snap.SendErrors,
		Late: late.Frames.Ever, First: late.First.Ever,
	}
}
