package calibrate_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/calibrate"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
)

// unit is a tube that differs from its type as units do: other bins, other
// lumens, another dimmer law.
func unit() *lamp.Type {
	u := tube()
	for i, change := range []struct {
		peak, width, lumens float64
	}{{626, 19, 0.8}, {528, 34, 1.15}, {461, 22, 1.3}} {
		u.Emitters[i].Spectrum = led(change.peak, change.width)
		u.Emitters[i].Lumens *= change.lumens
	}
	u.Emitters[3].Spectrum = led(451, 34).Scale(0.08).Add(led(592, 118).Scale(0.92))
	u.Emitters[3].Lumens *= 0.9
	return u
}

// levels are those at which trade practice asks to measure a curve: 5, 10, 25,
// 50 and 100 %, and 75 % besides.
var levels = []float64{1, 0.75, 0.5, 0.25, 0.1, 0.05}

// readAll reads every emitter at every level, near for the dim ones.
func readAll(m *meter) (out []calibrate.Reading) {
	for i := range m.lamp.Emitters {
		for _, d := range levels {
			out = append(out, m.read(i, d, 0.5+0.5*math.Round(2*d)))
		}
	}
	return out
}

// carry16 is what 16 bits make of a share of control.
func carry16(d float64) float64 { return math.Round(d*65535) / 65535 }

// Readings without noise give the unit back: lumens to 1e-5, chromaticity to
// 2e-6, the curve to 1e-3 stop of power law or of its own shape.
func TestFitFindsTheTruth(t *testing.T) {
	for _, truth := range []lamp.Curve{"linear", "square", "gamma 2.2"} {
		light := curveByName(t, truth)
		made, u := tube(), unit()
		m := newMeter(u, func(c float64) float64 { return light.Light(carry16(c)) }, 0, 0)
		got, report, faults := calibrate.Fit(made, made.Modes[1], readAll(m))
		requireNoFaults(t, faults)
		for i, e := range got.Emitters {
			require.InEpsilon(t, u.Emitters[i].Lumens, e.Lumens, 1e-5, e.Name)
			want, is := u.Emitters[i].Spectrum.XYZ().XY(), e.Spectrum.XYZ().XY()
			require.InDelta(t, want.X, is.X, 2e-6, e.Name)
			require.InDelta(t, want.Y, is.Y, 2e-6, e.Name)
			require.Less(t, apart(e.Spectrum, u.Emitters[i].Spectrum), 0.03, "%s: the spectrum behind the xy", e.Name)
			require.Greater(t, apart(made.Emitters[i].Spectrum, u.Emitters[i].Spectrum), 0.02, "%s: the test must have something to do", e.Name)
		}
		fitted := curveByName(t, got.Modes[1].Curve)
		for c := 0.01; c <= 1; c += 0.01 {
			require.InDelta(t, 0, math.Log2(fitted.Light(c)/light.Light(c)), 1e-3, "%s at %v", truth, c)
		}
		require.Less(t, report.MostStops, 1e-4)
		require.Less(t, report.MostUV, 1e-5)
		require.Equal(t, "line", report.Law)
		require.Empty(t, got.Validate())
	}
}

// A meter of 3 % and 0.002 in x and y, one standard deviation, and twenty units
// read: the worst lumens of any emitter are within 6 % (two of the meter's
// deviations), the worst place on a curve within 0.12 stop (under three), the
// worst chromaticity within 0.008 (under three in both x and y).
func TestFitThroughNoise(t *testing.T) {
	light := curveByName(t, "gamma 2.2")
	made, u := tube(), unit()
	m := newMeter(u, func(c float64) float64 { return light.Light(carry16(c)) }, 0.03, 0.002)
	var worstLumens, worstCurve, worstXY float64
	for range 20 {
		got, report, _ := calibrate.Fit(made, made.Modes[1], readAll(m))
		for i, e := range got.Emitters {
			worstLumens = max(worstLumens, math.Abs(math.Log(e.Lumens/u.Emitters[i].Lumens)))
			want, is := u.Emitters[i].Spectrum.XYZ().XY(), e.Spectrum.XYZ().XY()
			worstXY = max(worstXY, math.Hypot(want.X-is.X, want.Y-is.Y))
		}
		fitted := curveByName(t, got.Modes[1].Curve)
		for c := 0.05; c <= 1; c += 0.01 {
			worstCurve = max(worstCurve, math.Abs(math.Log2(fitted.Light(c)/light.Light(c))))
		}
		require.InDelta(t, 0.04, report.RMSStops, 0.02, "3 %% is 0.043 stop")
	}
	t.Logf("lumens to %.1f %%, curve to %.3f stop, xy to %.4f", 100*worstLumens, worstCurve, worstXY)
	require.Less(t, worstLumens, 0.06)
	require.Less(t, worstCurve, 0.12)
	require.Less(t, worstXY, 0.008)
}

