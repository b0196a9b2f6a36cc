package link_test

import (
	"context"
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
)

type runner interface {
	Run(context.Context) error
	Close() error
}

func background(t *testing.T, r runner) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- r.Run(ctx) }()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
		require.NoError(t, r.Close())
	})
}

type frame struct {
	port  artnet.PortAddress
	slots []byte
}

// node runs a software node on loopback. Its frames come out of the channel.
func node(t *testing.T, addr string, port int, ports ...artnet.PortAddress) (*fakenode.Node, <-chan frame) {
	t.Helper()
	frames := make(chan frame, 1000)
	n, err := fakenode.Listen(fakenode.Config{
		Addr:        netip.AddrPortFrom(netip.MustParseAddr(addr), uint16(port)),
		Ports:       ports,
		AnswerDelay: func() time.Duration { return 0 },
		Output: func(p artnet.PortAddress, slots []byte, _ uint8) {
			select {
			case frames <- frame{p, append([]byte(nil), slots...)}:
			default: // the test has seen enough
			}
		},
	})
	require.NoError(t, err)
	background(t, n)
	return n, frames
}

func nextFrame(t *testing.T, frames <-chan frame) frame {
	t.Helper()
	select {
	case f := <-frames:
		return f
	case <-time.After(outside.Patience):
		t.Fatalf("no frame came in %v", outside.Patience)
		return frame{}
	}
}

// The whole way over real sockets: found by broadcast, lit, lost, back.
func TestLinkAndNodeOnLoopback(t *testing.T) {
	port := outside.FreePort(t)
	a, framesA := node(t, "127.0.1.21", port, 1, 2)
	b, framesB := node(t, "127.0.1.22", port, 2, 0x123)
	if !a.Discoverable() {
		t.Skip("this system has no broadcasts on loopback")
	}
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.1.20"), Port: port, AnswerDelay: func() time.Duration { return 0 }})
	require.NoError(t, err)
	background(t, l)

	outside.Await(t, "both nodes are found with all their pages", func() bool {
		n := l.Nodes()
		return len(n) == 2 && len(n[0].Ports) == 2 && len(n[1].Ports) == 2
	})
	nodes := l.Nodes()
	require.Equal(t, a.Addr(), nodes[0].Addr)
	require.Equal(t, b.Addr(), nodes[1].Addr)
	require.Equal(t, "software node", nodes[0].Name)
	require.Equal(t, []artnet.PortAddress{2, 0x123}, nodes[1].Ports)

	addresses, slots := []uint16{1, 2, 0x123, 7}, [][]byte{{10, 11}, {20, 21}, {30, 31}, {70, 71}}
	require.NoError(t, l.SendFrame(addresses, slots, true))
	require.Equal(t, frame{1, slots[0]}, nextFrame(t, framesA))
	require.Equal(t, frame{2, slots[1]}, nextFrame(t, framesA))
	require.Equal(t, frame{2, slots[1]}, nextFrame(t, framesB))
	require.Equal(t, frame{0x123, slots[2]}, nextFrame(t, framesB))
	got, sequence, _, ok := b.Frame(0x123)
	require.True(t, ok)
	require.Equal(t, slots[2], got)
	require.Equal(t, uint8(1), sequence)
	require.Equal(t, uint64(4), l.Stats().Packets, "nobody wants port-address 7, and nobody gets it")
	require.Zero(t, a.Stats().OtherPort)

	outside.Await(t, "the link answers its own poll", func() bool { return l.Stats().Replies > 0 })

	b.Silence(true)
	outside.Await(t, "a node that stops answering is lost", func() bool { return l.Nodes()[1].Lost })
	require.False(t, l.Nodes()[0].Lost)
	slots[2][0] = 99
	require.NoError(t, l.SendFrame(addresses, slots, false))
	b.Silence(false)
	outside.Await(t, "it is back", func() bool { return !l.Nodes()[1].Lost })
	for len(framesB) > 0 {
		<-framesB
	}
	require.NoError(t, l.SendFrame(addresses, slots, false))
	require.Equal(t, frame{2, slots[1]}, nextFrame(t, framesB))
	require.Equal(t, frame{0x123, slots[2]}, nextFrame(t, framesB), "in full, with what it missed")
}

// Where discovery cannot work: a node with a port of its own, named to the link.
func TestNamedNode(t *testing.T) {
	n, frames := node(t, "127.0.0.1", 0, 1)
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.0.1"), Port: outside.FreePort(t), To: []netip.AddrPort{n.Addr()}})
	require.NoError(t, err)
	background(t, l)
	require.NoError(t, l.SendFrame([]uint16{1}, [][]byte{{5, 6, 7, 8}}, true), "without waiting for an answer")
	require.Equal(t, frame{1, []byte{5, 6, 7, 8}}, nextFrame(t, frames))
	outside.Await(t, "it answers the poll", func() bool { return len(l.Nodes()) == 1 })
	require.Equal(t, n.Addr(), l.Nodes()[0].Addr)
}

// Whatever arrives at the open port is counted, and reading goes on.
func TestGarbageOverRealSockets(t *testing.T) {
	port := outside.FreePort(t)
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.0.1"), Port: port})
	require.NoError(t, err)
	background(t, l)
	c, err := net.DialUDP("udp4", nil, net.UDPAddrFromAddrPort(l.Local()))
	require.NoError(t, err)
	defer c.Close()
	for _, b := range [][]byte{{}, []byte("x"), make([]byte, 9000), []byte("Art-Net\x00\x00\x50\x00\x0e\x01\x00\x01\x00\x00\x03abc")} {
		_, err := c.Write(b)
		require.NoError(t, err)
	}
	outside.Await(t, "four datagrams are counted", func() bool {
		s := l.Stats().Ignored
		return s.NotArtNet == 3 && s.Malformed == 1
	})
}
