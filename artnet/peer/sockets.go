package peer

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"time"
)

// socketBuffer is what the kernel is asked to hold for a socket each way: a
// frame of 512 universes is 270 kB, and a burst of replies comes on top.
const socketBuffer = 1 << 20

// asideMost is how many sockets there are for SendAside: as many devices can be
// without an answer before one is in the other's way.
const asideMost = 32

// Sockets is a device's place on the network: a socket on its own address and,
// where the system does not hand broadcasts to such a socket (see
// broadcastApart), one on the directed broadcast address. The address may be
// shared with another program that allows it too.
type Sockets struct {
	own       *net.UDPConn
	broadcast *net.UDPConn // nil where there is none
	writer    *Writer
	aside     []*net.UDPConn
	asides    []*Writer
	local     netip.AddrPort
	net       Interface
	deaf      error
	shared    bool
}

// Open binds addr on interface i. The interface decides the directed
// broadcast address.
func Open(i Interface, port uint16) (*Sockets, error) {
	at := netip.AddrPortFrom(i.Addr(), port)
	shared := port != 0 && taken(at)
	own, err := bind(at)
	if err != nil {
		return nil, err
	}
	writer, err := NewWriter(own)
	if err != nil {
		own.Close()
		return nil, err
	}
	s := &Sockets{own: own, writer: writer, net: i, shared: shared}
	s.local = own.LocalAddr().(*net.UDPAddr).AddrPort()
	s.local = netip.AddrPortFrom(s.local.Addr().Unmap(), s.local.Port())
	s.aside, s.asides = openAside(s.local)
	if to := s.Broadcast(); to.IsValid() && broadcastApart {
		s.broadcast, s.deaf = bind(to)
	}
	return s, nil
}

func bind(at netip.AddrPort) (*net.UDPConn, error) {
	lc := net.ListenConfig{Control: shareAddress}
	c, err := lc.ListenPacket(context.Background(), "udp4", at.String())
	if err != nil {
		return nil, fmt.Errorf("open UDP %v: %w", at, err)
	}
	u := c.(*net.UDPConn)
	// Best effort: a system may allow less, and less still works.
	_ = u.SetReadBuffer(socketBuffer)
	_ = u.SetWriteBuffer(socketBuffer)
	return u, nil
}

// taken reports whether some program holds the address already, by asking for
// it without sharing.
func taken(at netip.AddrPort) bool {
	c, err := net.ListenUDP("udp4", net.UDPAddrFromAddrPort(at))
	if err != nil {
		return errors.Is(err, errAddrInUse)
	}
	c.Close()
	return false
}

// Local is the device's own address and port.
func (s *Sockets) Local() netip.AddrPort { return s.local }

// Interface is where the sockets are.
func (s *Sockets) Interface() Interface { return s.net }

// Broadcast is the directed broadcast address with the device's port, or the
// zero AddrPort.
func (s *Sockets) Broadcast() netip.AddrPort {
	if b := s.net.Broadcast(); b.IsValid() {
		return netip.AddrPortFrom(b, s.local.Port())
	}
	return netip.AddrPort{}
}

// HearsBroadcasts reports whether what is sent to Broadcast arrives here.
func (s *Sockets) HearsBroadcasts() bool {
	return s.Broadcast().IsValid() && (s.broadcast != nil || !broadcastApart)
}

// Deaf is why broadcasts are not heard, or nil.
func (s *Sockets) Deaf() error { return s.deaf }

// Shared reports whether another program had the same address and port when
// these were opened. The system then gives each unicast datagram to only one.
func (s *Sockets) Shared() bool { return s.shared }

// WriteToAddrPort sends one datagram. It does not allocate, and waits for the
// network no longer than SetWriteDeadline allows.
func (s *Sockets) WriteToAddrPort(b []byte, to netip.AddrPort) error {
	_, err := s.own.WriteToUDPAddrPort(b, to)
	return err
}

// Send sends what the batch has not tried yet, as Writer.Send does.
func (s *Sockets) Send(b *Batch) error { return s.writer.Send(b) }

// SendAside sends a batch to a device that may not be there. On Linux a datagram
// to a device that does not answer ARP waits seconds for it, and counts against
// the socket it came from: a few such devices and the socket takes nothing more,
// for nobody. So there are some sockets aside, and the lane, any number, says
// which; devices with a lane each cannot touch one another. It never waits: what
// the socket does not take fails with ENOBUFS. Elsewhere it is Send.
func (s *Sockets) SendAside(b *Batch, lane int) error {
	if len(s.asides) == 0 {
		return s.Send(b)
	}
	return s.asides[lane%len(s.asides)].Send(b)
}

// SetWriteDeadline limits every write until it is set again.
func (s *Sockets) SetWriteDeadline(t time.Time) error { return s.own.SetWriteDeadline(t) }

// Close closes both sockets and ends Read. Closing again does nothing.
func (s *Sockets) Close() error {
	err := s.own.Close()
	if s.broadcast != nil {
		err = errors.Join(err, s.broadcast.Close())
	}
	for _, c := range s.aside {
		err = errors.Join(err, c.Close())
	}
	if errors.Is(err, net.ErrClosed) {
		return nil
	}
	return err
}
