package link_test

import (
	"errors"
	"net"
	"net/netip"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
)

// paced sends to one device as it is by default.
var paced = link.Config{To: []netip.AddrPort{nodeA}}

// rounds are how many datagrams came at each point in time.
func rounds(at []time.Time) (sizes []int, gaps []time.Duration) {
	for i, now := range at {
		if i > 0 && now.Equal(at[i-1]) {
			sizes[len(sizes)-1]++
			continue
		}
		if i > 0 {
			gaps = append(gaps, now.Sub(at[i-1]))
		}
		sizes = append(sizes, 1)
	}
	return sizes, gaps
}

// frameTime as in ANSI E1.11, see TestRateIsBounded.
const frameTime = 22676 * time.Microsecond

func TestBigFrameIsSpread(t *testing.T) {
	for _, c := range []struct {
		universes int
		sizes     []int
		gap       time.Duration
	}{
		{1, []int{1}, 0},
		{8, []int{8}, 0},
		{9, []int{8, 1}, 2 * time.Millisecond},
		{20, []int{8, 8, 4}, 2 * time.Millisecond},
		{64, []int{8, 8, 8, 8, 8, 8, 8, 8}, frameTime / 2 / 7},
		{1000, []int{125, 125, 125, 125, 125, 125, 125, 125}, frameTime / 2 / 7},
	} {
		synctest.Test(t, func(t *testing.T) {
			l, w := start(t, paced)
			addresses, slots := universes(c.universes)
			for range 3 {
				began := time.Now()
				require.NoError(t, l.SendFrame(addresses, slots, true))
				require.Equal(t, began, time.Now(), "the loop does not wait")
				time.Sleep(frameGap)
				dmx, _, at := take[*artnet.Dmx](t, w)
				require.Len(t, dmx, c.universes)
				sizes, gaps := rounds(at)
				require.Equal(t, c.sizes, sizes)
				for _, g := range gaps {
					require.Equal(t, c.gap, g)
				}
				require.Equal(t, began, at[0])
				require.LessOrEqual(t, at[len(at)-1].Sub(began), frameTime/2)
				for i, d := range dmx {
					require.Equal(t, artnet.PortAddress(i+1), d.PortAddress, "in order")
				}
			}
			require.Zero(t, l.Stats().Held)
		})
	}
}

// A cue of one universe goes at once, also where the device takes many, and
// also while the last frame is still on its way.
func TestOneUniverseIsNeverSpread(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, paced)
		addresses, slots := universes(64)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		time.Sleep(frameGap)
		take[*artnet.Dmx](t, w)
		slots[63][0] = 1
		began := time.Now()
		require.NoError(t, l.SendFrame(addresses, slots, false))
		dmx, _, at := take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 1)
		require.Equal(t, artnet.PortAddress(64), dmx[0].PortAddress)
		require.Equal(t, began, at[0])

		time.Sleep(frameGap)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		time.Sleep(time.Microsecond)
		slots[63][0] = 2
		began = time.Now()
		require.NoError(t, l.SendFrame(addresses, slots, false))
		dmx, _, at = take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 64+1, "what was left of the last frame goes before it")
		require.Equal(t, byte(2), dmx[64].Data[0])
		require.Equal(t, byte(1), dmx[63].Data[0])
		require.Equal(t, began, at[64])
	})
}

// Devices get their rounds together, not one device after the other.
func TestRoundsOfSeveralDevices(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{To: []netip.AddrPort{nodeA, nodeB}})
		addresses, slots := universes(12)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		time.Sleep(frameGap)
		_, to, at := take[*artnet.Dmx](t, w)
		sizes, _ := rounds(at)
		require.Equal(t, []int{16, 8}, sizes)
		var runs []int
		for i := range to {
			if i == 0 || to[i] != to[i-1] {
				runs = append(runs, 0)
			}
			runs[len(runs)-1]++
		}
		require.Equal(t, []int{8, 8, 4, 4}, runs)
	})
}

func TestFaultInALaterRound(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, paced)
		addresses, slots := universes(20)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		refused := errors.New("refused")
		w.failWith(func(netip.AddrPort) error { return refused })
		time.Sleep(frameGap)
		require.Equal(t, uint64(12), l.Stats().SendErrors)
		w.failWith(nil)
		require.ErrorIs(t, l.SendFrame(addresses, slots, false), refused, "the next call tells")
		time.Sleep(frameGap)
		dmx, _, _ := take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 20, "8 and then the 12 that failed")
		require.Equal(t, artnet.PortAddress(9), dmx[8].PortAddress)
		require.NoError(t, l.SendFrame(addresses, slots, false))
	})
}

// A link that is closed in the middle of a frame neither hangs nor leaks.
func TestCloseWhileSpreading(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newFakeWire()
		l, err := link.OpenWire(paced, func() (link.Wire, error) { return w, nil })
		require.NoError(t, err)
		addresses, slots := universes(64)
		require.NoError(t, l.SendFrame(addresses, slots, true))
		require.NoError(t, l.Close())
		require.ErrorIs(t, l.SendFrame(addresses, slots, true), net.ErrClosed)
		require.ErrorIs(t, l.SendFrame(addresses, slots, true), net.ErrClosed)
	})
}
