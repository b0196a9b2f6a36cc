package rtwait

import (
	"errors"
	"fmt"
	"os"
	"os/signal"
	"sync"
	"time"

	"golang.org/x/sys/unix"
)

const (
	// fifoPriority is the lowest that there is: it comes before every ordinary
	// thread, and after whatever else of this machine is real-time.
	fifoPriority = 1
	niceValue    = -10
	ordinary     = 0 // SCHED_OTHER, linux/sched.h
	// longestRun is how long the thread may work without a sleep, nine frames
	// at 44 Hz, before it counts as run wild.
	longestRun = 200 * time.Millisecond
)

// errRanWild is why a real-time thread is one no more.
var errRanWild = fmt.Errorf("the loop has worked for %v without a pause, so that other programs may get their turn; give it fewer universes or a faster machine", longestRun)

// guard lowers a real-time thread that does not sleep.
type guard struct {
	thread  int
	signals chan os.Signal
	limit   unix.Rlimit // as it was
	raised  bool        // its nice value
	nice    int         // as it was
	wait    sync.WaitGroup
}

// raise gives the calling thread the best priority that is allowed, up to one,
// and tells which that is.
func raise(best Priority, tell func(Priority, error)) *guard {
	g := &guard{thread: unix.Gettid(), signals: make(chan os.Signal, 1)}
	if best == Ordinary {
		g.signals = nil
		return g
	}
	err := g.watch(tell)
	if err == nil {
		// Threads that this one starts are ordinary ones.
		err = setPolicy(g.thread, unix.SCHED_FIFO, fifoPriority)
		if err == nil {
			tell(RealTime, nil)
			return g
		}
		g.unwatch()
	}
	err = fmt.Errorf("no real-time priority: %w", err)
	// The system call gives 20 minus the nice value, so that it is no error.
	if turned, err := unix.Getpriority(unix.PRIO_PROCESS, g.thread); err == nil {
		g.nice = 20 - turned
	}
	if niceErr := unix.Setpriority(unix.PRIO_PROCESS, g.thread, niceValue); niceErr != nil {
		tell(Ordinary, errors.Join(err, fmt.Errorf("no nice value of %d: %w", niceValue, niceErr)))
		return g
	}
	g.raised = true
	tell(Raised, err)
	return g
}

// watch has the kernel send SIGXCPU to a real-time thread that works for too
// long, and heeds it. The signal is caught first: uncaught, it ends a process.
func (g *guard) watch(tell func(Priority, error)) error {
	if err := unix.Getrlimit(unix.RLIMIT_RTTIME, &g.limit); err != nil {
		return fmt.Errorf("read RLIMIT_RTTIME: %w", err)
	}
	signal.Notify(g.signals, unix.SIGXCPU)
	limit := unix.Rlimit{Cur: min(uint64(longestRun.Microseconds()), g.limit.Max), Max: g.limit.Max}
	if err := unix.Setrlimit(unix.RLIMIT_RTTIME, &limit); err != nil {
		signal.Stop(g.signals)
		return fmt.Errorf("set RLIMIT_RTTIME: %w", err)
	}
	g.wait.Go(func() {
		for range g.signals {
			if setPolicy(g.thread, ordinary, 0) == nil {
				tell(Ordinary, errRanWild)
			}
		}
	})
	return nil
}

func (g *guard) unwatch() {
	_ = unix.Setrlimit(unix.RLIMIT_RTTIME, &g.limit)
	signal.Stop(g.signals)
	close(g.signals)
	g.wait.Wait()
	g.signals = nil
}

// stop makes the thread an ordinary one and ends the watch.
func (g *guard) stop() {
	if g.signals != nil {
		_ = setPolicy(g.thread, ordinary, 0)
		g.unwatch()
	}
	if g.raised {
		_ = unix.Setpriority(unix.PRIO_PROCESS, g.thread, g.nice)
	}
}

// setPolicy sets how a thread of this process is scheduled, see sched(7).
func setPolicy(thread int, policy, priority uint32) error {
	attr := unix.SchedAttr{Size: unix.SizeofSchedAttr, Policy: policy, Priority: priority, Flags: unix.SCHED_FLAG_RESET_ON_FORK}
	return unix.SchedSetAttr(thread, &attr, 0)
}
