package session

import (
	"fmt"
	"slices"
	"time"

	"linkboy/cues"
	"linkboy/cues/timecode"
)

// Where time code comes from.
const (
	clockSource = "clock" // the session's own
	codeRoom    = 64      // labels that wait while a verb compiles: more than two seconds
)

// TimecodeRequest asks for something of the session's own clock of time code. At
// least one field is given.
type TimecodeRequest struct {
	Run *bool  `json:"run,omitempty"` // true runs on, false halts
	At  string `json:"at,omitempty"`  // "01:00:12:08": where it is to be
}

// heard is a label that came in.
type heard struct {
	source string
	code   timecode.Code
	at     time.Time
}

// timing is how cues with a time code are run: by the session's own clock while
// that runs, else by code that comes in.
//
// A cue runs when code comes to its time. On a jump nothing runs: the newest cue
// before that point stands by, and the next one waits for its time. Where several
// times have come at once, only the newest cue runs. Code that stops holds
// nothing: a fade that it began goes on. Hands come first: under work light, a
// kill or a fade that is held, code runs nothing, and its cue stands by.
type timing struct {
	cues   []*cues.Cue // of the location, that have a time, by time
	next   int         // the first of them whose time has not come
	before timecode.Code
	clock  timecode.Clock
	chase  timecode.Chase
	source string // whose code is chased
}

// TakeTimecode takes a label of time code that comes in from a source. It never
// waits; labels are lost when a verb compiles for more than two seconds.
func (s *Session) TakeTimecode(source string, code timecode.Code) {
	select {
	case s.codes <- heard{source, code, time.Now()}:
	default:
	}
}

// Timecode sets, runs or halts the session's own clock of time code. While it
// runs, code that comes in is not followed.
func (s *Session) Timecode(r TimecodeRequest) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	now := time.Now()
	t := &s.timing
	if r.At == "" && r.Run == nil {
		return refuse(Invalid, codeNoTarget, "nothing is asked of the time code clock", `say {"run": true}, {"run": false} or {"at": "01:00:00:00"}`)
	}
	clock := t.clock
	if r.At != "" {
		code, err := timecode.Parse(r.At, timecode.ForTimeline(s.show.Timeline))
		if bad, ok := err.(*timecode.LabelError); ok {
			return &Refusal{Code: cues.CodeBadTimecode, Message: fmt.Sprintf("%q is no time code: %s", r.At, bad.Why), Where: "at", Mend: bad.Mend, Kind: Invalid}
		}
		clock.Set(code, now, clock.Running())
	}
	if r.Run != nil {
		if *r.Run && clock.Now(now).IsZero() {
			return refuse(Conflict, codeNoTarget, "the time code clock has not been set", `set it as it starts: {"run": true, "at": "01:00:00:00"}`)
		}
		clock.Run(*r.Run, now)
	}
	t.clock = clock
	t.source = clockSource
	if r.At != "" || clock.Running() {
		s.jump(clock.Now(now))
	}
	s.changed()
	return nil
}

// hear takes a label that came in.
func (s *Session) hear(h heard) {
	s.mu.Lock()
	defer s.mu.Unlock()
	t := &s.timing
	if t.clock.Running() || t.source != h.source && t.source != clockSource && t.chase.Heard(h.at) {
		return // somebody else has the word
	}
	if t.source != h.source {
		t.source, t.chase = h.source, timecode.Chase{}
	}
	was := t.chase.Clock(h.at).Running()
	jumped := t.chase.Take(h.code, h.at)
	if jumped {
		s.jump(h.code)
	}
	if jumped || was != t.chase.Clock(h.at).Running() {
		s.hub.wake()
	}
}

// ticking is the clock that runs cues, whether it runs or not.
func (t *timing) ticking(now time.Time) *timecode.Clock {
	if t.source == clockSource {
		return &t.clock
	}
	return t.chase.Clock(now)
}

