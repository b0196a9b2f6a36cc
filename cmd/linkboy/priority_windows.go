package main

import (
	"syscall"

	"golang.org/x/sys/windows"
)

// lowPriority lets other processes go before this one.
func lowPriority() error {
	return windows.SetPriorityClass(windows.CurrentProcess(), windows.IDLE_PRIORITY_CLASS)
}

// endsWithUs is nothing here: the process ends when its pipe does.
func endsWithUs() *syscall.SysProcAttr { return nil }
