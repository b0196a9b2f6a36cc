package session

import (
	"fmt"
	"sync"
	"time"
)

// Trigger is what asks for something: a finger on a page, a key of a clicker, a
// message from another program, time code.
type Trigger struct {
	Source  string // "page", "key", "osc", "http", "timecode", "follow" ...
	From    string // whose it is: an address; "" for the session's own
	Command string // what it asks, in words: "cue 3"
	// Bounces says that twice at once is not meant twice: what it asks is done by
	// pressing something.
	Bounces bool
}

// Sources of the session's own.
const (
	sourceCount    = "count-in"
	sourceFollow   = "follow"
	sourceTimecode = "timecode"
)

// debounce is how soon after a trigger the same one is taken for the same press: a
// worn switch bounces for some tens of milliseconds, a person presses twice in 150 at best
// (common practice, no source).
const debounce = 150 * time.Millisecond

// command is the newest thing that was asked, and what came of it.
type command struct {
	Trigger
	at  time.Time
	err error
}

// presses remembers the newest press of each trigger.
type presses struct {
	mu sync.Mutex
	at map[Trigger]time.Time
}

// bounces tells whether t has come already, just now.
func (p *presses) bounces(t Trigger, now time.Time) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	for old, at := range p.at {
		if now.Sub(at) >= debounce {
			delete(p.at, old)
		}
	}
	if _, again := p.at[t]; again {
		return true
	}
	if p.at == nil {
		p.at = map[Trigger]time.Time{}
	}
	p.at[t] = now
	return false
}

// forget takes back a press of which nothing came.
func (p *presses) forget(t Trigger) {
	p.mu.Lock()
	defer p.mu.Unlock()
	delete(p.at, t)
}

// Do does what a trigger asks, by a call of one verb of this session, and tells of it
// in the state. A press that bounces, the same one again within 150 ms of one that was done, is refused. The error
// is that of the verb. A kill does not wait here for anything.
func (s *Session) Do(t Trigger, verb func() error) error {
	var err error
	if t.Bounces && s.presses.bounces(t, time.Now()) {
		err = refuse(Conflict, codeBounce, fmt.Sprintf("%s came twice within %s: the second is taken for a switch that bounces", t.Command, debounce),
			"press again when it should happen twice")
	} else if err = verb(); err != nil && t.Bounces {
		s.presses.forget(t)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.note(t, err)
	return err
}

// note keeps what was asked for the state. s.mu must be held.
func (s *Session) note(t Trigger, err error) {
	s.last = command{t, time.Now(), err}
	s.hub.wake()
}

// lastState tells of the newest command; nil before any. s.mu must be held.
func (s *Session) lastState(now time.Time) *Command {
	c := &s.last
	if c.Source == "" {
		return nil
	}
	st := &Command{Source: c.Source, From: c.From, Command: c.Command, OK: c.err == nil, AgoMS: now.Sub(c.at).Milliseconds()}
	if c.err != nil {
		st.Message = c.err.Error()
	}
	return st
}
