package cues_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
)

// TestOnScreen: time of the edit = real time * capture/timeline (common practice, no
// source); it and Real with on screen undo each other.
func TestOnScreen(t *testing.T) {
	for _, row := range []struct {
		name string
		c    cues.Clock
		real time.Duration
		want time.Duration
	}{
		{"60 on 24 plays at 40 %", cues.Clock{Capture: 60, Timeline: 24}, 1200 * time.Millisecond, 3 * time.Second},
		{"50 on 25 plays at half", cues.Clock{Capture: 50, Timeline: 25}, time.Second, 2 * time.Second},
		{"60 on 25 plays at 41.67 %", cues.Clock{Capture: 60, Timeline: 25}, time.Second, 2400 * time.Millisecond},
		{"120 on 24 plays at 20 %", cues.Clock{Capture: 120, Timeline: 24}, time.Second, 5 * time.Second},
		{"120 on 25: 3 s on screen are 0.625 s", cues.Clock{Capture: 120, Timeline: 25}, 625 * time.Millisecond, 3 * time.Second},
		{"as shot", cues.Clock{Capture: 24, Timeline: 24}, time.Second, time.Second},
		{"23.976 shot, 24 edited: 1001 s are 1000", cues.Clock{Capture: 23.976, Timeline: 24}, 1001 * time.Second, 1000 * time.Second},
		{"no rates", cues.Clock{}, time.Second, time.Second},
	} {
		t.Run(row.name, func(t *testing.T) {
			require.Equal(t, row.want, row.c.OnScreen(row.real))
		})
	}
	for _, capture := range []float64{23.976, 24, 25, 29.97, 30, 48, 50, 59.94, 60, 119.88, 120} {
		for _, timeline := range []float64{23.976, 24, 25, 29.97, 30, 50, 59.94, 60} {
			c := cues.Clock{Capture: capture, Timeline: timeline}
			for _, s := range []float64{0, 0.04, 1, 3, 59.94, 3600} {
				real, err := cues.Duration{Amount: s, Unit: cues.Seconds, OnScreen: true}.Real(c)
				require.NoError(t, err)
				require.InDelta(t, s*1e9, float64(c.OnScreen(real)), 3, "%g s, %g on %g", s, capture, timeline) // half a nanosecond, stretched
			}
		}
	}
}

// TestFrame: frame n is at n/rate (SMPTE ST 12-1 for the rates of 1000/1001): 72 frames of
// 23.976 are 3.003 s, 107 892 labels of 29.97 are 3599.9964 s, and no hour drifts.
func TestFrame(t *testing.T) {
	for _, row := range []struct {
		fps   float64
		real  time.Duration
		frame int64
	}{
		{24, 3 * time.Second, 72}, {23.976, 3003 * time.Millisecond, 72}, {23.976, 3 * time.Second, 72},
		{25, time.Hour, 90_000}, {29.97, 3_599_996_400 * time.Microsecond, 107_892}, {59.94, time.Hour, 215_784},
		{60, time.Hour, 216_000}, {50, 10 * time.Millisecond, 1}, {0, time.Hour, 0},
	} {
		require.Equal(t, row.frame, cues.Clock{Capture: row.fps}.Frame(row.real), "%g, %s", row.fps, row.real)
	}
	for _, fps := range []float64{23.976, 24, 25, 29.97, 30, 50, 59.94, 60} {
		c := cues.Clock{Capture: fps}
		for n := int64(0); n < 3600*60; n += 997 {
			real, err := cues.Duration{Amount: float64(n), Unit: cues.Frames}.Real(c)
			require.NoError(t, err)
			require.Equal(t, n, c.Frame(real), "%g", fps)
		}
	}
}
