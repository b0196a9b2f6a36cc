//go:build unix

package listen_test

import (
	"errors"
	"net"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// multicastSender is a socket whose multicast goes over loopback, routes or not.
func multicastSender(t *testing.T) *net.UDPConn {
	t.Helper()
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	t.Cleanup(func() { c.Close() })
	raw, err := c.SyscallConn()
	require.NoError(t, err)
	var failed error
	require.NoError(t, raw.Control(func(fd uintptr) {
		failed = syscall.SetsockoptInet4Addr(int(fd), syscall.IPPROTO_IP, syscall.IP_MULTICAST_IF, [4]byte{127, 0, 0, 1})
	}))
	require.NoError(t, failed)
	return c
}

// shared lets a test hold a port beside others.
func shared(_, _ string, c syscall.RawConn) error {
	var failed error
	err := c.Control(func(fd uintptr) { failed = syscall.SetsockoptInt(int(fd), syscall.SOL_SOCKET, syscall.SO_REUSEADDR, 1) })
	return errors.Join(err, failed)
}
