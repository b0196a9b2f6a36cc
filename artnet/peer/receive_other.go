//go:build !linux

package peer

import (
	"net"
	"net/netip"
)

// reader takes datagrams from a socket, one a system call.
type reader struct {
	conn *net.UDPConn
	buf  [datagramMost]byte
}

func newReader(c *net.UDPConn) (*reader, error) { return &reader{conn: c}, nil }

// next waits for a datagram and hands it on.
func (r *reader) next(handle Handle) error {
	n, from, err := r.conn.ReadFromUDPAddrPort(r.buf[:])
	if err != nil {
		return err
	}
	handle(netip.AddrPortFrom(from.Addr().Unmap(), from.Port()), r.buf[:n])
	return nil
}
