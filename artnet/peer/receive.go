package peer

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"sync"
	"time"
)

// datagramMost is over the largest Art-Net packet, so that a datagram that is
// too long is still seen as such.
const datagramMost = 2048

// Handle takes one datagram. It must not keep b.
type Handle = func(from netip.AddrPort, b []byte)

// Read hands every datagram of both sockets to handle, which may be called from
// two goroutines at once. It returns nil after Close, or the error that ended
// reading. It makes its buffers once and nothing more for a datagram.
func (s *Sockets) Read(handle Handle) error {
	if s.broadcast == nil {
		return readAll(handle, s.own)
	}
	return readAll(handle, s.own, s.broadcast)
}

// readAll reads several sockets, each in a goroutine, until one ends; then it
// ends the others.
func readAll(handle Handle, conns ...*net.UDPConn) error {
	errs := make([]error, len(conns))
	var wait sync.WaitGroup
	for i, c := range conns {
		wait.Go(func() {
			errs[i] = read(c, handle)
			for _, other := range conns {
				_ = other.SetReadDeadline(time.Unix(1, 0))
			}
		})
	}
	wait.Wait()
	return errors.Join(errs...)
}

func read(c *net.UDPConn, handle Handle) error {
	r, err := newReader(c)
	if err != nil {
		return fmt.Errorf("read UDP: %w", err)
	}
	for {
		err := r.next(handle)
		switch {
		case err == nil:
		case errors.Is(err, net.ErrClosed) || isTimeout(err):
			return nil
		case passing(err):
			// Told that an earlier datagram of ours was refused, or got one
			// that does not fit: the socket itself is well.
		default:
			return fmt.Errorf("read UDP: %w", err)
		}
	}
}

func isTimeout(err error) bool {
	var t net.Error
	return errors.As(err, &t) && t.Timeout()
}
