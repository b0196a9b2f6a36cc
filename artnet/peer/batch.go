package peer

import (
	"errors"
	"net"
	"net/netip"
	"os"
)

// Batch is a list of datagrams that go out together, in their order, with as
// few system calls as the system allows. It is made once and filled again and
// again: Reset, Add, Send. One goroutine uses it at a time.
type Batch struct {
	list  []datagram
	tried int // datagrams before it were sent, or failed
	system
}

type datagram struct {
	b   []byte
	to  netip.AddrPort
	err error
}

// NewBatch makes a Batch with room for most datagrams; more make it grow.
func NewBatch(most int) *Batch {
	b := &Batch{list: make([]datagram, 0, most)}
	b.init()
	return b
}

// Reset empties the batch.
func (b *Batch) Reset() { b.list, b.tried = b.list[:0], 0 }

// Add puts a datagram at the end. The batch keeps data, not a copy: it must not
// change until the batch is sent. Datagrams of one size to one destination that
// stand together cost least.
func (b *Batch) Add(data []byte, to netip.AddrPort) {
	b.list = append(b.list, datagram{b: data, to: to})
}

// Len is how many datagrams were added.
func (b *Batch) Len() int { return len(b.list) }

// To is where datagram i goes.
func (b *Batch) To(i int) netip.AddrPort { return b.list[i].to }

// Err is why datagram i was not sent, nil when it was. It means something only
// for those before Tried.
func (b *Batch) Err(i int) error { return b.list[i].err }

// Tried is how many datagrams, from the first, were sent or failed for good.
func (b *Batch) Tried() int { return b.tried }

// SendEach sends what was not tried yet with one call of write a datagram. It
// is how a batch goes out where the system has nothing better. An error is of
// its datagram alone, and the others go on; but after the write deadline or a
// close it stops, and returns that.
func (b *Batch) SendEach(write func(data []byte, to netip.AddrPort) error) error {
	for ; b.tried < len(b.list); b.tried++ {
		d := &b.list[b.tried]
		d.err = write(d.b, d.to)
		if d.err != nil && ends(d.err) {
			return d.err
		}
	}
	return nil
}

// ends reports whether an error of sending is of the socket or the time, not
// of one datagram.
func ends(err error) bool {
	return errors.Is(err, os.ErrDeadlineExceeded) || errors.Is(err, net.ErrClosed)
}
