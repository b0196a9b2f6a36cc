// Package rtwait is how the loop of a daemon sleeps where frames must go out
// on time while the machine is busy: on an operating-system thread of its own,
// until an absolute time, at real-time priority where that is allowed. It knows
// no frames.
//
// On Linux the thread waits in futex(2) with an absolute CLOCK_MONOTONIC time:
// one system call a frame, and one from any other thread wakes it at once, so
// that a command does not wait for the frame. The thread asks for SCHED_FIFO
// (needs CAP_SYS_NICE or RLIMIT_RTPRIO of 1 or more), else for a nice value of
// -10 (CAP_SYS_NICE or RLIMIT_NICE), else goes on as it is.
//
// A real-time thread that never sleeps would keep everything else off its core.
// Two things stop it: the kernel leaves 5 % of each second to ordinary threads
// (sched(7): sched_rt_runtime_us, and the fair server of newer kernels), and
// this package sets RLIMIT_RTTIME: after 200 ms of work without a sleep the
// kernel sends SIGXCPU, and the thread becomes an ordinary one for good.
//
// Elsewhere the loop sleeps as [play.Timers] does.
package rtwait

import "fmt"

// Priority is how the loop's thread is preferred to others.
type Priority uint8

// The priorities, lowest first.
const (
	Ordinary Priority = iota // like any other thread
	Raised                   // a better nice value
	RealTime                 // before every ordinary thread
)

// String names the priority.
func (p Priority) String() string {
	switch p {
	case Ordinary:
		return "ordinary"
	case Raised:
		return "raised"
	case RealTime:
		return "real-time"
	}
	return fmt.Sprintf("Priority(%d)", uint8(p))
}
