package exposure_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/exposure"
	"linkboy/colour/photometry"
)

// TestLightNeeded checks a reference table of light for ISO 100, 24 frames a
// second and 180 degrees at whole stops, T1.4 to T8, computed independently.
// Its last row is a published rule of the trade, fc = 25 T²/(ISO t), which asks
// 0.1 stop more: it is C = 269.
func TestLightNeeded(t *testing.T) {
	rule := exposure.Meter{C: 25 * photometry.LuxPerFootCandle}
	require.InDelta(t, 269, rule.C, 0.5)
	require.InDelta(t, 0.1, exposure.Stops(rule.C/exposure.Standard.C), 0.01)
	for i, want := range []struct{ lux, fc, fcRule float64 }{
		{240, 22.3, 24}, {480, 44.6, 48}, {960, 89.2, 96}, {1920, 178, 192}, {3840, 357, 384}, {7680, 714, 768},
	} {
		s := exposure.Settings{ISO: 100, Stop: exposure.WholeStop(i + 1), Seconds: exposure.ShutterSeconds(180, 24)}
		lux := exposure.Standard.Lux(s)
		require.InDelta(t, want.lux, float64(lux), 1e-9)
		require.InDelta(t, want.fc, lux.FootCandles(), 0.6, "rounded, and the last from the one before")
		require.InDelta(t, want.fcRule, rule.Lux(s).FootCandles(), 1e-9)
	}
	lux := func(iso, stop float64) float64 {
		return float64(exposure.Standard.Lux(exposure.Settings{ISO: iso, Stop: stop, Seconds: 1.0 / 48}))
	}
	require.InDelta(t, 120, lux(800, exposure.WholeStop(3)), 1e-9, "ISO 800 T2.8")
	require.InDelta(t, 11.1, photometry.Lux(120).FootCandles(), 0.06)
	require.InDelta(t, 15, lux(3200, 2), 1e-9, "ISO 3200 T2")
	require.InDelta(t, 940.8, lux(100, 2.8), 0.05, "marked 2.8 and not 2.828")
	require.InDelta(t, 0.03, exposure.Stops(960/940.8), 0.002)
}

// TestExposureValues checks a table of EV at ISO 100, computed independently,
// equal to those that encyclopaedias print.
func TestExposureValues(t *testing.T) {
	for ev, want := range map[float64][2]float64{
		-4: {0.156, 0.0078}, -2: {0.625, 0.031}, 0: {2.5, 0.125}, 2: {10, 0.5}, 4: {40, 2}, 5: {80, 4}, 6: {160, 8},
		7: {320, 16}, 8: {640, 32}, 10: {2560, 128}, 12: {10240, 512}, 15: {81920, 4096},
	} {
		require.InDelta(t, want[0], float64(exposure.Standard.LuxAt(ev)), want[0]*0.005, "lx at EV %v", ev)
		require.InDelta(t, want[1], float64(exposure.Standard.LuminanceAt(ev)), want[1]*0.01, "cd/m2 at EV %v", ev)
		require.InDelta(t, ev, exposure.Standard.EV100(exposure.Standard.LuxAt(ev)), 1e-12)
	}
	s := exposure.Settings{ISO: 800, Stop: exposure.WholeStop(3), Seconds: 1.0 / 48}
	require.InDelta(t, 8.585, s.EV(), 0.0005)
	require.InDelta(t, math.Log2(8*48), s.EV(), 1e-12)
	require.InDelta(t, 5.585, s.EV100(), 0.0005)
}

// TestMeters: a dome reads 0.44 stop from a flat receptor, and C and K imply a
// grey of 15.7 %, 0.2 stop from 18 % (an article on ISO 2720).
func TestMeters(t *testing.T) {
	require.InDelta(t, 0.44, exposure.Stops(340/exposure.Standard.C), 0.005)
	require.InDelta(t, 0.157, exposure.Standard.Grey(), 0.0005)
	require.InDelta(t, 0.2, exposure.Stops(photometry.MiddleGrey/exposure.Standard.Grey()), 0.005)
}

// TestMeterGoesBack: every setting solved for is the one that was there.
func TestMeterGoesBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		m := exposure.Meter{C: 240 + 160*rng.Float64(), K: 10.6 + 3*rng.Float64()}
		s := exposure.Settings{ISO: 50 + 6000*rng.Float64(), Stop: 0.7 + 21*rng.Float64(), Seconds: 0.0001 + rng.Float64()}
		e := m.Lux(s)
		require.InEpsilon(t, s.Stop, m.Stop(e, s), 1e-12)
		require.InEpsilon(t, s.Seconds, m.Seconds(e, s), 1e-12)
		require.InEpsilon(t, s.ISO, m.ISO(e, s), 1e-12)
		require.InEpsilon(t, float64(e), float64(m.LuxAt(s.EV100())), 1e-12)
		// A surface of the meter's grey under that light is what the other reading asks for.
		require.InEpsilon(t, float64(photometry.Reflected(e, m.Grey())), float64(m.Luminance(s)), 1e-12)
		twice := s
		twice.Stop *= math.Sqrt2
		require.InEpsilon(t, 2*float64(e), float64(m.Lux(twice)), 1e-12, "a stop down")
	}
}

