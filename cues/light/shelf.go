package light

import (
	"context"
	"slices"
	"sync"
)

// shelf keeps the newest of what is computed elsewhere, by its keys. One is computed at a
// time. It is safe for concurrent use.
type shelf[T any] struct {
	most int           // are kept, those longest not asked for going first
	turn chan struct{} // holds one while somebody computes
	mu   sync.Mutex
	kept []book[T] // newest last
}

type book[T any] struct {
	key  string
	what T
}

func newShelf[T any](most int) *shelf[T] { return &shelf[T]{most: most, turn: make(chan struct{}, 1)} }

// of gives what is kept by a key, or else has it computed and keeps it. The error is that
// of ctx or that of compute.
func (s *shelf[T]) of(ctx context.Context, key string, compute func() (T, error)) (what T, err error) {
	if what, ok := s.find(key); ok {
		return what, nil
	}
	select {
	case <-ctx.Done():
		return what, ctx.Err()
	case s.turn <- struct{}{}:
	}
	defer func() { <-s.turn }()
	if what, ok := s.find(key); ok { // by who was first
		return what, nil
	}
	if err := ctx.Err(); err != nil {
		return what, err
	}
	if what, err = compute(); err != nil {
		return what, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.kept = append(s.kept, book[T]{key, what})
	s.kept = slices.Delete(s.kept, 0, max(0, len(s.kept)-s.most))
	return what, nil
}

// find gives what is kept, as the newest from now on.
func (s *shelf[T]) find(key string) (what T, ok bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	i := slices.IndexFunc(s.kept, func(b book[T]) bool { return b.key == key })
	if i < 0 {
		return what, false
	}
	b := s.kept[i]
	s.kept = append(slices.Delete(s.kept, i, i+1), b)
	return b.what, true
}
