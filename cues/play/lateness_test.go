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
		var h play.Late
		var seen []time.Duration
		spread := r.Float64() * 40
		for range 1 + r.IntN(3*play.LatenessWindow) {
			d := time.Duration(math.Exp2(r.Float64() * spread))
			h.Add(d)
			seen = append(seen, d)
		}
		seen = seen[max(0, len(seen)-play.LatenessWindow):]
		slices.Sort(seen)
		got := h.Read()
		for _, row := range []struct {
			share float64
			got   time.Duration
		}{{0.5, got.P50}, {0.99, got.P99}, {1, got.Max}} {
			want := seen[int(math.Ceil(row.share*float64(len(seen))))-1]
			require.GreaterOrEqual(t, row.got, want, "share %v of %d", row.share, len(seen))
			require.LessOrEqual(t, float64(row.got), float64(want)*17/16+1, "share %v of %d", row.share, len(seen))
		}
	}
}

func TestLatenessEnds(t *testing.T) {
	var h play.Late
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

func TestHistogramCountsAll(t *testing.T) {
	var h play.Late
	sum := time.Duration(0)
	for range play.LatenessWindow {
		for i, b := range play.Buckets {
			h.Add(b) // a bound is within
			h.Add(b + 1)
			sum += 2*b + 1
			if i == 0 {
				h.Add(-time.Second) // early is in time
			}
		}
	}
	got := h.Read().Ever
	require.Equal(t, sum, got.Sum)
	for i, n := range got.Count {
		want := 2 * play.LatenessWindow
		if i == len(play.Buckets) {
			want = play.LatenessWindow
		}
		require.EqualValues(t, want, n, "bucket %d", i)
	}
}

// TestStallIsCounted: what a stall leaves out is counted by the minute, and
// forgotten after one; a first frame counts from its command until it is sent.
func TestStallIsCounted(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		time.Sleep(2 * time.Minute)
		s := now(t, e)
		require.InDelta(t, 60*44, s.Late.Minute.Due, 44, "a minute's frames")
		require.Zero(t, s.Late.Minute.Skipped)

		stuck := len(r.all())
		r.slow(func(k int) {
			if k == stuck {
				time.Sleep(10 * time.Second)
			}
		})
		start(t, e, straight(1, 0, 1, time.Minute), play.StartOptions{})
		time.Sleep(20 * time.Second)
		s = now(t, e)
		require.EqualValues(t, 440-1, s.Late.Minute.Skipped)
		require.Equal(t, s.Late.Skipped, s.Late.Minute.Skipped)
		require.InDelta(t, 60*44, s.Late.Minute.Due, 44, "what was left out was due too")
		require.GreaterOrEqual(t, s.Late.First.Max, 10*time.Second)
		require.EqualValues(t, 2, counted(s.Late.First.Ever), "the load and the start")

		time.Sleep(time.Minute)
		s = now(t, e)
		require.Zero(t, s.Late.Minute.Skipped)
		require.EqualValues(t, 440-1, s.Late.Skipped)
		require.Equal(t, s.Frame, counted(s.Late.Frames.Ever))
	})
}

func counted(h play.Histogram) (sum uint64) {
	for _, n := range h.Count {
		sum += n
	}
	return sum
}
