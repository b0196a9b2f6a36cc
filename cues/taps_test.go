package cues_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
)

// tapping gives n taps at a tempo, each off its beat by what off says of it.
func tapping(bpm float64, n int, off func(i int) time.Duration) []time.Duration {
	taps := make([]time.Duration, n)
	for i := range taps {
		taps[i] = 10*time.Second + time.Duration(float64(i)*60/bpm*float64(time.Second)) + off(i)
	}
	return taps
}

func onBeat(int) time.Duration { return 0 }

// TestFitTapsDeviation: the standard deviation of the slope of a least-squares
// line over n equal steps is that of one reading times sqrt(12/(n(n²-1))), of any
// textbook of statistics: 20 ms a tap at 120 BPM gives 2.15, 0.74 and 0.26 BPM
// at 4, 8 and 16 taps. The ends alone would give 2.3, 0.97 and 0.45.
func TestFitTapsDeviation(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const runs = 4000
	for _, n := range []int{4, 8, 16} {
		var sum, squares float64
		refused := 0
		for range runs {
			fit, err := cues.FitTaps(tapping(120, n, func(int) time.Duration { return time.Duration(r.NormFloat64() * 20e6) }))
			if err != nil { // a tap of four that is 125 ms off leaves too few
				refused++
				continue
			}
			sum += fit.BPM
			squares += (fit.BPM - 120) * (fit.BPM - 120)
		}
		want := 120 * 0.020 / 0.5 * math.Sqrt(12/float64(n*(n*n-1)))
		require.Less(t, refused, runs/200, "%d taps", n)
		require.InEpsilon(t, want, math.Sqrt(squares/runs), 0.08, "%d taps", n)
		require.InDelta(t, 120, sum/float64(runs-refused), 0.15, "%d taps", n)
	}
}

func TestFitTaps(t *testing.T) {
	ms := func(off map[int]int) func(int) time.Duration {
		return func(i int) time.Duration { return time.Duration(off[i]) * time.Millisecond }
	}
	without := func(taps []time.Duration, i int) []time.Duration {
		return append(append([]time.Duration{}, taps[:i]...), taps[i+1:]...)
	}
	for _, row := range []struct {
		name string
		taps []time.Duration
		bpm  float64
		used int
	}{
		{"on the beat", tapping(97.3, 6, onBeat), 97.3, 6},
		{"the slowest", tapping(30.5, 4, onBeat), 30.5, 4},
		{"the fastest", tapping(290, 8, onBeat), 290, 8},
		{"one far off is left out", tapping(120, 8, ms(map[int]int{4: 170})), 120, 7},
		{"the first far off is left out", tapping(120, 8, ms(map[int]int{0: 170})), 120, 7},
		{"the last far off is left out", tapping(120, 8, ms(map[int]int{7: 170})), 120, 7},
		{"a beat without a tap", without(tapping(120, 8, onBeat), 3), 120, 7},
		{"a tap that bounces", append(append(tapping(120, 3, onBeat), 11_060*time.Millisecond), tapping(120, 6, onBeat)[3:]...), 120, 6},
		{"of many the newest 16", tapping(120, 40, onBeat), 120, 16},
		{"after a pause anew", append(tapping(80, 6, onBeat), tapping(140, 5, ms(map[int]int{0: 20000, 1: 20000, 2: 20000, 3: 20000, 4: 20000}))...), 140, 5},
		{"a constant lag is none of the tempo", tapping(120, 8, func(int) time.Duration { return 30 * time.Millisecond }), 120, 8},
	} {
		t.Run(row.name, func(t *testing.T) {
			fit, err := cues.FitTaps(row.taps)
			require.NoError(t, err)
			require.Equal(t, row.bpm, fit.BPM)
			require.Equal(t, row.used, fit.Used)
			require.InDelta(t, 60/row.bpm, fit.Beat.Seconds(), 0.001)
		})
	}
	t.Run("another tempo takes over after three beats", func(t *testing.T) {
		taps := tapping(120, 8, onBeat)
		for range 3 {
			taps = append(taps, taps[len(taps)-1]+700*time.Millisecond)
		}
		fit, err := cues.FitTaps(taps)
		require.NoError(t, err)
		require.InDelta(t, 60/0.7, fit.BPM, 0.06)
	})
	for name, taps := range map[string][]time.Duration{
		"none": nil, "three": tapping(120, 3, onBeat), "three after a pause": append(tapping(120, 9, onBeat)[:1], tapping(120, 3, func(int) time.Duration { return time.Minute })...),
	} {
		_, err := cues.FitTaps(taps)
		require.ErrorIs(t, err, cues.ErrFewTaps, name)
	}
	var uneven []time.Duration
	for _, ms := range []int{0, 350, 1900, 2250, 3600, 3810, 5600} {
		uneven = append(uneven, time.Duration(ms)*time.Millisecond)
	}
	_, err := cues.FitTaps(uneven)
	require.ErrorIs(t, err, cues.ErrUnevenTaps)
}
