//go:build !race

package link_test

import (
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/link"
)

// SendFrame makes nothing, over real sockets. The race detector allocates, so
// this holds only without it.
func TestSendFrameAllocs(t *testing.T) {
	changed := linkFrame(t, 64)
	changed()
	require.Zero(t, testing.AllocsPerRun(100, changed), "all changed")

	l := toSink(t)
	addresses, slots := universes(64)
	now := time.Now()
	for _, first := range []bool{false, true} {
		frame := func() {
			now = now.Add(frameGap)
			if err := l.SendFrameAt(now, addresses, slots, first); err != nil {
				t.Fatal(err)
			}
		}
		frame()
		require.Zero(t, testing.AllocsPerRun(100, frame), "nothing changed; first %v", first)
	}
	require.NotZero(t, l.Stats().Repeats)
}

// Nor does a frame that is spread, on its way through the pacer, nor ArtSync.
func TestSpreadFrameAllocs(t *testing.T) {
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.0.1"), Port: freePort(t), To: []netip.AddrPort{sink(t)}, Sync: true})
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, l.Close()) })
	addresses, slots := universes(100)
	now := time.Now()
	frame := func() {
		now = now.Add(frameGap)
		for _, s := range slots {
			s[0]++
		}
		if err := l.SendFrameAt(now, addresses, slots, false); err != nil {
			t.Fatal(err)
		}
	}
	frame()
	require.Zero(t, testing.AllocsPerRun(100, frame))
	require.GreaterOrEqual(t, l.Stats().Packets, uint64(100*100))
}
