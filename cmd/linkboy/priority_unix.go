//go:build unix && !linux

package main

import (
	"syscall"

	"golang.org/x/sys/unix"
)

// lowPriority lets other processes go before this one: nice 19, or what the system has
// for it.
func lowPriority() error { return unix.Setpriority(unix.PRIO_PROCESS, 0, 19) }

// endsWithUs is nothing here: the process ends when its pipe does.
func endsWithUs() *syscall.SysProcAttr { return nil }