// The s-curve of a unit whose type has it is found to 0.02 stop; a unit of
// another shape than its type's to 0.06 stop between its readings.
func TestFitFindsTheShape(t *testing.T) {
	s := curveByName(t, "s")
	for _, row := range []struct {
		made  lamp.Curve
		stops float64
	}{{"s", 1e-4}, {"square", 0.06}, {"linear", 0.06}} {
		made := tube()
		made.Modes[1].Curve = row.made
		m := newMeter(made, func(c float64) float64 { return s.Light(carry16(c)) }, 0, 0)
		got, _, faults := calibrate.Fit(made, made.Modes[1], readAll(m))
		requireNoFaults(t, faults)
		fitted := curveByName(t, got.Modes[1].Curve)
		for c := 0.05; c <= 1; c += 0.01 {
			require.InDelta(t, 0, math.Log2(fitted.Light(c)/s.Light(c)), row.stops, "%s at %v", row.made, c)
		}
	}
}

// The control is what the bytes of the mode can carry: 5 % is 13 of 255 in 8 bit.
func TestFitKnowsTheBits(t *testing.T) {
	made := tube()
	light := curveByName(t, "gamma 2.2")
	m := newMeter(made, func(c float64) float64 { return light.Light(math.Round(c*255) / 255) }, 0, 0)
	got, _, faults := calibrate.Fit(made, made.Modes[0], readAll(m))
	requireNoFaults(t, faults)
	fitted := curveByName(t, got.Modes[0].Curve)
	require.InEpsilon(t, light.Light(13.0/255), fitted.Light(13.0/255), 1e-4)
	require.InEpsilon(t, light.Light(64.0/255), fitted.Light(64.0/255), 1e-4)
}

// A unit that is driven by its own type gives the light it is asked for: levels
// from 2 % up come out of the true lamp to 1 %, through bytes of 16 bits.
func TestFitDrivesTheUnit(t *testing.T) {
	light := curveByName(t, "gamma 2.2")
	made, u := tube(), unit()
	m := newMeter(u, func(c float64) float64 { return light.Light(carry16(c)) }, 0, 0)
	got, _, _ := calibrate.Fit(made, made.Modes[1], readAll(m))
	slots := make([]byte, 8)
	for level := 0.02; level <= 1; level += 0.02 {
		drives := []emitters.Drives{{level, level, level, level}}
		got.Modes[1].Encode(got, drives, nil, slots)
		for i, e := range got.Emitters {
			control := float64(int(slots[2*i])<<8|int(slots[2*i+1])) / 65535
			require.InEpsilon(t, level*e.Lumens, u.Emitters[i].Lumens*light.Light(control), 0.01, "%s at %v", e.Name, level)
		}
		made.Modes[1].Encode(made, drives, nil, slots)
		if control := float64(int(slots[0])<<8|int(slots[1])) / 65535; level < 0.5 {
			require.Greater(t, math.Abs(math.Log2(light.Light(control)/level)), 0.09, "the type alone is off")
		}
	}
}

// The curve goes to every mode that had the same; the type and its modes are
// not touched; without lux the curve and the lumens stay.
func TestFitMakesACopy(t *testing.T) {
	made, before := tube(), tube()
	light := curveByName(t, "linear")
	m := newMeter(unit(), light.Light, 0, 0)
	got, report, _ := calibrate.Fit(made, made.Modes[1], readAll(m))
	require.Equal(t, before, made)
	require.NotSame(t, made.Modes[0], got.Modes[0])
	require.Equal(t, got.Modes[1].Curve, got.Modes[0].Curve)
	require.Contains(t, string(got.Modes[0].Curve), "square through ")
	require.Equal(t, lamp.Curve("linear"), got.Modes[2].Curve)
	require.Equal(t, got.Modes[1].Curve, report.Curve)
	require.Equal(t, lamp.Curve("square"), report.Made)

	got, report, faults := calibrate.Fit(made, made.Modes[1], []calibrate.Reading{{Emitter: "green", Drive: 1, XY: colour.XY{X: 0.18, Y: 0.73}}})
	require.Empty(t, faults)
	require.Equal(t, lamp.Curve("square"), got.Modes[1].Curve)
	require.Equal(t, calibrate.ByXY, report.Emitters[1].SpectrumBy)
	require.Equal(t, calibrate.ByType, report.Emitters[1].LumensBy)
	require.Equal(t, 600.0, got.Emitters[1].Lumens)

	got, report, faults = calibrate.Fit(made, made.Modes[1], nil)
	require.Empty(t, faults)
	require.Empty(t, report.Readings)
	require.Equal(t, made, got)
}

// Emitters that were not read are scaled as the others are on average, by the
// geometric mean: a beam that is not the type's is common to all.
func TestFitScalesTheRest(t *testing.T) {
	made, u := tube(), tube()
	u.Emitters[0].Lumens *= 0.5
	u.Emitters[1].Lumens *= 0.8
	m := newMeter(u, func(c float64) float64 { return c * c }, 0, 0)
	got, report, faults := calibrate.Fit(made, made.Modes[1], []calibrate.Reading{m.read(0, 1, 1), m.read(1, 1, 1)})
	requireNoFaults(t, faults)
	require.InEpsilon(t, 58*math.Sqrt(0.4), got.Emitters[2].Lumens, 1e-6)
	require.Equal(t, []calibrate.By{calibrate.ByLux, calibrate.ByLux, calibrate.ByOthers, calibrate.ByOthers},
		[]calibrate.By{report.Emitters[0].LumensBy, report.Emitters[1].LumensBy, report.Emitters[2].LumensBy, report.Emitters[3].LumensBy})
}

