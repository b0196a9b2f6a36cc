package session

import (
	"slices"
	"time"

	"linkboy/cues/play"
	"linkboy/cues/take"
	"linkboy/cues/timecode"
)

// restTime is how long a thumb must rest until what it did is written down.
const restTime = 500 * time.Millisecond

// moment is what a change is told by.
type moment struct {
	location string
	changeID uint64
	fadeID   uint64
	held     bool
	killed   bool
	work     bool
	dry      bool
	overall  float64
	progress float64 // while it is held
}

// moment gives what is on. s.mu must be held.
func (s *Session) moment(snap *play.Snapshot) moment {
	m := moment{
		location: s.site.Load().loc.Name, changeID: s.now.changeID, fadeID: s.now.fadeID,
		held: s.rideable(snap) && snap.Held, killed: s.now.killed, work: s.now.work, dry: s.now.dry, overall: s.now.overall,
	}
	if m.held {
		m.progress = snap.Progress
	}
	return m
}

// kindOf tells what has changed between two moments; "" for nothing that is written
// down. A thumb is waited for: rest is set then.
func (m *moment) kindOf(was *moment) (kind take.Kind, rest bool) {
	switch {
	case m.location != was.location:
		return take.Location, false
	case m.killed && !was.killed:
		return take.Kill, false
	case m.changeID != was.changeID:
		return take.Cue, false
	case m.work && !was.work:
		return take.Work, false
	case m.killed != was.killed || m.work != was.work:
		return take.Restored, false
	case m.dry != was.dry:
		return take.Dry, false
	case m.held && !was.held:
		return take.Hold, false
	case was.held && !m.held:
		return take.Resume, false
	case m.overall != was.overall:
		return take.Overall, true
	case m.held && m.progress != was.progress:
		return take.Ride, true
	}
	return "", false
}

// noteTake writes down what a verb has changed, while a take rolls. s.mu must be held.
func (s *Session) noteTake() {
	r := s.rolling
	if r == nil {
		return
	}
	m := s.moment(s.snapshot())
	kind, rest := m.kindOf(&r.last)
	begun := m.fadeID != r.last.fadeID
	r.last = m
	switch {
	case rest:
		r.pending, r.rest = kind, time.Now().Add(restTime)
	case kind != "":
		r.pending = ""
		s.writeEvent(kind, begun)
	}
}

// noteSettled writes down the end of a fade, unless its change took no time.
func (s *Session) noteSettled(id uint64) {
	r := s.rolling
	if r == nil || id != s.now.fadeID || s.now.fade == nil || s.now.fade.Total == 0 {
		return
	}
	r.last = s.moment(s.snapshot())
	s.writeEvent(take.Settled, false)
}

// takeRests writes down what a thumb has left, and gives how long nothing is due.
func (s *Session) takeRests(now time.Time) time.Duration {
	r := s.rolling
	if r == nil || r.pending == "" {
		return never
	}
	if wait := r.rest.Sub(now); wait > 0 {
		return wait
	}
	kind := r.pending
	r.pending = ""
	s.writeEvent(kind, false)
	return never
}

// writeEvent writes down what is on; begun tells that it began with the fade that is on.
func (s *Session) writeEvent(kind take.Kind, begun bool) {
	r := s.rolling
	r.events++
	s.journal.Event(r.take.ID, s.capture(kind, r.events, begun, time.Now()))
}

// capture takes what the wire has now, and gives how an event is made of it: away
// from here, as that costs more than a verb should wait for. s.mu must be held.
func (s *Session) capture(kind take.Kind, n int, begun bool, now time.Time) func() take.Event {
	snap := s.snapshot()
	site := s.site.Load()
	e := take.Event{
		N: n, At: now, Kind: kind, Location: site.loc.Name, Look: s.now.look, Cue: s.now.cue, Progress: 1,
		Overall: snap.Overall, Dark: s.now.dark, Killed: s.now.killed, Dry: s.now.dry, Timecode: s.labels(now),
	}
	if s.running(snap) {
		e.FadeMS, e.Progress = snap.Total.Milliseconds(), snap.Progress
	}
	if begun && s.now.fade != nil { // the loop may not have taken it up, or be through with it
		e.FadeMS = s.now.fade.Total.Milliseconds()
		if snap.FadeID != s.now.fadeID {
			e.Progress = 0
		}
	}
	var slots [][]byte
	for _, b := range site.bytesOf(snap) {
		slots = append(slots, slices.Clone(b))
	}
	return func() take.Event {
		if slots != nil {
			e.Lamps = site.place.Recorded(slots)
		}
		return e
	}
}

// labels gives the time codes of a moment. s.mu must be held.
func (s *Session) labels(now time.Time) take.Timecode {
	rate := take.Rate(s.site.Load().show().Timeline)
	midnight := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, now.Location())
	l := take.Timecode{Day: timecode.At(rate, rate.Index(now.Sub(midnight))).String()}
	if clock := s.timing.ticking(now); clock.Running() {
		l.In = clock.Now(now).String()
	}
	return l
}
