package calibrate_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/calibrate"
	"linkboy/colour/lamp"
	"linkboy/colour/spectra"
)

// Each way of being wrong is named, and says what to write: what is refused
// leaves the lamp as its type has it.
func TestFaults(t *testing.T) {
	light := func(c float64) float64 { return c * c }
	m := newMeter(tube(), light, 0, 0)
	good := func(change func(*calibrate.Reading)) calibrate.Reading {
		r := m.read(1, 1, 2)
		change(&r)
		return r
	}
	spectrum := func(s spectra.Spectrum) func(*calibrate.Reading) {
		return func(r *calibrate.Reading) { r.Spectrum, r.XY = &s, colour.XY{} }
	}
	negative := led(525, 33)
	negative[200] = -1
	for name, row := range map[string]struct {
		change  func(*calibrate.Reading)
		kind    calibrate.Kind
		refused bool
		says    []string
	}{
		"unknown emitter":  {func(r *calibrate.Reading) { r.Emitter = "lime" }, calibrate.UnknownEmitter, true, []string{`"lime"`, "red, green, blue, warm"}},
		"nothing read":     {func(r *calibrate.Reading) { *r = calibrate.Reading{Emitter: "red", Drive: 1} }, calibrate.Impossible, true, []string{"neither lux nor xy"}},
		"per cent":         {func(r *calibrate.Reading) { r.Drive = 50 }, calibrate.WrongUnit, true, []string{"per cent", "0.5 or 50%"}},
		"channel value":    {func(r *calibrate.Reading) { r.Drive = 204 }, calibrate.WrongUnit, true, []string{"value of a channel", "80%"}},
		"no drive":         {func(r *calibrate.Reading) { r.Drive = 0 }, calibrate.Impossible, true, []string{"a drive of 0"}},
		"drive of NaN":     {func(r *calibrate.Reading) { r.Drive = math.NaN() }, calibrate.Impossible, true, []string{"a drive of NaN"}},
		"no distance":      {func(r *calibrate.Reading) { r.DistanceM = 0 }, calibrate.Impossible, true, []string{"without the distance"}},
		"no light":         {func(r *calibrate.Reading) { r.Lux = 0 }, calibrate.Impossible, true, []string{"0 lx"}},
		"negative light":   {func(r *calibrate.Reading) { r.Lux = -3 }, calibrate.Impossible, true, []string{"-3 lx"}},
		"infinite light":   {func(r *calibrate.Reading) { r.Lux = math.Inf(1) }, calibrate.Impossible, true, []string{"Inf lx"}},
		"foot-candles":     {func(r *calibrate.Reading) { r.Lux /= 10.764 }, calibrate.WrongUnit, true, []string{"foot-candles", "write 45.", "10.76 lx"}},
		"centimetres":      {func(r *calibrate.Reading) { r.DistanceM *= 100 }, calibrate.WrongUnit, true, []string{"centimetres", "write 2 m"}},
		"millimetres":      {func(r *calibrate.Reading) { r.DistanceM *= 1000 }, calibrate.WrongUnit, true, []string{"millimetres", "write 2 m"}},
		"feet":             {func(r *calibrate.Reading) { r.DistanceM /= 0.3048 }, calibrate.WrongUnit, true, []string{"feet", "write 2 m"}},
		"kilolux":          {func(r *calibrate.Reading) { r.Lux /= 1000 }, calibrate.WrongUnit, true, []string{"kilolux", "write 45."}},
		"far too bright":   {func(r *calibrate.Reading) { r.Lux *= 70 }, calibrate.FarFromType, true, []string{"6.1 stops"}},
		"rather dim":       {func(r *calibrate.Reading) { r.Lux *= 0.2 }, calibrate.FarFromType, false, []string{"2.3 stops"}},
		"xy outside":       {func(r *calibrate.Reading) { r.XY = colour.XY{X: 0.1, Y: 0.95} }, calibrate.Impossible, true, []string{"no light has that chromaticity", "read it again"}},
		"xy of NaN":        {func(r *calibrate.Reading) { r.XY = colour.XY{X: math.NaN(), Y: 0.4} }, calibrate.Impossible, true, []string{"no light has that chromaticity"}},
		"xy in per cent":   {func(r *calibrate.Reading) { r.XY = colour.XY{X: r.XY.X * 100, Y: r.XY.Y * 100} }, calibrate.Impossible, true, []string{"not per cent: 0.1"}},
		"xy without point": {func(r *calibrate.Reading) { r.XY = colour.XY{X: r.XY.X * 1000, Y: r.XY.Y * 1000} }, calibrate.Impossible, true, []string{"decimal point: 0.1"}},
		"u'v' as xy":       {func(r *calibrate.Reading) { u := r.XY.UV(); r.XY = colour.XY{X: u.U, Y: u.V} }, calibrate.FarFromType, true, []string{"if it were u'v'", "write xy 0.1"}},
		"x and y swapped":  {func(r *calibrate.Reading) { r.XY = colour.XY{X: r.XY.Y, Y: r.XY.X} }, calibrate.Impossible, true, []string{"other way round", "write xy 0.1"}},
		"another emitter":  {func(r *calibrate.Reading) { r.XY = colour.XY{X: 0.69, Y: 0.305} }, calibrate.FarFromType, true, []string{"colour of the emitter red", "write emitter red"}},
		"another colour":   {func(r *calibrate.Reading) { r.XY = colour.XY{X: 0.33, Y: 0.34} }, calibrate.FarFromType, true, []string{"u'v' from the green of tube"}},
		"a shade off":      {func(r *calibrate.Reading) { r.XY = colour.XY{X: 0.27, Y: 0.63} }, calibrate.FarFromType, false, []string{"u'v' from the green of tube"}},
		"another spectrum": {spectrum(led(465, 23)), calibrate.FarFromType, true, []string{"a spectrum of xy", "colour of the emitter blue"}},
		"negative power":   {spectrum(negative), calibrate.Impossible, true, []string{"the power -1"}},
		"dark spectrum":    {spectrum(spectra.Spectrum{}), calibrate.Impossible, true, []string{"without light"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := good(row.change)
			made := tube()
			got, report, faults := calibrate.Fit(made, made.Modes[1], []calibrate.Reading{r})
			require.Len(t, faults, 1)
			f := faults[0]
			require.Equal(t, row.kind, f.Kind, f.Error())
			require.Equal(t, row.refused, f.Refused, f.Error())
			require.NotEmpty(t, f.Why)
			require.NotEmpty(t, f.Mend)
			for _, says := range row.says {
				require.Contains(t, f.Error(), says)
			}
			require.Len(t, report.Readings, 1)
			require.Empty(t, got.Validate())
			for i, e := range got.Emitters {
				if row.refused {
					require.InEpsilon(t, made.Emitters[i].Lumens, e.Lumens, 1e-6, e.Name)
					require.Less(t, apart(made.Emitters[i].Spectrum, e.Spectrum), 1e-6, e.Name)
				}
			}
			if !row.refused {
				require.Greater(t, math.Abs(math.Log(got.Emitters[1].Lumens/600))+apart(made.Emitters[1].Spectrum, got.Emitters[1].Spectrum), 0.1)
			}
		})
	}
	_, _, faults := calibrate.Fit(tube(), tube().Modes[1], []calibrate.Reading{good(func(*calibrate.Reading) {})})
	requireNoFaults(t, faults)
}

