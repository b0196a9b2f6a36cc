package peer

import "syscall"

// sendMulticast makes multicast of a socket leave by the interface with an
// address. IP_MULTICAST_LOOP is the receiver's to set on this system, so NoLoop
// has no effect on others.
func sendMulticast(c syscall.RawConn, from [4]byte, o SenderOptions) error {
	var err error
	if e := c.Control(func(fd uintptr) {
		err = syscall.SetsockoptInet4Addr(syscall.Handle(fd), syscall.IPPROTO_IP, syscall.IP_MULTICAST_IF, from)
		if err == nil {
			err = syscall.SetsockoptInt(syscall.Handle(fd), syscall.IPPROTO_IP, syscall.IP_MULTICAST_TTL, o.TTL)
		}
	}); e != nil {
		return e
	}
	return err
}
