package play_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
)

// TestLatenessAgainstSorting compares with the rank in a sorted list of the
// last frames.
func TestLatenessAgainstSorting(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 30 {
		var h play.Histogram
		var seen []time.Duration
		spread := r.Float64() * 40
		for range 1 + r.IntN(3*play.LatenessWindow) {
			d := time.Duration(math.Exp2(r.Float64() * spread))
			h.Add(d)
			seen = append(seen, d)
		}
		seen = seen[max(0, len(seen)-play.LatenessWindow):]
		slices.Sort(seen)
		want := seen[int(math.Ceil(0.99*float64(len(seen))))-1]
		require.GreaterOrEqual(t, h.P99(), want)
		require.LessOrEqual(t, float64(h.P99()), float64(want)*17/16+1)
	}
}

func TestLatenessEnds(t *testing.T) {
	var h play.Histogram
	require.Zero(t, h.P99(), "no frames")
	h.Add(-time.Second)
	require.Zero(t, h.P99(), "early is in time")
	h.Add(math.MaxInt64)
	require.EqualValues(t, math.MaxInt64, h.P99())
	for range play.LatenessWindow {
		h.Add(7)
	}
	require.EqualValues(t, 7, h.P99(), "what was long ago is forgotten")
	require.Zero(t, testing.AllocsPerRun(100, func() { h.Add(5000); h.P99() }))
}
