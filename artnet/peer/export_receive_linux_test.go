package peer

import "net"

// TakenMost is how many datagrams one call takes.
const TakenMost = takenMost

// NewReader is what Read reads a socket with; the result takes what is there.
func NewReader(c *net.UDPConn) (next func(Handle) error, err error) {
	r, err := newReader(c)
	if err != nil {
		return nil, err
	}
	return r.next, nil
}
