//go:build !race

package source_test

import (
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/sacn/source"
)

// SendFrame makes nothing, over a real socket. The race detector allocates, so
// this holds only without it.
func TestSendFrameAllocs(t *testing.T) {
	s := toSink(t)
	addresses, slots := universes(64)
	now := time.Now()
	for _, c := range []struct {
		name           string
		changed, first bool
	}{{"all changed", true, false}, {"nothing changed", false, false}, {"first of a cue", false, true}} {
		frame := func() {
			now = now.Add(frameGap)
			for i := range slots {
				if c.changed {
					slots[i][0]++
				}
			}
			if err := s.SendFrameAt(now, addresses, slots, c.first); err != nil {
				t.Fatal(err)
			}
		}
		frame()
		require.Zero(t, testing.AllocsPerRun(100, frame), c.name)
	}
	require.NotZero(t, s.Stats().Repeats)
	require.NotZero(t, s.Stats().Syncs)
}

// toSink is a source to a socket on loopback that nobody reads.
func toSink(t testing.TB) *source.Source {
	t.Helper()
	sink, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	t.Cleanup(func() { sink.Close() })
	s, err := source.Open(config(source.Config{
		Interface: "127.0.0.1", Sync: 7000, To: []netip.AddrPort{sink.LocalAddr().(*net.UDPAddr).AddrPort()},
	}))
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s
}

func universes(n int) (addresses []uint16, slots [][]byte) {
	for i := range n {
		addresses, slots = append(addresses, uint16(i+1)), append(slots, make([]byte, 512))
	}
	return addresses, slots
}
