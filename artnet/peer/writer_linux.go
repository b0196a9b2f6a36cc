package peer

import (
	"encoding/binary"
	"fmt"
	"net"
	"sync/atomic"
	"syscall"
	"unsafe"

	"golang.org/x/sys/unix"
)

const (
	// messagesMost is how many messages one sendmmsg takes. Past 64 a call is
	// no cheaper a message, and the socket is held longer.
	messagesMost = 64
	// segmentsMost is how many datagrams the kernel cuts from one message:
	// UDP_MAX_SEGMENTS of linux/udp.h before 6.9, which doubled it.
	segmentsMost = 64
	// segmentsLeast: two or three datagrams are no cheaper as one message
	// (BenchmarkBatch).
	segmentsLeast = 4
	// segmentBytes bounds such a message, an IP packet until it is cut.
	segmentBytes = 65000
	// vectorsMost bounds the datagrams of one sendmmsg.
	vectorsMost = 1024
)

// segmentControl is the control message UDP_SEGMENT (udp(7)), as in memory.
type segmentControl struct {
	header unix.Cmsghdr
	size   uint16
	_      [6]byte // CMSG_ALIGN
}

// system is what a Batch needs of the system: what sendmmsg(2) reads.
type system struct {
	messages [messagesMost]unix.Mmsghdr
	names    [messagesMost]unix.RawSockaddrInet4
	controls [messagesMost]segmentControl
	vectors  [vectorsMost]unix.Iovec
	counts   [messagesMost]int // datagrams of a message
	filled   int               // messages made
	next     int               // messages dealt with
	again    bool              // the message was tried after an error already
	whole    bool              // no message takes more than one datagram
	refused  syscall.Errno     // of a message with segments, while they are tried one by one
	writer   *Writer
	step     func(fd uintptr) (done bool)
}

func (b *Batch) init() {
	for m := range b.messages {
		h := &b.messages[m].Hdr
		h.Name, h.Namelen = (*byte)(unsafe.Pointer(&b.names[m])), unix.SizeofSockaddrInet4
		b.names[m].Family = unix.AF_INET
		c := &b.controls[m].header
		c.Level, c.Type = unix.SOL_UDP, unix.UDP_SEGMENT
		c.SetLen(unix.CmsgLen(2))
	}
	b.step = b.sendSome // made once: a method value allocates
}

// Writer sends batches over one socket. It uses sendmmsg, and where datagrams
// of one size to one destination stand together, one message with UDP_SEGMENT
// for them, which the kernel carries as one until the interface. A capture on
// this machine shows such a message as one long datagram, though the device
// gets single ones; so batches that fit one sendmmsg, where it would save least,
// go without.
type Writer struct {
	raw syscall.RawConn
	// plain is set for good once UDP_SEGMENT was refused where single datagrams
	// were not: an interface without checksums of its own refuses (EIO), so
	// does a kernel before 4.18 (EINVAL).
	plain atomic.Bool
	aside bool // never wait: see Sockets.SendAside
}

// NewWriter makes a Writer for an IPv4 socket.
func NewWriter(c *net.UDPConn) (*Writer, error) {
	raw, err := c.SyscallConn()
	if err != nil {
		return nil, fmt.Errorf("send in batches: %w", err)
	}
	return &Writer{raw: raw}, nil
}

// Send sends what the batch has not tried yet. A datagram's own error is in
// Batch.Err and costs the others nothing. The error returned is what stopped
// it before the end: the socket's write deadline, or that it was closed. It
// may be called again to go on.
func (w *Writer) Send(b *Batch) error {
	b.writer, b.filled, b.next, b.again = w, 0, 0, false
	b.whole = len(b.list) <= messagesMost || w.plain.Load()
	if b.tried == len(b.list) {
		return nil
	}
	err := w.raw.Write(b.step)
	if err != nil {
		b.list[b.tried].err = err
	}
	return err
}

