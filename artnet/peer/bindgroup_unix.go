//go:build unix

package peer

import (
	"fmt"
	"net"
	"net/netip"
	"os"

	"golang.org/x/sys/unix"
)

// bindGroup opens a socket that has a group's address, so that it gets nothing else. The
// net package would open one on every address instead, to which the system would give
// what is sent to this machine alone.
func bindGroup(group netip.AddrPort) (*net.UDPConn, error) {
	fd, err := unix.Socket(unix.AF_INET, unix.SOCK_DGRAM, 0)
	if err != nil {
		return nil, fmt.Errorf("open UDP %v: %w", group, err)
	}
	unix.CloseOnExec(fd)
	file := os.NewFile(uintptr(fd), group.String())
	defer file.Close() // the connection has a copy
	err = unix.SetsockoptInt(fd, unix.SOL_SOCKET, unix.SO_REUSEADDR, 1)
	if err == nil {
		err = reusePort(fd)
	}
	if err == nil {
		err = unix.Bind(fd, &unix.SockaddrInet4{Port: int(group.Port()), Addr: group.Addr().As4()})
	}
	if err != nil {
		return nil, fmt.Errorf("open UDP %v: %w", group, err)
	}
	c, err := net.FilePacketConn(file)
	if err != nil {
		return nil, fmt.Errorf("open UDP %v: %w", group, err)
	}
	return c.(*net.UDPConn), nil
}
