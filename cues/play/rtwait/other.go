//go:build !linux

package rtwait

import "linkboy/cues/play"

// New makes the Waiter of this system: the timers of the Go runtime. tell is
// not called.
func New(func(Priority, error)) play.Waiter { return play.Timers() }
