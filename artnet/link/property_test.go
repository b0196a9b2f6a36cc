package link_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"net/netip"
	"os"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
)

// Whatever fails on the way, in a row or in rounds, with devices coming and
// universes changing: in the end every device has the last slots of all its
// universes, nothing came that it did not ask for, and no datagram looked as if
// a newer one had overtaken it.
func TestEveryDeviceEndsUpRight(t *testing.T) {
	for seed := range uint64(20) {
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) { endsUpRight(t, rand.New(rand.NewPCG(seed, 7))) })
		})
	}
}

func endsUpRight(t *testing.T, random *rand.Rand) {
	l, w := start(t, link.Config{InARow: 1 + random.IntN(10), Sync: random.IntN(2) == 0})
	devices := []netip.AddrPort{nodeA, nodeB, netip.MustParseAddrPort("192.0.2.23:6454")}
	asks := map[netip.AddrPort]map[artnet.PortAddress]bool{}
	got := map[netip.AddrPort]map[artnet.PortAddress]*artnet.Dmx{}
	look := func() {
		dmx, to, _ := take[*artnet.Dmx](t, w)
		for i, d := range dmx {
			require.True(t, asks[to[i]][d.PortAddress], "%v got %v", to[i], d)
			if before := got[to[i]][d.PortAddress]; before != nil {
				require.False(t, artnet.Overtaken(before.Sequence, d.Sequence), "%v after %v", d, before)
			}
			got[to[i]][d.PortAddress] = d
		}
	}
	answer := func(device netip.AddrPort) {
		if asks[device] == nil {
			asks[device], got[device] = map[artnet.PortAddress]bool{}, map[artnet.PortAddress]*artnet.Dmx{}
			for range 1 + random.IntN(20) {
				asks[device][artnet.PortAddress(1+random.IntN(30))] = true
			}
		}
		index := uint8(0)
		for a := range asks[device] {
			index++
			w.receive(device, reply(t, index, a))
		}
	}
	errs := []error{errors.New("refused"), os.ErrDeadlineExceeded}
	addresses, slots := universes(30)
	frame := func() {
		_ = l.SendFrame(addresses, slots, random.IntN(50) == 0)
		time.Sleep(frameGap + time.Duration(random.IntN(3))*time.Millisecond)
		look()
	}
	for range 200 {
		switch bad := errs[random.IntN(2)]; random.IntN(12) {
		case 0:
			answer(devices[random.IntN(len(devices))])
		case 1:
			victim := devices[random.IntN(len(devices))]
			w.failWith(func(to netip.AddrPort) error {
				if to == victim {
					return bad
				}
				return nil
			})
		case 2:
			w.failWith(nil)
		}
		for range random.IntN(30) {
			slots[random.IntN(30)][random.IntN(512)]++
		}
		frame()
	}
	w.failWith(nil)
	for _, d := range devices {
		answer(d)
	}
	for range 3 {
		frame()
	}
	for device, ports := range asks {
		for a := range ports {
			require.NotNil(t, got[device][a], "%v never got %v", device, a)
			require.Equal(t, slots[a-1], got[device][a].Data, "%v, %v", device, a)
		}
	}
}
