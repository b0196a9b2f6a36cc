package play

import "time"

// Waiter is how the loop sleeps. Begin, Wait and End are called by the loop,
// on its own goroutine: Begin before the first frame, End after the last. Wake
// may be called from any goroutine at any time, also before Begin and after
// End, and must not block.
//
// Wait returns at the time given, or as soon as it is woken; a Wake that comes
// while nobody waits is kept for the next Wait. It may return for no reason.
// None of them allocates.
type Waiter interface {
	Begin()
	Wait(until time.Time)
	Wake()
	End()
}

// Timers makes the Waiter that works everywhere: a timer of the Go runtime.
func Timers() Waiter { return &timers{wake: make(chan struct{}, 1)} }

type timers struct {
	wake  chan struct{}
	timer *time.Timer
}

func (w *timers) Begin() { w.timer = time.NewTimer(time.Hour) }

func (w *timers) Wait(until time.Time) {
	w.timer.Reset(time.Until(until))
	select {
	case <-w.timer.C:
	case <-w.wake:
	}
}

func (w *timers) Wake() {
	select {
	case w.wake <- struct{}{}:
	default:
	}
}

func (w *timers) End() { w.timer.Stop() }