// Below full a curve that is not the type's is no fault of units.
func TestFaultsLeaveCurvesAlone(t *testing.T) {
	made := tube() // square
	for _, law := range []float64{1, 1.5, 2.2, 3} {
		m := newMeter(made, func(c float64) float64 { return math.Pow(c, law) }, 0, 0)
		for _, d := range levels {
			_, _, faults := calibrate.Fit(made, made.Modes[1], []calibrate.Reading{m.read(0, d, 1)})
			requireNoFaults(t, faults)
		}
	}
}

func TestFaultOfAFallingCurve(t *testing.T) {
	made := tube()
	m := newMeter(made, func(c float64) float64 { return c * c }, 0, 0)
	low, high, full := m.read(1, 0.25, 1), m.read(1, 0.5, 1), m.read(1, 1, 1)
	low.Lux, high.Lux = high.Lux, low.Lux
	got, _, faults := calibrate.Fit(made, made.Modes[1], []calibrate.Reading{full, high, low})
	require.Len(t, faults, 1)
	require.Equal(t, calibrate.FallingCurve, faults[0].Kind)
	require.Equal(t, 2, faults[0].Reading)
	require.Equal(t, []int{1}, faults[0].Against)
	require.Contains(t, faults[0].Error(), "light at 25% of control: it is 2.00 stop more than at 50%")
	require.Empty(t, got.Validate())
	rises(t, got.Modes[1].Curve)

	// More at half than at full.
	m = newMeter(made, func(c float64) float64 { return c * c }, 0, 0)
	high = m.read(1, 0.5, 1)
	high.Lux *= 6
	got, _, faults = calibrate.Fit(made, made.Modes[1], []calibrate.Reading{full, high})
	require.Len(t, faults, 1)
	require.Equal(t, calibrate.FallingCurve, faults[0].Kind)
	require.Equal(t, []int{0}, faults[0].Against)
	require.Contains(t, faults[0].Error(), "more than at full")
	rises(t, got.Modes[1].Curve)
}

func rises(t *testing.T, name lamp.Curve) {
	c := curveByName(t, name)
	for v := 1; v <= 255; v++ {
		require.Greater(t, c.Light(float64(v)/255), c.Light(float64(v-1)/255))
	}
}