// Without a reading at full the highest level lies on the type's curve; another
// emitter's readings tell the curve for one that has a single level.
func TestFitWithFewLevels(t *testing.T) {
	made, u := tube(), unit()
	linear := func(c float64) float64 { return c }
	m := newMeter(u, linear, 0, 0)
	got, _, faults := calibrate.Fit(made, made.Modes[1], []calibrate.Reading{m.read(0, 0.5, 1), m.read(0, 0.25, 1)})
	requireNoFaults(t, faults)
	fitted := curveByName(t, got.Modes[1].Curve)
	require.InEpsilon(t, 0.25, fitted.Light(carry16(0.5)), 0.01, "the type's square law")
	require.InEpsilon(t, 0.125, fitted.Light(carry16(0.25)), 0.01, "half of that, as was read")

	got, _, faults = calibrate.Fit(made, made.Modes[1], []calibrate.Reading{m.read(0, 0.5, 1), m.read(1, 0.5, 1), m.read(1, 1, 1)})
	requireNoFaults(t, faults)
	require.InEpsilon(t, u.Emitters[0].Lumens, got.Emitters[0].Lumens, 1e-4)
	require.InEpsilon(t, u.Emitters[1].Lumens, got.Emitters[1].Lumens, 1e-4)
}

// A sweep of sixty levels is thinned to the points that a curve can have, both
// ends among them, and still follows the truth to 0.01 stop.
func TestFitOfASweep(t *testing.T) {
	made := tube()
	made.Modes[1].Curve = "linear"
	light := curveByName(t, "s")
	m := newMeter(made, func(c float64) float64 { return light.Light(carry16(c)) }, 0, 0)
	var readings []calibrate.Reading
	for k := 1; k <= 60; k++ {
		readings = append(readings, m.read(1, float64(k)/60, 1))
	}
	got, _, faults := calibrate.Fit(made, made.Modes[1], readings)
	requireNoFaults(t, faults)
	require.Len(t, strings.Fields(string(got.Modes[1].Curve)), 2+emitters.MaxPoints)
	fitted := curveByName(t, got.Modes[1].Curve)
	for c := 0.1; c <= 1; c += 0.01 {
		require.InDelta(t, 0, math.Log2(fitted.Light(c)/light.Light(c)), 0.01, "at %v", c)
	}
}

// A measured spectrum takes the type's place; lumens come from the lux.
func TestFitTakesASpectrum(t *testing.T) {
	made, u := tube(), unit()
	s := u.Emitters[1].Spectrum.Scale(0.0037) // in whatever unit the meter has
	m := newMeter(u, func(c float64) float64 { return c * c }, 0, 0)
	r := m.read(1, 1, 1)
	r.Spectrum, r.XY = &s, colour.XY{}
	got, report, faults := calibrate.Fit(made, made.Modes[1], []calibrate.Reading{r})
	requireNoFaults(t, faults)
	require.Less(t, apart(got.Emitters[1].Spectrum, s), 1e-12)
	require.InEpsilon(t, u.Emitters[1].Lumens, got.Emitters[1].Lumens, 1e-4)
	require.Equal(t, calibrate.BySpectrum, report.Emitters[1].SpectrumBy)
	require.Less(t, report.MostUV, 1e-12)
}

func ExampleFit() {
	made := tube()
	got, report, faults := calibrate.Fit(made, made.Modes[0], []calibrate.Reading{
		{Emitter: "green", Drive: 1, Lux: 140, DistanceM: 1, XY: colour.XY{X: 0.17, Y: 0.74}},
		{Emitter: "green", Drive: 0.5, Lux: 38, DistanceM: 1},
		{Emitter: "blue", Drive: 1, Lux: 1.6, DistanceM: 1},
	})
	fmt.Printf("green %.0f lm, %s\n", got.Emitters[1].Lumens, report.Curve)
	for _, f := range faults {
		fmt.Println(f.Error())
	}
	// Output:
	// green 530 lm, square through 50.1961%:27.1429%
	// reading 3 (blue): 1.6 lx at 1 m: that is 6 lm, 3.3 stops off what the blue of tube gives; it would fit if it were read in foot-candles; write 17.22 lx (1 fc is 10.76 lx); or, if it is right, give the lamp type its own lumens
}

func BenchmarkFit(b *testing.B) {
	made := tube()
	readings := readAll(newMeter(unit(), func(c float64) float64 { return c }, 0.03, 0.001))
	b.ReportAllocs()
	for b.Loop() {
		calibrate.Fit(made, made.Modes[1], readings)
	}
}