// TestShutter checks times at 180 degrees and angles of times, computed
// independently.
func TestShutter(t *testing.T) {
	for fps, ms := range map[float64]float64{
		24: 20.833, 25: 20.000, 30: 16.667, 48: 10.417, 50: 10.000, 60: 8.333, 120: 4.167, 24000.0 / 1001: 20.854,
	} {
		seconds := exposure.ShutterSeconds(180, fps)
		require.InDelta(t, ms, 1000*seconds, 0.0005, "%v fps", fps)
		require.InDelta(t, 180, float64(exposure.ShutterAngle(seconds, fps)), 1e-9)
	}
	require.InDelta(t, 172.8, float64(exposure.ShutterAngle(1.0/50, 24)), 1e-9)
	require.InDelta(t, 144, float64(exposure.ShutterAngle(1.0/60, 24)), 1e-9)
	cost := func(fps float64) float64 {
		return exposure.Stops(exposure.ShutterSeconds(180, 24) / exposure.ShutterSeconds(180, fps))
	}
	require.InDelta(t, 1.32, cost(60), 0.005, "24 to 60")
	require.InDelta(t, 2.32, cost(120), 0.005, "24 to 120")
}

// TestSlowMotion: 60 on 24 plays at 40 % (common practice, no source), the others from
// a published speed table; 3 s on screen are 1.2 s on set.
func TestSlowMotion(t *testing.T) {
	for rates, percent := range map[[2]float64]float64{{60, 24}: 40, {50, 25}: 50, {60, 25}: 41.67, {120, 24}: 20, {24, 24}: 100} {
		require.InDelta(t, percent, 100*exposure.PlaybackSpeed(rates[0], rates[1]), 0.005, "%v", rates)
	}
	require.InDelta(t, 1.2, 3*exposure.PlaybackSpeed(60, 24), 1e-12)
	require.InDelta(t, 0.625, 3*exposure.PlaybackSpeed(120, 25), 1e-12)
	require.InDelta(t, 2.5, 1/exposure.PlaybackSpeed(60, 24), 1e-12, "music for lip-sync")
}

// TestGlass checks f/2 at 75 % from an encyclopaedia, and the densities.
func TestGlass(t *testing.T) {
	require.InDelta(t, 2.31, exposure.TStop(2, 0.75), 0.005)
	require.InDelta(t, 1.476, exposure.TStop(1.4, 0.9), 0.0005)
	require.InDelta(t, exposure.LossStops(0.9), 2*exposure.Stops(exposure.TStop(1.4, 0.9)/1.4), 1e-12, "the loss is what the T-stop says")
	for density, want := range map[float64]struct{ stops, passes float64 }{
		0.3: {0.997, 0.5}, 0.6: {1.993, 0.25}, 0.9: {2.990, 0.125}, 1.2: {3.986, 0.0625},
	} {
		require.InDelta(t, want.stops, exposure.NDStops(density), 0.0005)
		require.InDelta(t, want.passes, exposure.NDTransmittance(density), 0.0015)
		require.InDelta(t, exposure.NDStops(density), exposure.LossStops(exposure.NDTransmittance(density)), 1e-12)
		require.InDelta(t, density, exposure.NDFor(exposure.NDStops(density)), 1e-12)
	}
}

// TestEngraved: marks of whole stops are exact, others as they stand.
func TestEngraved(t *testing.T) {
	for k, mark := range []float64{1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 16, 22, 32} {
		require.InDelta(t, exposure.WholeStop(k), exposure.Engraved(mark), 1e-12)
	}
	require.InDelta(t, 2.828, exposure.Engraved(2.8), 0.0005)
	for _, mark := range []float64{0.95, 1.2, 1.3, 1.5, 1.8, 2.1, 2.2, 2.5, 2.6, 3.2, 3.5, 4.5, 5, 6.3, 7.1, 9, 10, 13, 18} {
		require.Equal(t, mark, exposure.Engraved(mark))
	}
}

// TestRatios checks stops against ratios, and a society's example of 200 fc and 100 fc
// by both definitions.
func TestRatios(t *testing.T) {
	for stops, ratio := range map[float64]float64{1.0 / 3: 1.26, 0.5: 1.414, 2.0 / 3: 1.587, 1: 2, 1.585: 3, 2: 4, 3: 8} {
		require.InDelta(t, ratio, exposure.Factor(stops), 0.0005)
		require.InDelta(t, stops, exposure.Stops(exposure.Factor(stops)), 1e-12)
	}
	require.InDelta(t, -1.58, exposure.Stops(5.0/15), 0.006, "15 to 5 % on the key (common practice, no source)")
	keyFill, sumFill := exposure.RatioOf(200*photometry.LuxPerFootCandle, 100*photometry.LuxPerFootCandle)
	require.Equal(t, "2:1 key:fill", keyFill.String())
	require.Equal(t, "3:1 (key+fill):fill", sumFill.String())
	for ratio, stops := range map[exposure.KeyFill]float64{1: 1.00, 2: 1.58, 4: 2.32, 8: 3.17} {
		require.InDelta(t, stops, ratio.Sum().Stops(), 0.006)
		require.Equal(t, ratio, ratio.Sum().KeyFill())
	}
	require.InDelta(t, 1, exposure.KeyFill(2).Stops(), 1e-12)
	_, none := exposure.RatioOf(120, 0)
	require.True(t, math.IsInf(float64(none), 1))
	require.Equal(t, "2.5:1 key:fill", exposure.KeyFill(2.5).String())
}

