package main

import "sync"

// turns lets one try after the other, and of those of a look that wait only the newest:
// a thumb on a slider asks faster than a large show is worked out.
type turns struct {
	mu     sync.Mutex // of what follows
	newest map[string]uint64
	count  uint64
	doing  sync.Mutex
}

// enter waits for the turn of a try of a look. It is false when a newer one has come
// meanwhile; else leave must follow.
func (t *turns) enter(look string) bool {
	t.mu.Lock()
	if t.newest == nil {
		t.newest = map[string]uint64{}
	}
	t.count++
	mine := t.count
	t.newest[look] = mine
	t.mu.Unlock()
	t.doing.Lock()
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.newest[look] != mine {
		t.doing.Unlock()
		return false
	}
	delete(t.newest, look)
	return true
}

func (t *turns) leave() { t.doing.Unlock() }
