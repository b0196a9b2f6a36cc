//go:build linux && !race

package peer_test

import (
	"net/netip"
	"testing"

	"github.com/stretchr/testify/require"
)

// Receiving makes nothing, the sender's address included. The race detector
// allocates, so this holds only without it.
func TestReceiveAllocs(t *testing.T) {
	l := newLane(t, 530)
	var sum int
	take := ours(t, l, func(from netip.AddrPort, b []byte) { sum += int(from.Port()) + len(b) })
	require.Zero(t, testing.AllocsPerRun(20, func() {
		l.fill(t)
		take()
	}))
	require.NotZero(t, sum)
}