// TestSurfacesOverGrey: skin as computed independently from published averages.
func TestSurfacesOverGrey(t *testing.T) {
	require.InDelta(t, 1.0, exposure.SurfaceOverGrey(exposure.LightSkin), 0.005)
	require.InDelta(t, -0.17, exposure.SurfaceOverGrey(exposure.BrownSkin), 0.005)
	require.InDelta(t, -0.85, exposure.SurfaceOverGrey(exposure.DarkSkin), 0.005)
	require.InDelta(t, 2.15, exposure.SurfaceOverGrey(exposure.WhiteShirt), 0.005)
}

// TestHeadroom works the curves out: BT.709 ends at white, HLG by the inverse of
// its curve [BT.2100] with white at 75 % and grey 18 % of it [BT.2408].
func TestHeadroom(t *testing.T) {
	require.InDelta(t, exposure.SurfaceOverGrey(1), exposure.HeadroomBT709, 0.005)

	const a, b, c = 0.17883277, 0.28466892, 0.55991073
	white := (math.Exp((0.75-c)/a) + b) / 12
	grey := photometry.MiddleGrey * white
	require.InDelta(t, 0.38, math.Sqrt(3*grey), 0.005, "the signal of grey")
	require.InDelta(t, -math.Log2(grey), exposure.HeadroomHLG, 0.005)
}

// TestWorkedSetUp is a whole set-up, computed independently: ISO 800, T2.8, 24
// frames a second, 180 degrees, key 120 lx, fill 4:1.
func TestWorkedSetUp(t *testing.T) {
	s := exposure.Settings{ISO: 800, Stop: exposure.Engraved(2.8), Seconds: exposure.ShutterSeconds(180, 24)}
	key := exposure.Standard.Lux(s)
	require.InDelta(t, 120, float64(key), 1e-9)
	require.InDelta(t, 11.15, key.FootCandles(), 0.005)
	require.InDelta(t, 6.88, float64(photometry.Reflected(key, photometry.MiddleGrey)), 0.005)

	d, _ := photometry.Throw(5.5, 2.9, 1.6)
	require.InDelta(t, 5.652, d, 0.0005)
	full := photometry.InverseSquare(8000, 1, d)
	require.InDelta(t, 250.5, float64(full), 0.1)
	require.InDelta(t, 0.479, float64(key/full), 0.0005)
	require.InDelta(t, -1.06, exposure.StopsOver(key, full), 0.005)

	ratio := exposure.SumFill(4)
	fill := ratio.Fill(key)
	require.InDelta(t, 40, float64(fill), 1e-9)
	require.InDelta(t, 2, ratio.Stops(), 1e-12)
	require.InDelta(t, 3, float64(ratio.KeyFill()), 1e-12)
	strip, err := photometry.NewStrip(1600, 1.15)
	require.NoError(t, err)
	require.InDelta(t, 120.8, float64(strip.Facing(2, 0)), 0.1)
	require.InDelta(t, 0.331, float64(fill/strip.Facing(2, 0)), 0.0005)
	require.InDelta(t, -1.59, exposure.StopsOver(fill, strip.Facing(2, 0)), 0.006)
	blue := strip.Scale(0.057) // its blue emitters alone
	require.InDelta(t, 6.9, float64(blue.Facing(2, 0)), 0.05)
	require.InDelta(t, 15, float64(blue.Facing(1.3, 0)), 0.8)

	over := s
	over.Seconds = exposure.ShutterSeconds(180, 60)
	require.InDelta(t, 300, float64(exposure.Standard.Lux(over)), 1e-9, "60 frames a second")
	require.InDelta(t, 1.32, exposure.StopsOver(exposure.Standard.Lux(over), key), 0.005)
	require.InDelta(t, 2.58, exposure.Standard.Stop(full, over), 0.005)
	require.InDelta(t, 0.8, 2*exposure.PlaybackSpeed(60, 24), 1e-12, "a fade of 2 s on screen")
	require.InDelta(t, 48, 2*exposure.PlaybackSpeed(60, 24)*60, 1e-12, "its captured frames")
}

func TestNoAllocations(t *testing.T) {
	var sink float64
	s := exposure.Settings{ISO: 800, Stop: 2.8, Seconds: 1.0 / 48}
	require.Zero(t, testing.AllocsPerRun(100, func() {
		e := exposure.Standard.Lux(s)
		_, ratio := exposure.RatioOf(e, 40)
		sink += exposure.Standard.Stop(e, s) + ratio.Stops() + s.EV100()
	}))
	require.NotZero(t, sink)
}
