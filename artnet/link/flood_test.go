package link_test

import (
	"math/rand/v2"
	"net"
	"net/netip"
	"runtime"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
)

// garbage are datagrams of every kind that a controller has no use for.
func garbage(t testing.TB) [][]byte {
	theirs := encode(t, &artnet.Dmx{PortAddress: 1, Data: make([]byte, 512)})
	odd := append([]byte(nil), theirs...)
	odd[17] = 3
	return [][]byte{
		[]byte("x"), make([]byte, 1400), theirs, theirs[:17], odd, encode(t, &artnet.Sync{}),
		[]byte("Art-Net\x00"), []byte("Art-Net\x00\x00\x20\x00\x0e"), []byte("Art-Net\x00\x00\x21"), []byte("Art-Net\x00\xff\xff\x00\x0e"),
	}
}

// A flood of 100 000 datagrams that mean nothing: every frame still reaches the
// node, counted there, and nothing is left behind.
func TestFloodOfGarbage(t *testing.T) {
	const flood = 100_000
	port := outside.FreePort(t)
	var arrived atomic.Int64
	node, err := fakenode.Listen(fakenode.Config{
		Addr: netip.AddrPortFrom(netip.MustParseAddr("127.0.1.51"), uint16(port)), Ports: []artnet.PortAddress{1},
		Output: func(artnet.PortAddress, []byte, uint8) { arrived.Add(1) },
	})
	require.NoError(t, err)
	background(t, node)
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.1.50"), Port: port, To: []netip.AddrPort{node.Addr()}})
	require.NoError(t, err)
	background(t, l)
	from, err := net.DialUDP("udp4", nil, net.UDPAddrFromAddrPort(l.Local()))
	require.NoError(t, err)
	defer from.Close()

	kinds := garbage(t)
	pour := func(n int) {
		for range n {
			_, _ = from.Write(kinds[rand.N(len(kinds))]) // what does not fit is lost, as on any network
		}
	}
	sent := int64(0)
	tick := time.NewTicker(time.Second / 44)
	defer tick.Stop()
	frame := func() {
		sent++
		require.NoError(t, l.SendFrame([]uint16{1}, [][]byte{{byte(sent), 1}}, false))
		<-tick.C
	}
	frame()
	pour(1000)
	outside.Await(t, "the flood is read", func() bool { return l.Stats().Received > 900 })
	before := usage()

	poured := make(chan struct{})
	go func() { defer close(poured); pour(flood) }()
	for flooding := true; flooding || sent < 44; {
		frame()
		select {
		case <-poured:
			flooding = false
		default:
		}
	}
	// Frames may lie back to back after a stall of the machine; none is lost.
	outside.Await(t, "every frame is at the node", func() bool { return arrived.Load() == sent-int64(l.Stats().Held) })
	require.Zero(t, l.Stats().Held, "the rate of the line was never exceeded")
	require.Zero(t, l.Stats().SendErrors)
	require.Greater(t, l.Stats().Received, uint64(flood/2), "most of the flood was read, not dropped by the system")
	ignored := l.Stats().Ignored
	require.NotZero(t, min(ignored.NotArtNet, ignored.Short, ignored.OpCode, ignored.Malformed, ignored.Dmx))

	after := usage()
	require.LessOrEqual(t, after.goroutines, before.goroutines)
	require.Less(t, after.heap, before.heap+1<<20, "bytes of memory in use")
	require.Empty(t, l.Stats().LastError)
}

type used struct {
	goroutines int
	heap       uint64
}

func usage() used {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return used{runtime.NumGoroutine(), m.HeapAlloc}
}

// The cost of a datagram that is not for us, beside that of a full parse.
func BenchmarkReceiveForeignDmx(b *testing.B) {
	l := toSink(b)
	require.NoError(b, l.SendFrame([]uint16{1, 2}, [][]byte{{1, 2}, {1, 2}}, false))
	theirs := encode(b, &artnet.Dmx{PortAddress: 1, Data: make([]byte, 512)})
	var took, baseline time.Duration
	for b.Loop() {
		t0 := time.Now()
		for range 100 {
			l.Receive(other, theirs)
		}
		t1 := time.Now()
		for range 100 {
			_, _ = artnet.Parse(theirs)
		}
		took, baseline = took+t1.Sub(t0), baseline+time.Since(t1)
	}
	b.ReportMetric(float64(took)/float64(baseline), "of-parse")
	b.ReportMetric(float64(took.Nanoseconds())/float64(b.N*100), "ns/datagram")
}