// Two readings of one thing that disagree: the mean of two, the middle of three.
func TestFaultOfContradiction(t *testing.T) {
	made := tube()
	m := newMeter(made, func(c float64) float64 { return c * c }, 0, 0)
	a, b, c := m.read(1, 1, 1), m.read(1, 1, 2), m.read(1, 1, 3)
	b.Lux *= 1.5
	got, report, faults := calibrate.Fit(made, made.Modes[1], []calibrate.Reading{a, b})
	require.Len(t, faults, 1)
	require.Equal(t, calibrate.Contradiction, faults[0].Kind)
	require.False(t, faults[0].Refused)
	require.Equal(t, 1, faults[0].Reading)
	require.Equal(t, []int{0}, faults[0].Against)
	require.Contains(t, faults[0].Error(), "reading 1 read")
	require.Contains(t, faults[0].Error(), "0.58 stop apart")
	require.InEpsilon(t, 600*math.Sqrt(1.5), got.Emitters[1].Lumens, 1e-6)
	require.InDelta(t, 0.58/2, report.MostStops, 0.005)

	got, report, faults = calibrate.Fit(made, made.Modes[1], []calibrate.Reading{a, b, c})
	require.Len(t, faults, 1)
	require.True(t, faults[0].Refused)
	require.Equal(t, 1, faults[0].Reading)
	require.InEpsilon(t, 600.0, got.Emitters[1].Lumens, 1e-6)
	require.False(t, report.Readings[1].LuxUsed)

	// Colour.
	a, b = m.read(1, 1, 1), m.read(1, 1, 1)
	b.XY.X += 0.03
	_, report, faults = calibrate.Fit(made, made.Modes[1], []calibrate.Reading{a, b})
	require.Len(t, faults, 1)
	require.Equal(t, calibrate.Contradiction, faults[0].Kind)
	require.Contains(t, faults[0].Error(), "u'v' apart")
	require.Greater(t, report.MostUV, 0.003)

	// An xy beside a spectrum.
	s := made.Emitters[1].Spectrum
	b.Spectrum = &s
	got, _, faults = calibrate.Fit(made, made.Modes[1], []calibrate.Reading{b})
	require.Len(t, faults, 1)
	require.Contains(t, faults[0].Error(), "the spectrum is believed")
	require.Less(t, apart(s, got.Emitters[1].Spectrum), 1e-12)
}

// One emitter that does not follow the curve of the others, and a colour that
// is another at a low level, are named though no two readings are of one thing.
func TestFaultOfAnOutlier(t *testing.T) {
	made := tube()
	m := newMeter(made, func(c float64) float64 { return c * c }, 0, 0)
	readings := readAll(m)
	readings[2].Lux *= 0.6 // red at half
	_, _, faults := calibrate.Fit(made, made.Modes[1], readings)
	require.Len(t, faults, 1)
	require.Equal(t, calibrate.Contradiction, faults[0].Kind)
	require.Equal(t, 2, faults[0].Reading)
	require.Contains(t, faults[0].Error(), "the other readings of the lamp say")

	readings = readAll(m)
	readings[9].XY.X += 0.05 // green at a quarter
	_, _, faults = calibrate.Fit(made, made.Modes[1], readings)
	require.Len(t, faults, 1)
	require.Equal(t, 9, faults[0].Reading)
	require.Contains(t, faults[0].Error(), "at its highest level")
}

func TestFaultOfATypeWithoutBeam(t *testing.T) {
	made := tube()
	made.Photometry.BeamDeg = 0
	_, report, faults := calibrate.Fit(made, made.Modes[1], []calibrate.Reading{{Emitter: "red", Drive: 1, Lux: 60, DistanceM: 1, XY: colour.XY{X: 0.69, Y: 0.305}}})
	require.Len(t, faults, 1)
	require.Equal(t, calibrate.NoPhotometry, faults[0].Kind)
	require.True(t, report.Readings[0].ColourUsed)
	require.Empty(t, report.Law)
}

// FuzzFit: whatever is read, the unit is a sound type and every number of the
// report is finite.
func FuzzFit(f *testing.F) {
	f.Add("red", 1.0, 60.0, 1.0, 0.69, 0.30, 0.5, 15.0)
	f.Add("green", 50.0, 12.0, 100.0, 69.0, 30.0, 1.0, 1e-30)
	f.Add("blue", 0.001, 1e7, 1e-9, 0.14, 0.05, 0.0011, 1e7)
	f.Fuzz(func(t *testing.T, name string, drive, lux, at, x, y, drive2, lux2 float64) {
		made := tube()
		got, report, faults := calibrate.Fit(made, made.Modes[0], []calibrate.Reading{
			{Emitter: name, Drive: drive, Lux: lux, DistanceM: at, XY: colour.XY{X: x, Y: y}},
			{Emitter: name, Drive: drive2, Lux: lux2, DistanceM: at},
			{Emitter: "green", Drive: drive2, Lux: lux, DistanceM: 1, XY: colour.XY{X: y, Y: x}},
		})
		for _, err := range got.Validate() {
			t.Error(err)
		}
		for _, r := range report.Readings {
			require.False(t, math.IsNaN(r.Stops+r.DeltaUV) || math.IsInf(r.Stops+r.DeltaUV, 0))
		}
		rises(t, got.Modes[0].Curve)
		for _, fault := range faults {
			require.NotEmpty(t, fault.Mend)
		}
	})
}
