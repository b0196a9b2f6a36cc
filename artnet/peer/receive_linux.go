package peer

import (
	"net"
	"net/netip"
	"os"
	"syscall"
	"unsafe"

	"golang.org/x/sys/unix"
)

// takenMost is how many datagrams one system call takes at most. More brings
// little: at 32 the call itself is a few percent of what the datagrams cost.
const takenMost = 32

// reader takes datagrams from a socket in batches, recvmmsg(2). The messages
// point into its own buffers, made once: x/net's ReadBatch would do the same
// call, but makes a net.Addr for every datagram.
type reader struct {
	raw      syscall.RawConn
	messages [takenMost]received
	vectors  [takenMost]unix.Iovec
	froms    [takenMost]unix.RawSockaddrInet4
	buffers  [takenMost][datagramMost]byte

	take  func(fd uintptr) bool // receive as a value, made once
	got   int
	errno syscall.Errno
}

// received is struct mmsghdr.
type received struct {
	unix.Msghdr
	size uint32
}

func newReader(c *net.UDPConn) (*reader, error) {
	raw, err := c.SyscallConn()
	if err != nil {
		return nil, err
	}
	r := &reader{raw: raw}
	r.take = r.receive
	for i := range r.messages {
		r.vectors[i].Base = &r.buffers[i][0]
		r.vectors[i].SetLen(datagramMost)
		m := &r.messages[i]
		m.Name = (*byte)(unsafe.Pointer(&r.froms[i]))
		m.Iov = &r.vectors[i]
		m.SetIovlen(1)
	}
	return r, nil
}

// next waits for datagrams and hands on those that are there.
func (r *reader) next(handle Handle) error {
	if err := r.raw.Read(r.take); err != nil {
		return err
	}
	if r.errno != 0 {
		return os.NewSyscallError("recvmmsg", r.errno)
	}
	for i := range r.got {
		from := &r.froms[i]
		port := (*[2]byte)(unsafe.Pointer(&from.Port)) // in network order
		handle(netip.AddrPortFrom(netip.AddrFrom4(from.Addr), uint16(port[0])<<8|uint16(port[1])), r.buffers[i][:r.messages[i].size])
	}
	return nil
}

// receive asks the kernel once. It reports false when there is nothing yet:
// then the runtime waits until there is.
func (r *reader) receive(fd uintptr) bool {
	for i := range r.messages {
		r.messages[i].Namelen = unix.SizeofSockaddrInet4 // the kernel writes here
	}
	for {
		n, _, errno := unix.Syscall6(unix.SYS_RECVMMSG, fd, uintptr(unsafe.Pointer(&r.messages[0])), takenMost, unix.MSG_DONTWAIT, 0, 0)
		switch errno {
		case unix.EINTR:
			continue
		case unix.EAGAIN:
			return false
		}
		r.got, r.errno = int(n), errno
		return true
	}
}
