package link_test

import (
	"context"
	"math/rand/v2"
	"net"
	"net/netip"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
)

// badRadio is between a controller and a node: it loses a twentieth of what it is
// given, and holds back a tenth until two more have passed.
type badRadio struct {
	addr netip.AddrPort
	n    atomic.Int64 // of datagrams it was given
}

func newBadRadio(t *testing.T, to netip.AddrPort) *badRadio {
	t.Helper()
	in, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	out, err := net.DialUDP("udp4", nil, net.UDPAddrFromAddrPort(to))
	require.NoError(t, err)
	r := &badRadio{addr: netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 0, 0, 1}), uint16(in.LocalAddr().(*net.UDPAddr).Port))}
	var wait sync.WaitGroup
	wait.Go(func() { r.relay(in, out) })
	t.Cleanup(func() { in.Close(); wait.Wait(); out.Close() })
	return r
}

func (r *badRadio) relay(in, out *net.UDPConn) {
	chance := rand.New(rand.NewPCG(1, 2))
	var held []byte
	left := 0
	for buf := make([]byte, 2048); ; {
		n, err := in.Read(buf)
		if err != nil {
			return
		}
		r.n.Add(1)
		switch p := chance.Float64(); {
		case p < 0.05:
			continue
		case p < 0.15 && held == nil:
			held, left = append([]byte(nil), buf[:n]...), 2
			continue
		}
		_, _ = out.Write(buf[:n])
		if left--; held != nil && left <= 0 {
			_, _ = out.Write(held)
			held = nil
		}
	}
}

// Over a radio that loses 5 % and turns the order round, a node never goes back in a
// fade (it drops what its sequence number says is overtaken), gets nearly all of it,
// and ends where the fade ends, though the last frame itself be lost: unchanged
// data is repeated within a second.
func TestLossAndReordering(t *testing.T) {
	var mu sync.Mutex
	var seen []byte
	node, err := fakenode.Listen(fakenode.Config{
		Addr:  netip.AddrPortFrom(netip.AddrFrom4([4]byte{127, 0, 1, 77}), uint16(outside.FreePort(t))),
		Ports: []artnet.PortAddress{1}, Name: "far away",
		Output: func(_ artnet.PortAddress, slots []byte, _ uint8) {
			mu.Lock()
			defer mu.Unlock()
			seen = append(seen, slots[0])
		},
	})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	var wait sync.WaitGroup
	wait.Go(func() { _ = node.Run(ctx) })
	t.Cleanup(func() { cancel(); wait.Wait() })
	radio := newBadRadio(t, node.Addr())
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.0.1"), Port: outside.FreePort(t), To: []netip.AddrPort{radio.addr}})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, l.Close()) })

	const frames = 250
	slots := make([]byte, 512)
	now := time.Now()
	for i := range frames {
		now = now.Add(frameGap)
		slots[0] = byte(i + 1)
		require.NoError(t, l.SendFrameAt(now, []uint16{1}, [][]byte{slots}, false))
		outside.Await(t, "the radio took it", func() bool { return radio.n.Load() == int64(i+1) }) // or sockets would overflow
	}
	outside.Await(t, "the fade ended where it should", func() bool {
		now = now.Add(frameGap)
		require.NoError(t, l.SendFrameAt(now, []uint16{1}, [][]byte{slots}, false))
		mu.Lock()
		defer mu.Unlock()
		return len(seen) > 0 && seen[len(seen)-1] == frames
	})
	mu.Lock()
	defer mu.Unlock()
	for i := 1; i < len(seen); i++ {
		require.GreaterOrEqual(t, seen[i], seen[i-1], "the fade went back")
	}
	require.Greater(t, len(seen), frames*3/4)
}
