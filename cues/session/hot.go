package session

import (
	"context"

	"linkboy/cues"
)

// queued is a change of the show that waits for the cut.
type queued struct {
	show *cues.Show
	live bool
}

// heat makes the set hot, or cool again: while it is hot, changes of the show wait.
// Those that waited are taken in by a goroutine of Run. s.mu must be held; whoever
// calls it calls changed.
func (s *Session) heat(on bool) {
	s.hot = on
	if !on {
		select {
		case s.cooled <- struct{}{}:
		default:
		}
	}
}

// queueIfHot lets a change wait if the set is hot. As each is a whole show, the
// newest stands for those before it that are taken in the same way.
func (s *Session) queueIfHot(show *cues.Show, live bool) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !s.hot {
		return false
	}
	s.waiting++
	if n := len(s.queue); n > 0 && s.queue[n-1].live == live {
		s.queue[n-1].show = show
	} else {
		s.queue = append(s.queue, queued{show, live})
	}
	s.changed()
	return true
}

// absorb takes in what waited, after each cut.
func (s *Session) absorb(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-s.cooled:
			s.takeQueued()
		}
	}
}

func (s *Session) takeQueued() {
	for {
		s.mu.Lock()
		if s.hot || len(s.queue) == 0 {
			s.mu.Unlock()
			return
		}
		q := s.queue[0]
		s.queue = s.queue[1:]
		if len(s.queue) == 0 {
			s.waiting = 0
		}
		s.mu.Unlock()
		waits, err := s.Replace(q.show, q.live)
		if err != nil {
			s.log.Error("a change of the show that waited for the cut was not taken in", "error", err)
		}
		s.mu.Lock()
		if err != nil {
			s.leftOut = err
		}
		s.changed()
		s.mu.Unlock()
		if waits {
			return // the next cut
		}
	}
}
