package peer

import (
	"errors"
	"syscall"

	"golang.org/x/sys/windows"
)

// broadcastApart: a socket bound to a unicast address gets broadcasts too.
const broadcastApart = false

var errAddrInUse error = windows.WSAEADDRINUSE

// shareAddress lets several programs of one machine have the Art-Net port.
func shareAddress(_, _ string, c syscall.RawConn) error {
	var err error
	if e := c.Control(func(fd uintptr) {
		err = windows.SetsockoptInt(windows.Handle(fd), windows.SOL_SOCKET, windows.SO_REUSEADDR, 1)
	}); e != nil {
		return e
	}
	return err
}

func passing(err error) bool {
	return errors.Is(err, windows.WSAECONNRESET) || errors.Is(err, windows.WSAEMSGSIZE) ||
		errors.Is(err, windows.WSAENETRESET) || errors.Is(err, windows.WSAENOBUFS)
}

// Lost reports whether err says that the network under a socket is gone, so
// that opening anew may help.
func Lost(err error) bool {
	for _, gone := range []error{windows.WSAENETUNREACH, windows.WSAENETDOWN, windows.WSAEADDRNOTAVAIL, windows.WSAEINVAL} {
		if errors.Is(err, gone) {
			return true
		}
	}
	return false
}

// Absent reports whether err says that this machine does not have the address.
func Absent(err error) bool { return errors.Is(err, windows.WSAEADDRNOTAVAIL) }
