package link_test

import (
	"net/netip"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
)

// Port-addresses go where they are told, the others to who answers; what goes
// elsewhere than before is sent in full, and nothing else is.
func TestAim(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		w.receive(nodeA, reply(t, 1, 1, 2, 3))
		addresses, slots := []uint16{1, 2, 3}, [][]byte{{1, 1}, {2, 2}, {3, 3}}
		sent := func() map[artnet.PortAddress][]string {
			require.NoError(t, l.SendFrame(addresses, slots, false))
			time.Sleep(50 * time.Millisecond)
			packets, to, _ := take[*artnet.Dmx](t, w)
			got := map[artnet.PortAddress][]string{}
			for i, p := range packets {
				got[p.PortAddress] = append(got[p.PortAddress], to[i].String())
			}
			return got
		}
		a, b, all := nodeA.String(), nodeB.String(), broadcast.String()
		require.Equal(t, map[artnet.PortAddress][]string{1: {a}, 2: {a}, 3: {a}}, sent())
		require.Empty(t, sent(), "nothing changed")

		l.Aim(link.Targets{Each: map[artnet.PortAddress]link.Target{
			1: {To: []netip.AddrPort{netip.AddrPortFrom(nodeB.Addr(), 0)}}, 2: {Broadcast: true}, 9: {To: []netip.AddrPort{nodeA}},
		}})
		require.Equal(t, map[artnet.PortAddress][]string{1: {b}, 2: {all}}, sent(), "3 goes where it went")
		l.Aim(link.Targets{Each: map[artnet.PortAddress]link.Target{
			1: {To: []netip.AddrPort{nodeB}}, 2: {Broadcast: true}, 9: {To: []netip.AddrPort{nodeA}},
		}})
		require.Empty(t, sent(), "the same aims as before")

		time.Sleep(3 * time.Second)
		_, to, _ := take[*artnet.Poll](t, w)
		require.Contains(t, to, nodeB, "a device that is named is asked by name")

		w.receive(nodeB, reply(t, 1, 7))
		require.Contains(t, sent(), artnet.PortAddress(1), "a named device that comes up gets all of it, whatever it says it puts out")

		sent()
		l.Aim(link.Targets{})
		got := sent()
		require.Equal(t, []string{a}, got[1])
		require.Equal(t, []string{a}, got[2])
	})
}

func TestAimSync(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		w.receive(nodeA, reply(t, 1, 1, 2))
		frame := func() int {
			require.NoError(t, l.SendFrame([]uint16{1, 2}, [][]byte{{1, 1}, {2, 2}}, true))
			time.Sleep(50 * time.Millisecond)
			syncs, _, _ := take[*artnet.Sync](t, w)
			return len(syncs)
		}
		require.Zero(t, frame())
		l.Aim(link.Targets{Sync: true})
		require.Equal(t, 1, frame())
		l.Aim(link.Targets{})
		require.Equal(t, 1, frame(), "nodes that had one wait for the next")
	})
}
