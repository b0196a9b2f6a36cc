package peer_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/peer"
)

func TestRate(t *testing.T) {
	now := time.Unix(1000, 0)
	var r peer.Rate
	require.Zero(t, r.PerSecond(now))
	r.Add(now)
	require.Equal(t, 1.0, r.PerSecond(now), "one so far")
	for range 4 * 44 {
		now = now.Add(time.Second / 44)
		r.Add(now)
	}
	require.InDelta(t, 44, r.PerSecond(now), 0.5)
	for range 5 {
		now = now.Add(4 * time.Second)
		r.Add(now)
	}
	require.InDelta(t, 0.25, r.PerSecond(now), 0.01, "slower than a second")
	require.InDelta(t, 0.25, r.PerSecond(now.Add(4*time.Second)), 0.01)
	require.InDelta(t, 0.01, r.PerSecond(now.Add(100*time.Second)), 0.001, "stopped")
}
