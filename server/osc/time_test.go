package osc_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/server/osc"
)

// TestTagOf: RFC 5905, figure 4: 1 January 1970 is second 2 208 988 800 of the era, and 31
// December 1999 is 3 155 587 200.
func TestTagOf(t *testing.T) {
	require.Equal(t, osc.TimeTag(2_208_988_800<<32), osc.TagOf(time.Unix(0, 0)))
	at := time.Date(1999, 12, 31, 0, 0, 0, 500_000_000, time.UTC)
	require.Equal(t, osc.TimeTag(3_155_587_200<<32|1<<31), osc.TagOf(at))
	require.InDelta(t, 1500*time.Millisecond, osc.TagOf(at.Add(1500*time.Millisecond)).Until(at), 2)
	require.InDelta(t, -time.Hour, osc.TagOf(at.Add(-time.Hour)).Until(at), 2)
	require.Zero(t, osc.Immediately.Until(at))
}