// timed takes the cue sheet of a location.
func (s *Session) timed(sheet []*cues.Cue) {
	t := &s.timing
	t.cues = nil
	for _, c := range sheet {
		if !c.Timecode.IsZero() {
			t.cues = append(t.cues, c)
		}
	}
	slices.SortStableFunc(t.cues, func(a, b *cues.Cue) int { return int(a.Timecode.Time() - b.Timecode.Time()) })
	t.arm(t.ticking(time.Now()).Now(time.Now()))
}

// arm makes the cues from a point on those that are still to come.
func (t *timing) arm(at timecode.Code) {
	t.before = at
	t.next = 0
	for t.next < len(t.cues) && t.cues[t.next].Timecode.Time() < at.Time() {
		t.next++
	}
}

// jump goes to a point without running anything: the newest cue before it
// stands by, or the first where none is. Where that one is on already, the one
// after it in the sheet does.
func (s *Session) jump(to timecode.Code) {
	t := &s.timing
	t.arm(to)
	if len(t.cues) == 0 {
		return
	}
	c := t.cues[max(t.next-1, 0)]
	if c.Number == s.now.cue {
		sheet := s.site.Load().loc.Cues
		c = sheet[c.Number%len(sheet)]
	}
	s.standBy(c)
}

// runTimed runs what the code has come to, and gives how long nothing is due.
// s.mu must be held.
func (s *Session) runTimed(now time.Time) time.Duration {
	t := &s.timing
	clock := t.ticking(now)
	if !clock.Running() || len(t.cues) == 0 {
		return never
	}
	at := clock.Now(now)
	if at.Frame() < t.before.Frame() && at.Sub(t.before) > 0 { // midnight
		s.runDue(t.cues[t.next:])
		t.next = 0
	}
	t.before = at
	from := t.next
	for t.next < len(t.cues) && clock.Until(t.cues[t.next].Timecode, now) <= 0 {
		t.next++
	}
	s.runDue(t.cues[from:t.next])
	if t.next == len(t.cues) {
		return clock.Midnight(now)
	}
	return clock.Until(t.cues[t.next].Timecode, now)
}

// runDue runs the newest of the cues whose time has come.
func (s *Session) runDue(due []*cues.Cue) {
	if len(due) == 0 {
		return
	}
	c := due[len(due)-1]
	if c.Number == s.now.cue && !s.now.killed && !s.now.work {
		return // somebody was quicker
	}
	snap := s.snapshot()
	if s.now.killed || s.now.work || s.rideable(snap) && snap.Held {
		s.standBy(c)
		s.note(s.timecodeTrigger(c), refuse(Conflict, codeHandsFirst, "time code runs nothing under a kill, work light or a held fade", "the cue stands by: run it by hand"))
		s.changed()
		return
	}
	err := s.runNumber(c.Number)
	if err != nil {
		s.log.Warn("a cue did not run at its time", "cue", c.Number, "timecode", c.Timecode, "location", s.site.Load().loc.Name, "error", err)
	}
	s.note(s.timecodeTrigger(c), err)
	s.changed()
}

// timecodeTrigger says whose code asked for a cue.
func (s *Session) timecodeTrigger(c *cues.Cue) Trigger {
	t := Trigger{Source: sourceTimecode, Command: Target{Cue: &c.Number}.String()}
	if s.timing.source != clockSource {
		t.From = s.timing.source
	}
	return t
}

// timecodeState tells of the code; s.mu must be held.
func (s *Session) timecodeState(now time.Time) Timecode {
	t := &s.timing
	clock := t.ticking(now)
	st := Timecode{Running: clock.Running(), Source: t.source, At: clock.Now(now).String()}
	if t.next < len(t.cues) {
		c := t.cues[t.next]
		st.Next = &TimecodeCue{Cue: c.Number, At: c.Timecode.String()}
		if st.Running {
			st.Next.InMS = new(max(clock.Until(c.Timecode, now), 0).Milliseconds())
		}
	}
	return st
}
