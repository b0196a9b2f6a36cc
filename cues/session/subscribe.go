package session

import "sync"

// hub wakes those who want to know of changes. It hands out no state: whoever
// wakes asks for the newest.
type hub struct {
	mu      sync.Mutex
	readers map[chan struct{}]struct{}
}

// Subscribe gives a channel that has something to read after every change;
// changes that come faster than they are read fall together. cancel ends it and
// may be called more than once; the channel is never closed.
func (s *Session) Subscribe() (changed <-chan struct{}, cancel func()) {
	h := &s.hub
	ch := make(chan struct{}, 1)
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.readers == nil {
		h.readers = map[chan struct{}]struct{}{}
	}
	h.readers[ch] = struct{}{}
	return ch, func() {
		h.mu.Lock()
		defer h.mu.Unlock()
		delete(h.readers, ch)
	}
}

func (h *hub) wake() {
	h.mu.Lock()
	defer h.mu.Unlock()
	for ch := range h.readers {
		select {
		case ch <- struct{}{}:
		default:
		}
	}
}
