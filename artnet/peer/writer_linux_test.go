package peer_test

import (
	"net"
	"net/netip"
	"testing"
	"time"
	"unsafe"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"linkboy/artnet/peer"
)

// A socket without checksums refuses UDP_SEGMENT with EINVAL (linux
// net/ipv4/udp.c, udp_send_skb) and takes single datagrams: like an interface
// that cannot, which answers EIO.
func TestBatchWithoutSegments(t *testing.T) {
	node, c := udp(t), udp(t)
	raw, err := c.SyscallConn()
	require.NoError(t, err)
	var failed error
	require.NoError(t, raw.Control(func(fd uintptr) {
		failed = unix.SetsockoptInt(int(fd), unix.SOL_SOCKET, unix.SO_NO_CHECK, 1)
	}))
	require.NoError(t, failed)
	w := writer(t, c)
	b := peer.NewBatch(16)
	for range 2 {
		b.Reset()
		for range 100 {
			b.Add(make([]byte, 530), addrOf(node))
		}
		require.NoError(t, w.Send(b))
		for i := range b.Len() {
			require.NoError(t, b.Err(i))
		}
		require.Len(t, heard(t, node, 100), 100)
		require.True(t, w.Plain(), "not tried again")
	}
}

// A destination that takes nothing is no reason to think that of the others.
func TestBadDestinationKeepsSegments(t *testing.T) {
	node, c := udp(t), udp(t)
	w := writer(t, c)
	b := peer.NewBatch(16)
	for range 5 { // of which a message would be made
		b.Add(make([]byte, 530), netip.AddrPortFrom(addrOf(node).Addr(), 0)) // EINVAL, whatever the size
	}
	for range 95 {
		b.Add(make([]byte, 530), addrOf(node))
	}
	require.NoError(t, w.Send(b))
	for i := range b.Len() {
		require.Equal(t, i < 5, b.Err(i) != nil, "%d: %v", i, b.Err(i))
	}
	require.Len(t, heard(t, node, 95), 95)
	require.False(t, w.Plain())
}

// bareFrame is the raw limit: sendmmsg of 64 over headers made beforehand.
func bareFrame(t testing.TB, datagrams [][]byte, to []netip.AddrPort) func() {
	c := udp(t)
	raw, err := c.SyscallConn()
	require.NoError(t, err)
	messages := make([]unix.Mmsghdr, len(datagrams))
	names := make([]unix.RawSockaddrInet4, len(datagrams))
	vectors := make([]unix.Iovec, len(datagrams))
	for i, d := range datagrams {
		names[i] = unix.RawSockaddrInet4{Family: unix.AF_INET, Addr: to[i].Addr().As4()}
		*(*[2]byte)(unsafe.Pointer(&names[i].Port)) = [2]byte{byte(to[i].Port() >> 8), byte(to[i].Port())}
		vectors[i].Base = &d[0]
		vectors[i].SetLen(len(d))
		h := &messages[i].Hdr
		h.Name, h.Namelen = (*byte)(unsafe.Pointer(&names[i])), unix.SizeofSockaddrInet4
		h.Iov = &vectors[i]
		h.SetIovlen(1)
	}
	send := func(fd uintptr) bool {
		for at := 0; at < len(messages); {
			n, _, errno := unix.Syscall6(unix.SYS_SENDMMSG, fd, uintptr(unsafe.Pointer(&messages[at])), uintptr(min(64, len(messages)-at)), 0, 0, 0)
			if errno != 0 {
				panic(errno)
			}
			at += int(n)
		}
		return true
	}
	return func() {
		if err := raw.Write(send); err != nil {
			t.Fatal(err)
		}
	}
}

// Batch.Send beside the bare loop with the same datagrams: 512 of 530 bytes to
// nodes that take so many each, whose sockets nobody reads. Both in turn, so
// that what else the machine does hits both alike. "of-bare" is packets per
// second over those of the bare loop.
func BenchmarkBatch(b *testing.B) {
	for _, c := range []struct {
		name string
		each int
	}{{"1 a node", 1}, {"2 a node", 2}, {"4 a node", 4}, {"8 a node", 8}, {"64 a node", 64}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			const n = 512
			nodes := make([]*net.UDPConn, n/c.each)
			for i := range nodes {
				nodes[i] = udp(b)
			}
			var datagrams [][]byte
			var to []netip.AddrPort
			for i := range n {
				datagrams, to = append(datagrams, make([]byte, 530)), append(to, addrOf(nodes[i/c.each]))
			}
			raw := bareFrame(b, datagrams, to)
			w, batch := writer(b, udp(b)), peer.NewBatch(n)
			var ours, theirs time.Duration
			for b.Loop() {
				t0 := time.Now()
				batch.Reset()
				for i := range datagrams {
					batch.Add(datagrams[i], to[i])
				}
				if err := w.Send(batch); err != nil {
					b.Fatal(err)
				}
				t1 := time.Now()
				raw()
				ours, theirs = ours+t1.Sub(t0), theirs+time.Since(t1)
			}
			b.ReportMetric(float64(theirs)/float64(ours), "of-bare")
			b.ReportMetric(float64(n*b.N)/ours.Seconds(), "packets/s")
			b.ReportMetric(float64(n*b.N)/theirs.Seconds(), "bare-packets/s")
		})
	}
}
