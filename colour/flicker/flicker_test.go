package flicker_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/exposure"
	"linkboy/colour/flicker"
	"linkboy/colour/photometry"
)

// TestSafeAngles checks every window of a table computed independently, in the
// form of a published derivation of angles without flicker.
func TestSafeAngles(t *testing.T) {
	for _, row := range []struct {
		mains flicker.Mains
		fps   float64
		want  []photometry.Degrees
	}{
		{50, 24, []photometry.Degrees{86.4, 172.8, 259.2, 345.6}},
		{50, 25, []photometry.Degrees{90, 180, 270, 360}},
		{50, 30, []photometry.Degrees{108, 216, 324}},
		{50, 48, []photometry.Degrees{172.8, 345.6}},
		{50, 60, []photometry.Degrees{216}},
		{50, 120, nil},
		{60, 24, []photometry.Degrees{72, 144, 216, 288, 360}},
		{60, 25, []photometry.Degrees{75, 150, 225, 300}},
		{60, 30, []photometry.Degrees{90, 180, 270, 360}},
		{60, 48, []photometry.Degrees{144, 288}},
		{60, 50, []photometry.Degrees{150, 300}},
		{60, 120, []photometry.Degrees{360}},
	} {
		got := row.mains.SafeAngles(row.fps)
		require.Len(t, got, len(row.want), "%v Hz, %v fps: %v", float64(row.mains), row.fps, got)
		for i, want := range row.want {
			require.InDelta(t, float64(want), float64(got[i]), 1e-9)
			// Safe means that nothing is left of the pulses.
			left := flicker.Sine{Hz: row.mains.LightHz(), Depth: 1}.Ripple(exposure.ShutterSeconds(got[i], row.fps))
			require.InDelta(t, 0, left, 1e-12)
		}
	}
}

// TestNearestSafeAngle is checked against the list of them all.
func TestNearestSafeAngle(t *testing.T) {
	near := func(m flicker.Mains, angle photometry.Degrees, fps float64) float64 {
		t.Helper()
		a, ok := m.NearestSafeAngle(angle, fps)
		require.True(t, ok)
		return float64(a)
	}
	require.InDelta(t, 172.8, near(50, 180, 24), 1e-9)
	require.InDelta(t, 144, near(60, 180, 24), 1e-9, "144 and 216 are as near: the smaller")
	require.InDelta(t, 216, near(60, 181, 24), 1e-9)
	require.InDelta(t, 3*71.928, near(60, 180, 24000.0/1001), 0.001, "at 23.976 the larger is nearer")
	_, ok := flicker.Mains(50).NearestSafeAngle(180, 120)
	require.False(t, ok)

	rng := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		m := []flicker.Mains{50, 60}[rng.IntN(2)]
		fps, angle := 10+110*rng.Float64(), photometry.Degrees(360*rng.Float64())
		got, ok := m.NearestSafeAngle(angle, fps)
		angles := m.SafeAngles(fps)
		require.Equal(t, len(angles) > 0, ok)
		for _, a := range angles {
			require.GreaterOrEqual(t, math.Abs(float64(a-angle)), math.Abs(float64(got-angle))-1e-9)
		}
	}
}

// TestPulsesBetweenFrames: frame rates that divide twice the mains do not pulse
// at any angle; and what 23.976 does.
func TestPulsesBetweenFrames(t *testing.T) {
	for mains, steady := range map[flicker.Mains][]float64{60: {24, 30, 40, 60, 120}, 50: {20, 25, 50, 100}} {
		for _, fps := range steady {
			require.Zero(t, flicker.Beat(mains.LightHz(), fps), "%v fps at %v Hz", fps, float64(mains))
		}
	}
	require.InDelta(t, 4, flicker.Beat(100, 24), 1e-9)
	film := 24000.0 / 1001
	require.InDelta(t, 0.12, flicker.Beat(120, film), 0.0005)
	require.InDelta(t, 8.3, 1/flicker.Beat(120, film), 0.05, "the roll in seconds")
	require.InDelta(t, 4.1, flicker.Beat(100, film), 0.005)
	require.Zero(t, flicker.Beat(120*1.001, 120*1.001/5), "a rate written as a fraction")
}

// TestRipple checks three cases computed independently and, by adding up the
// light of frames that start at any moment, the formula.
func TestRipple(t *testing.T) {
	require.InDelta(t, 0.127, flicker.Sine{Hz: 120, Depth: 1}.Ripple(1.0/48), 0.0005)
	require.InDelta(t, 0.040, flicker.Sine{Hz: 100, Depth: 1}.Ripple(1.0/48), 0.0005)
	require.InDelta(t, 0.74, flicker.Sine{Hz: 100, Depth: 1}.Ripple(1.0/240), 0.005)
	require.InDelta(t, 0.3, flicker.Sine{Hz: 100, Depth: 0.3}.Ripple(0), 1e-12)
	half := flicker.Sine{Hz: 120, Depth: 0.6} // with half a period left over the bound is met
	require.InDelta(t, half.Ripple(1.0/48), half.MostRipple(1.0/48), 1e-12)
	require.InDelta(t, 0.6, half.MostRipple(1e-4), 1e-12, "never more than the light itself swings")

	rng := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		s := flicker.Sine{Hz: 20 + 500*rng.Float64(), Depth: rng.Float64()}
		seconds := 0.001 + 0.04*rng.Float64()
		least, most := overStarts(func(from, to float64) float64 { // the integral of the sine, by hand
			w := 2 * math.Pi * s.Hz
			return (to - from) + s.Depth*(math.Cos(w*from)-math.Cos(w*to))/w
		}, 1/s.Hz, seconds)
		require.InDelta(t, s.Ripple(seconds), most/seconds-1, 1e-5)
		require.InDelta(t, s.Ripple(seconds), 1-least/seconds, 1e-5)
		require.InDelta(t, math.Log2(most/least), s.SwingStops(seconds), 1e-4)
		require.LessOrEqual(t, s.Ripple(seconds), s.MostRipple(seconds)+1e-15)
	}
}

