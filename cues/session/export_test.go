package session

// ParseState reads the text of a state file.
var ParseState = parseState

// Occupy does what a verb does while it compiles: every other verb waits until
// the function it returns is called.
func (s *Session) Occupy() func() {
	s.mu.Lock()
	return s.mu.Unlock
}
