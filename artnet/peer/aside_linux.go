package peer

import (
	"net"
	"net/netip"

	"golang.org/x/sys/unix"
)

// openAside opens sockets that only send. They share the address at with the
// socket that receives, and take nothing from it: each is connected to a place
// here that nobody sends from, and a connected socket hears that place alone.
// Sending elsewhere stays allowed (connect(2), udp(7)). What cannot be had is
// done without.
func openAside(at netip.AddrPort) (conns []*net.UDPConn, writers []*Writer) {
	for range asideMost {
		c, err := bind(at)
		if err != nil {
			break
		}
		w, err := NewWriter(c)
		if err == nil {
			err = connect(w, netip.AddrPortFrom(at.Addr(), discardPort))
		}
		if err != nil {
			c.Close()
			break
		}
		w.aside = true
		conns, writers = append(conns, c), append(writers, w)
	}
	return conns, writers
}

// discardPort is the port of the discard service, RFC 863: nobody sends from it.
const discardPort = 9

func connect(w *Writer, to netip.AddrPort) (err error) {
	if e := w.raw.Control(func(fd uintptr) {
		err = unix.Connect(int(fd), &unix.SockaddrInet4{Port: int(to.Port()), Addr: to.Addr().As4()})
	}); e != nil {
		return e
	}
	return err
}
