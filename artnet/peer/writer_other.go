//go:build !linux

package peer

import (
	"fmt"
	"net"
	"net/netip"
)

// system is what a Batch needs of the system: nothing here.
type system struct{}

func (b *Batch) init() {}

// Writer sends batches over one socket, here with one call a datagram.
type Writer struct {
	write func([]byte, netip.AddrPort) error
}

// NewWriter makes a Writer for an IPv4 socket.
func NewWriter(c *net.UDPConn) (*Writer, error) {
	if c == nil {
		return nil, fmt.Errorf("send in batches: %w", net.ErrClosed)
	}
	return &Writer{write: func(b []byte, to netip.AddrPort) error {
		_, err := c.WriteToUDPAddrPort(b, to)
		return err
	}}, nil
}

// Send sends what the batch has not tried yet. A datagram's own error is in
// Batch.Err and costs the others nothing. The error returned is what stopped
// it before the end: the socket's write deadline, or that it was closed. It
// may be called again to go on.
func (w *Writer) Send(b *Batch) error { return b.SendEach(w.write) }
