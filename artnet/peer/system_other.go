//go:build !unix && !windows

package peer

import (
	"errors"
	"syscall"
)

// broadcastApart: nothing is known of this system, so nothing is assumed.
const broadcastApart = false

var errAddrInUse = errors.New("address in use")

func shareAddress(_, _ string, _ syscall.RawConn) error { return nil }

func passing(error) bool { return false }

// Lost reports whether err says that the network under a socket is gone; here
// every error may.
func Lost(err error) bool { return err != nil }

// Absent reports whether err says that this machine does not have the address;
// here every error may.
func Absent(err error) bool { return err != nil }
