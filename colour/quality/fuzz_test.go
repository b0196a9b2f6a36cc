package quality_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/quality"
	"linkboy/colour/spectra"
)

// requireRanges holds every figure that is there to its range.
func requireRanges(t testing.TB, f quality.Figures) {
	t.Helper()
	number := func(name string, v, lo, hi float64) {
		t.Helper()
		require.True(t, v >= lo && v <= hi && !math.IsInf(v, 0), "%s is %v at %v", name, v, f.XY)
	}
	const rounding = 1e-9
	number("x", f.XY.X, 0, 1)
	number("y", f.XY.Y, 0, 1)
	number("wavelength", math.Abs(f.Dominant.NM), 0, 830)
	number("purity", f.Dominant.Purity, 0, 1)
	number("efficacy", f.Efficacy, 0, 683)
	if f.CRI != nil {
		number("Ra", f.CRI.Ra, math.Inf(-1), 100+rounding)
		for _, r := range f.CRI.R {
			number("R", r, math.Inf(-1), 100+rounding)
		}
		number("distance", f.CRI.Distance, 0, 0.06)
	}
	if f.TM30 != nil {
		number("Rf", f.TM30.Rf, 0, 100.001)
		number("Rg", f.TM30.Rg, math.Inf(-1), math.Inf(1))
		for _, r := range f.TM30.Rs {
			number("Rs", r, 0, 100.001)
		}
		for _, b := range f.TM30.Bins {
			number("bin Rf", b.Rf, 0, 100.001)
			number("bin chroma", b.Chroma, math.Inf(-1), math.Inf(1))
			number("bin hue", b.Hue, math.Inf(-1), math.Inf(1))
		}
	}
	if f.SSI != nil {
		number("SSI", f.SSI.Value, math.Inf(-1), 100)
	}
	if f.TLCI != nil {
		number("TLCI", f.TLCI.Q, 0, 100)
		number("excluded", float64(f.TLCI.Excluded), 0, 17)
		for _, de := range f.TLCI.DE {
			number("DE", de, 0, math.Inf(1))
		}
	}
}

// FuzzMeasure mixes three emitters of any width and power over a floor of
// light: from smooth whites to three laser lines.
func FuzzMeasure(f *testing.F) {
	f.Add(455.0, 20.0, 1.0, 530.0, 30.0, 1.0, 625.0, 20.0, 1.0, 0.0)
	f.Add(450.0, 0.1, 1.0, 532.0, 0.1, 1.2, 638.0, 0.1, 1.4, 0.0)
	f.Add(380.0, 1.0, 1.0, 580.0, 0.5, 1.0, 780.0, 1.0, 1.0, 0.0)
	f.Add(470.0, 0.3, 1.0, 578.0, 0.3, 1.0, 700.0, 1.0, 0.0, 0.0)
	f.Add(370.0, 1.0, 1.0, 370.0, 0.0, 0.0, 370.0, 1.0, 1.0, 0.0)
	f.Add(600.0, 200.0, 1.0, 450.0, 100.0, 0.5, 500.0, 50.0, 0.1, 0.2)
	f.Fuzz(func(t *testing.T, n1, w1, p1, n2, w2, p2, n3, w3, p3, floor float64) {
		var s spectra.Spectrum
		for _, e := range [][3]float64{{n1, w1, p1}, {n2, w2, p2}, {n3, w3, p3}} {
			s = s.Add(spectra.Ohno(e[0], e[1]).Scale(e[2]))
		}
		for i := range s {
			s[i] += floor
		}
		got, err := quality.Measure(s)
		if err != nil {
			return // dark, negative or no number
		}
		requireRanges(t, got)
		require.Equal(t, 5, len(got.Missing)+there(got))
	})
}

// there counts the figures that a light has.
func there(f quality.Figures) (n int) {
	for _, have := range []bool{f.CCT != nil, f.CRI != nil, f.TM30 != nil, f.SSI != nil, f.TLCI != nil} {
		if have {
			n++
		}
	}
	return n
}
