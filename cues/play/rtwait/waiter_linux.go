package rtwait

import (
	"runtime"
	"sync/atomic"
	"time"
	"unsafe"

	"golang.org/x/sys/unix"

	"linkboy/cues/play"
)

// futex(2), linux/futex.h: the absolute form that takes CLOCK_MONOTONIC.
const (
	futexWaitBitset = 9
	futexWake       = 1
	futexPrivate    = 128
	futexAnyBit     = 0xFFFFFFFF
)

// New makes a Waiter. tell, which may be nil, hears the priority that the
// loop's thread gets, with the reason why it is no better one: once before the
// first frame, and again should the guard lower it. It must not block.
func New(tell func(Priority, error)) play.Waiter {
	if tell == nil {
		tell = func(Priority, error) {}
	}
	return &waiter{tell: tell, best: RealTime}
}

type waiter struct {
	tell  func(Priority, error)
	best  Priority      // that it asks for
	woken atomic.Uint32 // the futex: 1 when a Wake has come that no Wait has seen
	guard *guard

	// A time and the same moment of CLOCK_MONOTONIC in nanoseconds.
	time  time.Time
	clock int64
}

// Begin gives the goroutine a thread of its own and raises it.
func (w *waiter) Begin() {
	runtime.LockOSThread()
	w.time, w.clock = anchor()
	// Ordinary threads are woken up to 50 µs late so that wakes fall together
	// (prctl(2), PR_SET_TIMERSLACK); not this one.
	_ = unix.Prctl(unix.PR_SET_TIMERSLACK, 1, 0, 0, 0)
	w.guard = raise(w.best, w.tell)
}

// End gives the thread back as it was.
func (w *waiter) End() {
	w.guard.stop()
	_ = unix.Prctl(unix.PR_SET_TIMERSLACK, 0, 0, 0, 0)
	runtime.UnlockOSThread()
}

// Wait sleeps in the kernel. The Go scheduler is told, as the collector would
// wait for this thread otherwise.
func (w *waiter) Wait(until time.Time) {
	at := unix.NsecToTimespec(w.clock + int64(until.Sub(w.time)))
	for w.woken.Load() == 0 && time.Now().Before(until) {
		_, _, errno := unix.Syscall6(unix.SYS_FUTEX, uintptr(unsafe.Pointer(&w.woken)), futexWaitBitset|futexPrivate,
			0, uintptr(unsafe.Pointer(&at)), 0, futexAnyBit)
		if errno != 0 && errno != unix.EINTR {
			break
		}
	}
	w.woken.Store(0)
}

// Wake ends a Wait.
func (w *waiter) Wake() {
	if w.woken.Swap(1) == 0 {
		_, _, _ = unix.Syscall(unix.SYS_FUTEX, uintptr(unsafe.Pointer(&w.woken)), futexWake|futexPrivate, 1)
	}
}

// anchor reads both clocks at one moment: the tightest of a few pairs, as the
// thread may be put aside between two readings.
func anchor() (at time.Time, clock int64) {
	least := time.Hour
	for range 8 {
		var ts unix.Timespec
		before := time.Now()
		if err := unix.ClockGettime(unix.CLOCK_MONOTONIC, &ts); err != nil {
			continue // no Linux is without this clock
		}
		if took := time.Since(before); took < least {
			least, at, clock = took, before.Add(took/2), ts.Nano()
		}
	}
	return at, clock
}
