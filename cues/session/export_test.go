package session

import (
	"time"

	"linkboy/cues/take"
)

// ParseState reads the text of a state file.
var ParseState = parseState

// Occupy does what a verb does while it compiles: every other verb waits until
// the function it returns is called.
func (s *Session) Occupy() func() {
	s.mu.Lock()
	return s.mu.Unlock
}

// Heat makes the set hot or cool, as roll and cut do.
func (s *Session) Heat(on bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.heat(on)
	s.changed()
}

// MatchCues gives the number of a cue in another sheet.
var MatchCues = matchCues

// Captured is the event of what is on now; begun tells that it began with the fade.
func (s *Session) Captured(kind take.Kind, begun bool) take.Event {
	s.mu.Lock()
	event := s.capture(kind, 1, begun, time.Now())
	s.mu.Unlock()
	return event()
}
