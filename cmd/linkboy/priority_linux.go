package main

import (
	"errors"
	"os"
	"strconv"
	"syscall"

	"golang.org/x/sys/unix"
)

// niceLeast is the weakest claim on a processor of setpriority(2).
const niceLeast = 19

// lowPriority lets every other process go before this one: nice 19, and of those the
// idle class, which runs when nothing else wants to (sched(7)). Both are of threads
// here; new ones take after those that start them.
func lowPriority() error {
	done := map[int]bool{}
	for {
		tasks, err := os.ReadDir("/proc/self/task")
		if err != nil {
			return err
		}
		fresh := false
		for _, t := range tasks {
			id, err := strconv.Atoi(t.Name())
			if err != nil || done[id] {
				continue
			}
			done[id], fresh = true, true
			err = errors.Join(unix.Setpriority(unix.PRIO_PROCESS, id, niceLeast), idle(id))
			if err != nil && !errors.Is(err, unix.ESRCH) { // a thread may have ended
				return err
			}
		}
		if !fresh {
			return nil
		}
	}
}

func idle(thread int) error {
	attr := unix.SchedAttr{Size: unix.SizeofSchedAttr, Policy: unix.SCHED_IDLE, Nice: niceLeast}
	return unix.SchedSetAttr(thread, &attr, 0)
}

// endsWithUs has the system end a process when this one ends, however that comes.
func endsWithUs() *syscall.SysProcAttr { return &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL} }
