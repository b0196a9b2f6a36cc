package controller

import (
	"context"
	"errors"
	"sync"
	"time"

	"linkboy/artnet/rdm"
)

// endWithin is how long devices have to stop showing themselves when their
// Showing ends.
const endWithin = 2 * time.Second

// Showing keeps count of devices that show themselves and has each stop after a
// while, so that no lamp is left flashing by a page that went away.
type Showing struct {
	c     *Controller
	after time.Duration
	wake  chan struct{}

	mu   sync.Mutex
	ends map[rdm.UID]time.Time
}

// NewShowing has devices of c stop after so long.
func NewShowing(c *Controller, after time.Duration) *Showing {
	return &Showing{c: c, after: after, wake: make(chan struct{}, 1), ends: make(map[rdm.UID]time.Time)}
}

// Identify has a device show itself, or stop. To start it again makes it last
// longer. Its end is kept even where switching on failed: the device may have
// heard it.
func (s *Showing) Identify(ctx context.Context, u rdm.UID, on bool) error {
	s.mu.Lock()
	if on {
		s.ends[u] = time.Now().Add(s.after)
	}
	s.mu.Unlock()
	select {
	case s.wake <- struct{}{}:
	default:
	}
	err := s.c.Identify(ctx, u, on)
	if unknown := errors.Is(err, ErrUnknownDevice); unknown || err == nil && !on {
		s.mu.Lock()
		delete(s.ends, u)
		s.mu.Unlock()
	}
	return err
}

// Run has devices stop when their time is over, and all of them when ctx ends;
// then it returns nil. The controller must still run.
func (s *Showing) Run(ctx context.Context) error {
	timer := time.NewTimer(time.Hour)
	defer timer.Stop()
	for {
		timer.Reset(s.stop(ctx, time.Now()))
		select {
		case <-ctx.Done():
			last, cancel := context.WithTimeout(context.WithoutCancel(ctx), endWithin)
			defer cancel()
			s.stop(last, time.Now().Add(s.after+time.Hour))
			return nil
		case <-s.wake:
		case <-timer.C:
		}
	}
}

// stop has every device stop whose time is over at now, side by side, and says
// how long until the next. One that does not obey is asked again.
func (s *Showing) stop(ctx context.Context, now time.Time) (next time.Duration) {
	s.mu.Lock()
	next = time.Hour
	var due []rdm.UID
	for u, end := range s.ends {
		if left := end.Sub(now); left <= 0 {
			due = append(due, u)
			s.ends[u] = now.Add(s.after)
			next = min(next, s.after)
		} else {
			next = min(next, left)
		}
	}
	s.mu.Unlock()
	var wait sync.WaitGroup
	for _, u := range due {
		wait.Go(func() {
			if s.c.Identify(ctx, u, false) == nil {
				s.mu.Lock()
				delete(s.ends, u)
				s.mu.Unlock()
			}
		})
	}
	wait.Wait()
	return next
}
