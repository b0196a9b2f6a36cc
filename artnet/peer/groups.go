package peer

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"syscall"
)

// Everywhere is a socket on every address of this machine that takes what no
// program with an address of its own takes, and every broadcast. It is for
// listening beside such programs without taking anything away from them.
func Everywhere(port uint16) (*Sockets, error) {
	// An address that no program has for itself is taken when, and only when,
	// another program is on every address too.
	unused := netip.AddrFrom4([4]byte{127, 255, 255, 254})
	shared := port != 0 && taken(netip.AddrPortFrom(unused, port))
	own, err := bind(netip.AddrPortFrom(netip.IPv4Unspecified(), port))
	if err != nil {
		return nil, err
	}
	local := netip.AddrPortFrom(netip.IPv4Unspecified(), uint16(own.LocalAddr().(*net.UDPAddr).Port))
	return &Sockets{own: own, local: local, shared: shared}, nil
}

// Groups is a place in multicast groups: sockets that get what is sent to the
// groups on some interfaces, and what is sent to the port of this machine.
type Groups struct {
	conns []*net.UDPConn
}

// Join takes a port and joins every group on every interface given. What cannot
// be joined is left out and told by refused, one error a group and interface;
// err is for when nothing can be had at all.
func Join(port uint16, groups []netip.Addr, on []Interface) (g *Groups, refused []error, err error) {
	g = &Groups{}
	room := 0
	for _, group := range groups {
		for _, i := range on {
			if room == 0 {
				if err := g.add(port); err != nil {
					return nil, nil, errors.Join(err, g.Close())
				}
				room = membershipsMost
			}
			if err := join(g.conns[len(g.conns)-1], group, i.Addr()); err != nil {
				refused = append(refused, fmt.Errorf("join %v on %s %v: %w", group, i.Name, i.Addr(), err))
				continue
			}
			room--
		}
	}
	if len(g.conns) == 0 {
		err = g.add(port)
	}
	return g, refused, err
}

// JoinOne joins one group on every interface given, and takes nothing else where the
// system lets a socket have a group's address: what is sent to this machine alone stays
// with the programs that are there for it. The error is for when no interface lets it.
func JoinOne(port uint16, group netip.Addr, on []Interface) (*Groups, error) {
	c, err := bindGroup(netip.AddrPortFrom(group, port))
	if err != nil {
		return nil, err
	}
	g := &Groups{conns: []*net.UDPConn{c}}
	if err := control(c, onlyJoined); err != nil {
		return nil, errors.Join(err, g.Close())
	}
	var refused []error
	for _, i := range on {
		if err := join(c, group, i.Addr()); err != nil {
			refused = append(refused, fmt.Errorf("join %v on %s %v: %w", group, i.Name, i.Addr(), err))
		}
	}
	if len(refused) == len(on) {
		return nil, errors.Join(errors.Join(refused...), g.Close())
	}
	return g, nil
}

// add opens one more socket.
func (g *Groups) add(port uint16) error {
	c, err := bind(netip.AddrPortFrom(netip.IPv4Unspecified(), port))
	if err != nil {
		return err
	}
	g.conns = append(g.conns, c)
	return control(c, onlyJoined)
}

func join(c *net.UDPConn, group, on netip.Addr) error {
	request := syscall.IPMreq{Multiaddr: group.As4(), Interface: on.As4()}
	return control(c, func(fd uintptr) error { return joinGroup(fd, &request) })
}

// control runs a system call on a socket.
func control(c *net.UDPConn, do func(fd uintptr) error) error {
	raw, err := c.SyscallConn()
	if err != nil {
		return err
	}
	var failed error
	if err := raw.Control(func(fd uintptr) { failed = do(fd) }); err != nil {
		return err
	}
	return failed
}

// Read hands every datagram to handle, which may be called from several
// goroutines at once. It returns nil after Close, or the error that ended
// reading.
func (g *Groups) Read(handle Handle) error { return readAll(handle, g.conns...) }

// Close leaves the groups and ends Read. Closing again does nothing.
func (g *Groups) Close() error {
	var all error
	for _, c := range g.conns {
		if err := c.Close(); err != nil && !errors.Is(err, net.ErrClosed) {
			all = errors.Join(all, err)
		}
	}
	return all
}
