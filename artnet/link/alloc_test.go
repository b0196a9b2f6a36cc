//go:build !race

package link_test

import (
	"net/netip"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
	"linkboy/artnet/outside"
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
	l, err := link.Open(link.Config{Bind: netip.MustParseAddr("127.0.0.1"), Port: outside.FreePort(t), To: []netip.AddrPort{sink(t)}, Sync: true})
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

// What is not for us makes nothing, so that a flood of it cannot wake the
// collector in the loop's process.
func TestReceiveAllocs(t *testing.T) {
	l := toSink(t)
	require.NoError(t, l.SendFrame([]uint16{1, 2}, [][]byte{{1, 2}, {1, 2}}, false))
	theirs := encode(t, &artnet.Dmx{PortAddress: 1, Data: make([]byte, 512)})
	l.Receive(other, theirs) // known from now on
	odd := slices.Clone(theirs)
	odd[17] = 3
	old := slices.Clone(theirs)
	old[11] = 13
	for _, c := range []struct {
		name string
		b    []byte
	}{
		{"nothing", nil},
		{"garbage", []byte("not Art-Net at all, and long enough to be something")},
		{"the name alone", []byte("Art-Net\x00")},
		{"an unknown op-code", []byte("Art-Net\x00\xff\xff\x00\x0e\x00\x00")},
		{"a packet for a node", encode(t, &artnet.Sync{})},
		{"another controller's ArtDmx for our port-address", theirs},
		{"another controller's ArtDmx for any other", encode(t, &artnet.Dmx{PortAddress: 9, Data: []byte{1, 2}})},
		{"malformed ArtDmx", odd},
		{"ArtDmx of an old version", old},
		{"ArtDmx cut short", theirs[:17]},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Zero(t, testing.AllocsPerRun(100, func() { l.Receive(other, c.b) }))
		})
	}
	require.Zero(t, l.Stats().Ignored.Full)
}
