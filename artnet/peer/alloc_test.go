//go:build !race && linux

package peer_test

import (
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/peer"
)

// A batch makes nothing once it has room, not even for a datagram that fails.
// The race detector allocates, so this holds only without it.
func TestBatchAllocs(t *testing.T) {
	one, two := addrOf(udp(t)), addrOf(udp(t))
	w, b, data := writer(t, udp(t)), peer.NewBatch(0), make([]byte, 530)
	send := func() {
		b.Reset()
		for range 40 {
			b.Add(data, one)
			b.Add(data, two)
			b.Add(data, two)
		}
		b.Add(data, netip.AddrPortFrom(one.Addr(), 0))
		if err := w.Send(b); err != nil {
			t.Fatal(err)
		}
	}
	send()
	require.Zero(t, testing.AllocsPerRun(100, send))
}
