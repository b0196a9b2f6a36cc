package session

import (
	"time"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
)

// count is a cue that runs when somebody has counted it in.
//
// Hands come first: hold, ride, back, work light, kill, another cue, another
// stand-by and another location end the count, and its cue does not run. Back then
// takes back nothing but the count.
type count struct {
	target Target
	timing *compile.Timing // nil for that of the sheet
	length time.Duration
	due    time.Time
	beat   time.Duration // from one count to the next
	beats  bool          // they are beats of music, else seconds
}

// countIn makes a cue ready and counts it in. s.mu must be held.
func (s *Session) countIn(r CueRequest, k *standby, timing compile.Timing, given time.Time) error {
	if r.At != nil {
		return refuse(Invalid, codeNoTarget, "a ride cannot be counted in", "leave out at or count_in")
	}
	d, problem := showfile.ParseDuration(r.CountIn)
	if problem != nil {
		return refusalOf(problem, "count_in")
	}
	clock := s.clock()
	length, err := d.Real(clock)
	if err != nil {
		return refusalOf(err, "count_in")
	}
	c := &count{target: r.Target, length: length, due: given.Add(length), beat: time.Second}
	if d.Unit == cues.Beats || d.Unit == cues.Bars {
		if c.beat, err = (cues.Duration{Amount: 1, Unit: cues.Beats, OnScreen: d.OnScreen}).Real(clock); err != nil {
			return refusalOf(err, "count_in")
		}
		c.beats = true
	}
	if r.overrides() {
		c.timing = &timing
	}
	k.timing, k.fade = timing, nil
	s.standby, s.count, s.follow = k, c, nil
	s.wantReady()
	s.changed()
	return nil
}

// countDown runs the cue whose count is over, and gives how long nothing is due.
// s.mu must be held.
func (s *Session) countDown(now time.Time) time.Duration {
	c := s.count
	if c == nil {
		return never
	}
	if in := c.due.Sub(now); in > 0 {
		return in
	}
	s.count = nil
	err := s.runCounted(c)
	s.note(Trigger{Source: sourceCount, Command: c.target.String()}, err)
	s.changed()
	return never
}

func (s *Session) runCounted(c *count) error {
	k, err := s.target(c.target)
	if err != nil {
		return err
	}
	if c.timing != nil {
		k.timing = *c.timing
	}
	next := change{look: k.look, cue: k.cue, still: k.still, dark: k.dark, timing: k.timing}
	if ready := s.standby; ready != nil && ready.cue == k.cue && ready.look == k.look && ready.timing == k.timing {
		next.fade = ready.fade
	}
	return s.runCue(next)
}

// endCount ends a count before its time and tells whether there was one. s.mu must
// be held.
func (s *Session) endCount() bool {
	was := s.count != nil
	s.count = nil
	return was
}

// countState tells of the count; s.mu must be held.
func (s *Session) countState(now time.Time) *Counting {
	c := s.count
	if c == nil {
		return nil
	}
	st := &Counting{
		Look: c.target.Look, Remaining: ms(max(c.due.Sub(now), 0)), Total: ms(c.length), Beat: ms(c.beat), Beats: c.beats,
	}
	if c.target.Cue != nil {
		st.Cue = *c.target.Cue
		if cue, err := s.site.Load().cue(st.Cue); err == nil {
			st.Look = cue.Look
		}
	}
	return st
}

// ms gives a time in milliseconds, to the microsecond.
func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
