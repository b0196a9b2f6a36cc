package peer

import (
	"context"
	"fmt"
	"net"
	"net/netip"
	"syscall"
	"time"
)

// SenderOptions say how far datagrams to multicast groups go.
type SenderOptions struct {
	// TTL is how many networks they may pass, 1..255; 1 stays on the link.
	TTL int
	// NoLoop keeps them from listeners on this machine.
	NoLoop bool
}

// Sender is a socket that only sends, from an interface's own address and a
// port that the system picks. Multicast leaves by that interface.
type Sender struct {
	conn   *net.UDPConn
	writer *Writer
	local  netip.AddrPort
	net    Interface
}

// OpenSender opens a Sender on interface i.
func OpenSender(i Interface, o SenderOptions) (*Sender, error) {
	if !i.Addr().Is4() {
		return nil, fmt.Errorf("open UDP on %s: it has no IPv4 address", i.Name)
	}
	lc := net.ListenConfig{Control: func(_, _ string, c syscall.RawConn) error {
		return sendMulticast(c, i.Addr().As4(), o)
	}}
	c, err := lc.ListenPacket(context.Background(), "udp4", netip.AddrPortFrom(i.Addr(), 0).String())
	if err != nil {
		return nil, fmt.Errorf("open UDP on %v for multicast: %w", i.Addr(), err)
	}
	u := c.(*net.UDPConn)
	_ = u.SetWriteBuffer(socketBuffer) // best effort, as in bind
	writer, err := NewWriter(u)
	if err != nil {
		u.Close()
		return nil, err
	}
	local := u.LocalAddr().(*net.UDPAddr).AddrPort()
	return &Sender{conn: u, writer: writer, local: netip.AddrPortFrom(local.Addr().Unmap(), local.Port()), net: i}, nil
}

// Local is the address that datagrams come from.
func (s *Sender) Local() netip.AddrPort { return s.local }

// Interface is where the socket is.
func (s *Sender) Interface() Interface { return s.net }

// WriteToAddrPort sends one datagram. It does not allocate, and waits for the
// network no longer than SetWriteDeadline allows.
func (s *Sender) WriteToAddrPort(b []byte, to netip.AddrPort) error {
	_, err := s.conn.WriteToUDPAddrPort(b, to)
	return err
}

// Send sends what the batch has not tried yet, as Writer.Send does.
func (s *Sender) Send(b *Batch) error { return s.writer.Send(b) }

// SetWriteDeadline limits every write until it is set again.
func (s *Sender) SetWriteDeadline(t time.Time) error { return s.conn.SetWriteDeadline(t) }

// Close closes the socket.
func (s *Sender) Close() error { return s.conn.Close() }
