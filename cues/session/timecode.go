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
	// Jam sets the clock to the code that comes in and runs it on from there by itself.
	Jam bool `json:"jam,omitempty"`
	// Offset is added to code, the clock's and others', before cues are looked up:
	// "+00:00:10:00", "-01:00:00:00"; "+00:00:00:00" for none.
	Offset string `json:"offset,omitempty"`
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
	chased string // whose code is chased
	source string // whose code runs cues: chased, or the clock
	offset time.Duration
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
	if r.At == "" && r.Run == nil && !r.Jam && r.Offset == "" {
		return refuse(Invalid, codeNoTarget, "nothing is asked of the time code clock", `say {"run": true}, {"run": false} or {"at": "01:00:00:00"}`)
	}
	if r.Jam && (r.At != "" || r.Run != nil) {
		return refuse(Invalid, codeNoTarget, "a clock that is jammed runs from where code is", "leave out at and run")
	}
	offset, err := s.offsetOf(r.Offset)
	if err != nil {
		return err
	}
	clock, err := s.clockOf(r, now)
	if err != nil {
		return err
	}
	// A jam goes on where code is: nothing is elsewhere than it was, if code ran cues.
	moved := offset != t.offset || r.At != "" || r.Run != nil && clock.Running() || r.Jam && t.source != t.chased
	t.clock, t.offset = clock, offset
	if r.At != "" || r.Run != nil || r.Jam {
		t.source = clockSource
	}
	if at := s.codeNow(now); moved && !at.IsZero() {
		s.jump(at)
	}
	s.changed()
	return nil
}

// clockOf gives the clock as a request wants it.
func (s *Session) clockOf(r TimecodeRequest, now time.Time) (timecode.Clock, error) {
	t := &s.timing
	clock := t.clock
	if r.Jam {
		if !t.chase.Heard(now) {
			return clock, refuse(Conflict, codeNoTarget, "no time code comes in that the clock could be jammed to", `let it run, or set the clock: {"run": true, "at": "01:00:00:00"}`)
		}
		clock.Set(t.chase.Clock(now).Now(now), now, true)
		return clock, nil
	}
	if r.At != "" {
		code, err := s.label(r.At, "at")
		if err != nil {
			return clock, err
		}
		clock.Set(code, now, clock.Running())
	}
	if r.Run != nil {
		if *r.Run && clock.Now(now).IsZero() {
			return clock, refuse(Conflict, codeNoTarget, "the time code clock has not been set", `set it as it starts: {"run": true, "at": "01:00:00:00"}`)
		}
		clock.Run(*r.Run, now)
	}
	return clock, nil
}

// label reads a label of a request.
func (s *Session) label(text, field string) (timecode.Code, error) {
	code, err := timecode.Parse(text, timecode.ForTimeline(s.Show().Timeline))
	if bad, ok := err.(*timecode.LabelError); ok {
		return code, &Refusal{Code: cues.CodeBadTimecode, Message: fmt.Sprintf("%q is no time code: %s", text, bad.Why), Where: field, Mend: bad.Mend, Kind: Invalid}
	}
	return code, nil
}

// offsetOf reads an offset; "" leaves the one there is.
func (s *Session) offsetOf(text string) (time.Duration, error) {
	if text == "" {
		return s.timing.offset, nil
	}
	sign, rest := time.Duration(1), text
	switch text[0] {
	case '-':
		sign, rest = -1, text[1:]
	case '+':
		rest = text[1:]
	}
	code, err := s.label(rest, "offset")
	return sign * code.Time(), err
}

// hear takes a label that came in.
func (s *Session) hear(h heard) {
	s.mu.Lock()
	defer s.mu.Unlock()
	t := &s.timing
	if t.chased != h.source {
		if t.chase.Heard(h.at) {
			return // somebody else has the word
		}
		t.chased, t.chase = h.source, timecode.Chase{}
	}
	was := t.chase.Clock(h.at).Running()
	jumped := t.chase.Take(h.code, h.at)
	if t.clock.Running() {
		return // it is heard, to be jammed to
	}
	if t.source != h.source {
		t.source, jumped = h.source, true
	}
	if jumped {
		s.jump(s.codeNow(h.at))
	}
	if jumped || was != t.chase.Clock(h.at).Running() {
		s.hub.wake()
	}
}

// ticking is the clock that runs cues, whether it runs or not.
func (t *timing) ticking(now time.Time) timecode.Clock {
	clock := t.clock
	if t.source != clockSource {
		clock = *t.chase.Clock(now)
	}
	return clock.Moved(t.offset)
}

// codeNow is the code that cues are looked up by.
func (s *Session) codeNow(now time.Time) timecode.Code {
	clock := s.timing.ticking(now)
	return clock.Now(now)
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
	now := time.Now()
	clock := t.ticking(now)
	t.arm(clock.Now(now))
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
	if c.Number == s.now.cue && !s.now.killed && !s.now.overlaid() {
		return // somebody was quicker
	}
	snap := s.snapshot()
	if s.now.killed || s.now.overlaid() || s.rideable(snap) && snap.Held {
		s.standBy(c)
		s.note(s.timecodeTrigger(c), refuse(Conflict, codeHandsFirst, "time code runs nothing under a kill, work light, a held fade or while a lamp is pointed at", "the cue stands by: run it by hand"))
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
	st := Timecode{Running: clock.Running(), Source: t.source, At: clock.Now(now).String(), Offset: offsetText(t.offset, clock.Now(now).Rate)}
	if t.next < len(t.cues) {
		c := t.cues[t.next]
		st.Next = &TimecodeCue{Cue: c.Number, At: c.Timecode.String()}
		if st.Running {
			st.Next.InMS = new(max(clock.Until(c.Timecode, now), 0).Milliseconds())
		}
	}
	return st
}

// offsetText writes an offset as a label; "" for none.
func offsetText(offset time.Duration, rate timecode.Rate) string {
	if offset == 0 || rate == timecode.NoRate {
		return ""
	}
	sign := "+"
	if offset < 0 {
		sign, offset = "-", -offset
	}
	return sign + timecode.At(rate, rate.Index(offset)).String()
}
