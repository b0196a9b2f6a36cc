package rtwait

import "linkboy/cues/play"

// Sleeper makes a Waiter that leaves the priority of its thread alone.
func Sleeper() play.Waiter { return &waiter{} }

// SetFIFO makes the calling thread a real-time one, or an ordinary one again.
func SetFIFO(thread int, on bool) error {
	if on {
		return setPolicy(thread, 1, fifoPriority)
	}
	return setPolicy(thread, ordinary, 0)
}