// sendSome sends until all is tried, or reports false to be called again when
// the socket takes more.
func (b *Batch) sendSome(fd uintptr) (done bool) {
	for {
		if b.next == b.filled && !b.fill() {
			return true
		}
		n, _, errno := unix.Syscall6(unix.SYS_SENDMMSG, fd,
			uintptr(unsafe.Pointer(&b.messages[b.next])), uintptr(b.filled-b.next), 0, 0, 0)
		switch {
		case errno == 0:
			b.sent(int(n))
		case errno == unix.EINTR:
		case errno == unix.EAGAIN && b.writer.aside:
			b.failed(unix.ENOBUFS)
		case errno == unix.EAGAIN:
			return false
		case errno == unix.ECONNREFUSED && !b.again:
			// What an earlier datagram met. This one was not sent yet.
			b.again = true
		default:
			b.failed(errno)
		}
	}
}

// fill makes messages of what was not tried, and reports whether there is any.
func (b *Batch) fill() bool {
	b.filled, b.next = 0, 0
	vectors := 0
	for i := b.tried; i < len(b.list) && b.filled < messagesMost; {
		if to := b.list[i].to; !to.Addr().Unmap().Is4() {
			if b.filled > 0 {
				break
			}
			b.list[i].err = &net.AddrError{Err: "not an IPv4 address", Addr: to.String()}
			b.tried, i = b.tried+1, i+1
			continue
		}
		n := b.run(i, vectorsMost-vectors)
		if n == 0 {
			break
		}
		b.message(i, n, vectors)
		i, vectors = i+n, vectors+n
	}
	return b.filled > 0
}

// run is how many datagrams from i one message takes, at most most: those of
// one size to one destination, and one shorter at the end.
func (b *Batch) run(i, most int) int {
	if b.whole || most == 0 {
		return min(1, most)
	}
	size, to := len(b.list[i].b), b.list[i].to
	if size == 0 {
		return 1 // the kernel cuts nothing into pieces of 0 bytes
	}
	most = min(most, segmentsMost, segmentBytes/size, len(b.list)-i)
	n := 1
	for n < most && b.list[i+n].to == to && len(b.list[i+n].b) == size {
		n++
	}
	if n < most && b.list[i+n].to == to && 0 < len(b.list[i+n].b) && len(b.list[i+n].b) < size {
		n++
	}
	if n < segmentsLeast {
		return 1
	}
	return n
}

// message makes the next message of n datagrams from i on, with vectors from at.
func (b *Batch) message(i, n, at int) {
	m := b.filled
	to := b.list[i].to
	name := &b.names[m]
	name.Addr = to.Addr().As4()
	name.Port = binary.NativeEndian.Uint16([]byte{byte(to.Port() >> 8), byte(to.Port())})
	for k := range n {
		v, data := &b.vectors[at+k], b.list[i+k].b
		v.Base = unsafe.SliceData(data)
		v.SetLen(len(data))
	}
	h := &b.messages[m].Hdr
	h.Iov = &b.vectors[at]
	h.SetIovlen(n)
	h.Control = nil
	h.SetControllen(0)
	if n > 1 {
		c := &b.controls[m]
		c.size = uint16(len(b.list[i].b))
		h.Control = (*byte)(unsafe.Pointer(c))
		h.SetControllen(unix.CmsgSpace(2))
	}
	b.counts[m] = n
	b.filled++
}

// sent counts n messages as gone.
func (b *Batch) sent(n int) {
	for range n {
		for range b.counts[b.next] {
			b.list[b.tried].err = nil
			b.tried++
		}
		b.next++
	}
	b.again = false
	if b.refused != 0 {
		b.writer.plain.Store(true) // segments are refused, single ones are not
		b.refused = 0
	}
}

// failed deals with an error of the next message.
func (b *Batch) failed(errno syscall.Errno) {
	b.again = false
	n := b.counts[b.next]
	if n > 1 && (errno == unix.EIO || errno == unix.EINVAL || errno == unix.EMSGSIZE) {
		// Segments may be refused, or the destination: single ones will tell.
		b.whole, b.refused = true, errno
		b.filled, b.next = 0, 0
		return
	}
	for range n {
		b.list[b.tried].err = errno
		b.tried++
	}
	b.next++
	b.refused = 0
}
