package link_test

import (
	"net/netip"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
)

// kinds are the op-codes of what was sent, in order, and where ArtSync went.
func kinds(t *testing.T, w *fakeWire) (codes []artnet.OpCode, syncs []netip.AddrPort) {
	t.Helper()
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, s := range w.sent {
		code, err := artnet.PeekOpCode(s.b)
		require.NoError(t, err)
		switch code {
		case artnet.OpSync:
			syncs = append(syncs, s.to)
		case artnet.OpDmx:
		default:
			continue
		}
		codes = append(codes, code)
	}
	w.sent = nil
	return codes, syncs
}

// Art-Net 4, ArtSync: after the last ArtDmx of a frame, by directed broadcast,
// also after keep-alives.
func TestSyncEndsEveryFrame(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		cfg := paced
		cfg.Sync = true
		l, w := start(t, cfg)
		send := func(n int, first bool) []artnet.OpCode {
			addresses, slots := universes(n)
			require.NoError(t, l.SendFrame(addresses, slots, first))
			time.Sleep(frameGap)
			codes, syncs := kinds(t, w)
			for _, to := range syncs {
				require.Equal(t, broadcast, to)
			}
			return codes
		}
		require.Equal(t, []artnet.OpCode{artnet.OpDmx}, send(1, true), "one universe has nothing to wait for")
		require.Equal(t, []artnet.OpCode{artnet.OpDmx, artnet.OpSync}, send(2, false), "the other is not due")
		require.Empty(t, send(2, false), "nothing sent, nothing to put out")
		codes := send(20, true)
		require.Len(t, codes, 21)
		require.Equal(t, artnet.OpSync, codes[20], "after the last round of a frame that is spread")
		time.Sleep(900 * time.Millisecond)
		for codes = nil; len(codes) == 0; {
			codes = send(20, false)
		}
		require.Equal(t, artnet.OpSync, codes[len(codes)-1], "after keep-alives too")
		codes = send(1, true)
		require.Equal(t, []artnet.OpCode{artnet.OpDmx, artnet.OpSync}, codes, "a device that had one waits for the next")
		require.NotZero(t, l.Stats().Syncs)
	})
}

func TestNoSyncUnlessAsked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, toA)
		addresses, slots := universes(20)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		codes, _ := kinds(t, w)
		require.Len(t, codes, 20)
		require.NotContains(t, codes, artnet.OpSync)
		require.Zero(t, l.Stats().Syncs)
	})
}

// Two software nodes on loopback take ArtSync and put out what they waited
// with; their own side, with the time-out of 4 s, is tested in fakenode. On
// loopback a node hears broadcasts on a socket of its own, so an ArtSync may
// overtake the ArtDmx before it; then the next frame puts that out.
func TestSyncAtTheNode(t *testing.T) {
	port := outside.FreePort(t)
	a, _ := node(t, "127.0.3.21", port, 1, 2)
	b, _ := node(t, "127.0.3.22", port, 3)
	if !a.Discoverable() {
		t.Skip("this system has no broadcasts on loopback")
	}
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.3.20"), Port: port, Sync: true})
	require.NoError(t, err)
	background(t, l)
	outside.Await(t, "both nodes are found", func() bool {
		n := l.Nodes()
		return len(n) == 2 && len(n[0].Ports) == 2
	})
	addresses, slots := []uint16{1, 2, 3}, [][]byte{{1, 1}, {2, 2}, {3, 3}}
	shows := func(n *fakenode.Node, p artnet.PortAddress, k byte) bool {
		got, _, _, _ := n.Frame(p)
		return len(got) > 0 && got[0] == k
	}
	for k := byte(10); k < 20; k++ {
		slots[0][0], slots[1][0], slots[2][0] = k, k, k
		outside.Await(t, "the frame is put out", func() bool {
			require.NoError(t, l.SendFrame(addresses, slots, true))
			return shows(a, 1, k) && shows(a, 2, k) && shows(b, 3, k)
		})
	}
	require.Greater(t, a.Stats().Syncs, uint64(5))
	require.Greater(t, b.Stats().Syncs, uint64(5))
	require.GreaterOrEqual(t, l.Stats().Syncs, a.Stats().Syncs)
}

func TestBroadcastOnlyWhenAsked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{Broadcast: true})
		addresses, slots := universes(3)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		_, to, _ := take[*artnet.Dmx](t, w)
		require.Equal(t, []netip.AddrPort{broadcast, broadcast, broadcast}, to, "with nobody there, and once each")
		w.receive(nodeA, reply(t, 1, 1, 2))
		w.receive(nodeB, reply(t, 1, 2))
		time.Sleep(frameGap)
		require.NoError(t, l.SendFrame(addresses, slots, false))
		_, to, _ = take[*artnet.Dmx](t, w)
		require.Equal(t, []netip.AddrPort{broadcast, broadcast, broadcast}, to, "in full when a device came")
	})
	_, err := link.OpenWire(link.Config{Broadcast: true, To: []netip.AddrPort{nodeA}}, nil)
	require.ErrorContains(t, err, "choose one")
	_, err = link.OpenWire(link.Config{InARow: -1}, nil)
	require.ErrorContains(t, err, "in a row")
}

// Art-Net 4, ArtDmx: unicast to every device that lists the port-address, and
// to no other; nobody listed, nothing sent.
func TestUnicastToEverySubscriber(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		addresses, slots := universes(3)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		dmx, _, _ := take[*artnet.Dmx](t, w)
		require.Empty(t, dmx)
		w.receive(nodeA, reply(t, 1, 1, 2))
		w.receive(nodeB, reply(t, 1, 2))
		require.NoError(t, l.SendFrame(addresses, slots, false))
		dmx, to, _ := take[*artnet.Dmx](t, w)
		got := map[netip.AddrPort][]artnet.PortAddress{}
		for i, d := range dmx {
			got[to[i]] = append(got[to[i]], d.PortAddress)
			require.Equal(t, uint8(1), d.Sequence, "one number for all its subscribers")
		}
		require.Equal(t, map[netip.AddrPort][]artnet.PortAddress{nodeA: {1, 2}, nodeB: {2}}, got)
	})
}
