//go:build unix

package peer

import "syscall"

// sendMulticast makes multicast of a socket leave by the interface with an
// address.
func sendMulticast(c syscall.RawConn, from [4]byte, o SenderOptions) error {
	var err error
	if e := c.Control(func(fd uintptr) {
		set := func(option, value int) {
			if err == nil {
				err = syscall.SetsockoptInt(int(fd), syscall.IPPROTO_IP, option, value)
			}
		}
		err = syscall.SetsockoptInet4Addr(int(fd), syscall.IPPROTO_IP, syscall.IP_MULTICAST_IF, from)
		set(syscall.IP_MULTICAST_TTL, o.TTL)
		loop := 1
		if o.NoLoop {
			loop = 0
		}
		set(syscall.IP_MULTICAST_LOOP, loop)
	}); e != nil {
		return e
	}
	return err
}