// overStarts returns the least and the most light of an exposure over the
// moments of a period at which it may start.
func overStarts(light func(from, to float64) float64, period, seconds float64) (least, most float64) {
	least, most = math.Inf(1), 0
	const starts = 4000
	for i := range starts {
		from := period * float64(i) / starts
		got := light(from, from+seconds)
		least, most = min(least, got), max(most, got)
	}
	return least, most
}

// TestPWM checks four cases computed independently and the formula by frames
// that start at any moment.
func TestPWM(t *testing.T) {
	for _, row := range []struct{ hz, seconds, duty, want, in float64 }{
		{1000, 1.0 / 240, 0.1, 0.32, 0.005},
		{1000, 1.0 / 48, 0.1, 0.07, 0.005},
		{4000, 1.0 / 240, 0.05, 0.09, 0.005},
		{25000, 1.0 / 240, 0.01, 0.014, 0.0005},
	} {
		require.InDelta(t, row.want, flicker.PWM{Hz: row.hz, Duty: row.duty}.SwingStops(row.seconds), row.in)
	}
	require.True(t, math.IsInf(flicker.PWM{Hz: 100, Duty: 0.1}.SwingStops(1.0/240), 1), "a frame may miss the light")
	require.Zero(t, flicker.PWM{Hz: 1000, Duty: 1}.SwingStops(1.0/240), "undimmed")
	require.Zero(t, flicker.PWM{Hz: 1000, Duty: 0}.SwingStops(1.0/240), "off")
	require.InDelta(t, 0, flicker.PWM{Hz: 1000, Duty: 0.3}.SwingStops(0.02), 1e-12, "whole periods")

	rng := rand.New(rand.NewPCG(5, 6))
	for range 100 {
		p := flicker.PWM{Hz: 50 + 3000*rng.Float64(), Duty: 0.01 + 0.98*rng.Float64()}
		seconds := 0.0005 + 0.03*rng.Float64()
		on := func(at float64) float64 { // time on from 0 to at, in periods
			whole, rest := math.Modf(at * p.Hz)
			return whole*p.Duty + min(rest, p.Duty)
		}
		least, most := overStarts(func(from, to float64) float64 { return on(to) - on(from) }, 1/p.Hz, seconds)
		gotLeast, gotMost := p.On(seconds)
		require.InDelta(t, least, gotLeast, 1e-3, "%v in %v", p, seconds)
		require.InDelta(t, most, gotMost, 1e-3, "%v in %v", p, seconds)
		if n := p.Hz * seconds; n >= 100 {
			require.Less(t, p.SwingStops(seconds), 0.015, "%v periods", n)
		}
	}
}

// TestVisible is the share of light that the constant stands for.
func TestVisible(t *testing.T) {
	require.InDelta(t, 1.01, math.Exp2(flicker.LeastVisibleStops), 1e-4)
}

func TestBars(t *testing.T) {
	require.InDelta(t, 16, flicker.Bars(1000, 0.016), 1e-12)
}

// TestInstantFlip checks the share of split frames at 24 frames a second and 180
// degrees, computed independently, and by flips at random moments.
func TestInstantFlip(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for readout, want := range map[float64]struct{ share, cleanMS float64 }{0: {0.50, 20.8}, 0.015: {0.86, 5.8}, flicker.Readout24: {1, 0}} {
		shot := flicker.Shot{FPS: 24, Seconds: exposure.ShutterSeconds(180, 24), Readout: readout}
		require.InDelta(t, want.share, shot.SplitShare(), 0.005)
		require.InDelta(t, want.cleanMS, 1000*shot.CleanWindow(), 0.05)
		require.InDelta(t, 1, shot.SplitShare()+shot.CleanWindow()*shot.FPS, 1e-9, "split or clean")
		require.InDelta(t, want.share, splitByTrial(rng, shot), 0.01)
	}
	require.Zero(t, flicker.Shot{FPS: 24, Seconds: 1.0 / 24, Readout: 0.02}.CleanWindow())
}

// splitByTrial flips the light at random moments and looks at all rows of the
// frames around: a row that was exposed to both lights, or rows of one frame
// that differ, show it.
func splitByTrial(rng *rand.Rand, shot flicker.Shot) float64 {
	const trials, rows = 20000, 50
	split := 0
	for range trials {
		flip := rng.Float64() / shot.FPS
		seen := false
		for frame := -2; frame <= 1 && !seen; frame++ {
			before, after := false, false
			for row := range rows {
				opens := float64(frame)/shot.FPS + shot.Readout*float64(row)/(rows-1)
				before = before || opens < flip
				after = after || opens+shot.Seconds > flip
			}
			seen = before && after
		}
		if seen {
			split++
		}
	}
	return float64(split) / trials
}

func TestNoAllocations(t *testing.T) {
	var sink float64
	require.Zero(t, testing.AllocsPerRun(100, func() {
		a, _ := flicker.Mains(50).NearestSafeAngle(180, 24)
		sink += float64(a) + flicker.PWM{Hz: 1000, Duty: 0.1}.SwingStops(0.02) + flicker.Sine{Hz: 100, Depth: 1}.Ripple(0.02)
	}))
	require.NotZero(t, sink)
}
