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

// held is how many datagrams a test lets a socket hold before it reads them.
const held = 8 * peer.TakenMost

// lane is a socket and something that fills it.
type lane struct {
	to   *net.UDPConn
	from *net.UDPConn
	b    []byte
}

func newLane(t testing.TB, size int) *lane {
	t.Helper()
	own := netip.MustParseAddrPort("127.0.0.1:0")
	to, err := net.ListenUDP("udp4", net.UDPAddrFromAddrPort(own))
	require.NoError(t, err)
	require.NoError(t, to.SetReadBuffer(1<<20))
	from, err := net.DialUDP("udp4", nil, to.LocalAddr().(*net.UDPAddr))
	require.NoError(t, err)
	t.Cleanup(func() { to.Close(); from.Close() })
	return &lane{to: to, from: from, b: make([]byte, size)}
}

func (l *lane) fill(t testing.TB) {
	for i := range held {
		l.b[0] = byte(i)
		if _, err := l.from.Write(l.b); err != nil {
			t.Fatal(err)
		}
	}
}

// ours drains a lane the way Sockets.Read does.
func ours(t testing.TB, l *lane, handle peer.Handle) func() {
	next, err := peer.NewReader(l.to)
	require.NoError(t, err)
	got := 0
	count := func(from netip.AddrPort, b []byte) { got++; handle(from, b) }
	return func() {
		for got = 0; got < held; {
			if err := next(count); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// bare drains a lane with nothing but recvmmsg(2) over messages made before,
// on a descriptor that waits by itself.
func bare(t testing.TB, l *lane) func() {
	file, err := l.to.File()
	require.NoError(t, err)
	t.Cleanup(func() { file.Close() })
	fd := file.Fd() // sets it to wait
	type message struct {
		unix.Msghdr
		size uint32
	}
	var messages [peer.TakenMost]message
	var vectors [peer.TakenMost]unix.Iovec
	var froms [peer.TakenMost]unix.RawSockaddrInet4
	buffers := make([]byte, peer.TakenMost*2048)
	for i := range messages {
		vectors[i].Base = &buffers[i*2048]
		vectors[i].SetLen(2048)
		messages[i].Name = (*byte)(unsafe.Pointer(&froms[i]))
		messages[i].Iov = &vectors[i]
		messages[i].SetIovlen(1)
	}
	return func() {
		for got := 0; got < held; {
			for i := range messages {
				messages[i].Namelen = unix.SizeofSockaddrInet4
			}
			n, _, errno := unix.Syscall6(unix.SYS_RECVMMSG, fd, uintptr(unsafe.Pointer(&messages[0])), peer.TakenMost, unix.MSG_WAITFORONE, 0, 0)
			if errno != 0 {
				t.Fatal(errno)
			}
			got += int(n)
		}
	}
}

// The datagrams come whole, in order and with the sender's address, also when
// there are more than one call takes.
func TestBatchesKeepOrderAndSender(t *testing.T) {
	l := newLane(t, 530)
	l.fill(t)
	n := 0
	ours(t, l, func(from netip.AddrPort, b []byte) {
		require.Equal(t, l.from.LocalAddr().String(), from.String())
		require.Len(t, b, 530)
		require.Equal(t, byte(n), b[0])
		n++
	})()
	require.Equal(t, held, n)

	// One that is longer than there is room for is cut, and seen to be too long.
	_, err := l.from.Write(make([]byte, 5000))
	require.NoError(t, err)
	next, err := peer.NewReader(l.to)
	require.NoError(t, err)
	require.NoError(t, next(func(_ netip.AddrPort, b []byte) { require.Len(t, b, 2048) }))

	// A datagram without bytes is one too, RFC 768.
	_, err = l.from.Write(nil)
	require.NoError(t, err)
	seen := false
	require.NoError(t, next(func(_ netip.AddrPort, b []byte) { seen = len(b) == 0 }))
	require.True(t, seen)
}

// BenchmarkReceive takes datagrams with the bytes of a full universe. Both ways
// run in turn, so that what else the machine does hits both alike.
func BenchmarkReceive(b *testing.B) {
	b.ReportAllocs()
	ourLane, bareLane := newLane(b, 530), newLane(b, 530)
	takeOurs, takeBare := ours(b, ourLane, func(netip.AddrPort, []byte) {}), bare(b, bareLane)
	var took, baseline time.Duration
	for b.Loop() {
		ourLane.fill(b)
		bareLane.fill(b)
		t0 := time.Now()
		takeOurs()
		t1 := time.Now()
		takeBare()
		took, baseline = took+t1.Sub(t0), baseline+time.Since(t1)
	}
	n := float64(b.N * held)
	b.ReportMetric(n/took.Seconds(), "packets/s")
	b.ReportMetric(float64(baseline)/float64(took), "of-bare-recvmmsg")
}
