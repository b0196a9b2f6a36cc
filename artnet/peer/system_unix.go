//go:build unix

package peer

import (
	"errors"
	"syscall"
)

// broadcastApart: a socket bound to a unicast address gets no broadcasts here,
// so one more is bound to the broadcast address.
const broadcastApart = true

var errAddrInUse error = syscall.EADDRINUSE

// shareAddress lets several programs of one machine have the Art-Net port.
// Darwin and the BSDs want SO_REUSEPORT for that, Linux would then spread
// unicast datagrams over the programs by chance.
func shareAddress(_, _ string, c syscall.RawConn) error {
	var err error
	if e := c.Control(func(fd uintptr) {
		err = syscall.SetsockoptInt(int(fd), syscall.SOL_SOCKET, syscall.SO_REUSEADDR, 1)
		if err == nil {
			err = reusePort(int(fd))
		}
	}); e != nil {
		return e
	}
	return err
}

func passing(err error) bool {
	return errors.Is(err, syscall.ECONNREFUSED) || errors.Is(err, syscall.EINTR) || errors.Is(err, syscall.ENOBUFS)
}

// Lost reports whether err says that the network under a socket is gone, so
// that opening anew may help.
func Lost(err error) bool {
	for _, gone := range []error{syscall.ENETUNREACH, syscall.ENETDOWN, syscall.EADDRNOTAVAIL, syscall.EINVAL, syscall.ENODEV, syscall.ENXIO} {
		if errors.Is(err, gone) {
			return true
		}
	}
	return false
}

// Absent reports whether err says that this machine does not have the address.
func Absent(err error) bool { return errors.Is(err, syscall.EADDRNOTAVAIL) }
