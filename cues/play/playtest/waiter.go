package playtest

import (
	"time"

	"linkboy/cues/play"
)

// CheckWaiter checks that a Waiter sleeps until it should and wakes when it
// must. It runs in real time and is never wrong on a slow machine: it asks that
// nothing comes early and that nothing is missed.
func CheckWaiter(t T, w play.Waiter) {
	t.Helper()
	const long = time.Hour // a wait that ends only because of a Wake
	w.Wake()               // before Begin: kept
	w.Begin()
	w.Wait(time.Now().Add(long))

	for range 20 {
		until := time.Now().Add(2 * time.Millisecond)
		for !time.Now().After(until) { // it may return for no reason
			before := time.Now()
			w.Wait(until)
			if early := time.Until(until); early > 0 && time.Since(before) > time.Millisecond {
				t.Errorf("wait ended %v early, and nobody woke it", early)
			}
		}
	}
	w.Wait(time.Now().Add(-time.Second)) // what is past is due
	w.Wait(time.Time{})

	for range 100 { // from another goroutine, before or while it waits
		go w.Wake()
		w.Wait(time.Now().Add(long))
	}
	w.Wake() // twice falls together
	w.Wake()
	w.Wait(time.Now().Add(long))
	w.End()
	w.Wake()
}
