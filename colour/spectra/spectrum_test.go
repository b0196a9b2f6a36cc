package spectra_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// ISO/CIE 11664-1:2019: V(555 nm) = 1, so one watt there is 683 lm.
func TestOneWattAtThePeakOfVision(t *testing.T) {
	var s spectra.Spectrum
	s[555-spectra.FirstNM] = 1
	require.Equal(t, 683.0, s.XYZ().Y)
	require.Equal(t, 683.0, s.Efficacy())
	require.Equal(t, 1.0, s.Power())
	require.Zero(t, new(spectra.Spectrum).Efficacy())
}

func TestLightAddsUp(t *testing.T) {
	a, b := spectra.Ohno(457, 20), spectra.Ohno(530, 30)
	sum := a.Add(b.Scale(2)).XYZ()
	want := a.XYZ().Add(b.XYZ().Scale(2))
	require.InEpsilon(t, want.X, sum.X, 1e-13)
	require.InEpsilon(t, want.Y, sum.Y, 1e-13)
	require.InEpsilon(t, want.Z, sum.Z, 1e-13)
	require.Equal(t, spectra.Ohno(457, 20), a, "Add and Scale leave their operands")
}

func TestFromTable(t *testing.T) {
	s, err := spectra.FromTable([]float64{340, 361.5, 363.5, 900}, []float64{2, 10, 30, 30})
	require.NoError(t, err)
	require.InDelta(t, 2+8*20/21.5, s[0], 1e-14) // 360 nm, inside a first step that begins before the grid
	require.InDelta(t, 15, s[2], 1e-14)          // 362 nm
	require.InDelta(t, 25, s[3], 1e-14)          // 363 nm
	require.InDelta(t, 30, s[4], 1e-14)
	require.InDelta(t, 30, s[len(s)-1], 1e-14)

	s, err = spectra.FromTable([]float64{400, 402}, []float64{1, 3})
	require.NoError(t, err)
	require.Equal(t, []float64{0, 1, 2, 3, 0}, s[399-spectra.FirstNM:404-spectra.FirstNM], "zero outside the table")
	require.Equal(t, 6.0, s.Power())
}

func TestFromTableRefuses(t *testing.T) {
	for name, table := range map[string][2][]float64{
		"empty":          {},
		"one point":      {{555}, {1}},
		"lengths":        {{400, 500}, {1}},
		"falling":        {{500, 400}, {1, 1}},
		"twice":          {{400, 400}, {1, 1}},
		"no wavelength":  {{400, math.NaN()}, {1, 1}},
		"no wavelength ": {{math.NaN(), 500}, {1, 1}},
		"infinite":       {{400, math.Inf(1)}, {1, 1}},
		"negative":       {{400, 500}, {1, -0.1}},
		"no power":       {{400, 500}, {1, math.NaN()}},
		"infinite power": {{400, 500}, {1, math.Inf(1)}},
		"dark":           {{400, 500}, {0, 0}},
		"micrometres":    {{0.4, 0.5}, {1, 1}},
	} {
		_, err := spectra.FromTable(table[0], table[1])
		var e *colour.Error
		require.ErrorAs(t, err, &e, name)
		require.NotEmpty(t, e.Why, name)
		require.NotEmpty(t, e.Mend, name)
	}
}

// BenchmarkXYZ is held against "sum", the cost of walking a spectrum once.
func BenchmarkXYZ(b *testing.B) {
	s := spectra.Ohno(530, 30)
	b.Run("sum", func(b *testing.B) {
		for b.Loop() {
			s.Power()
		}
	})
	b.Run("xyz", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			s.XYZ()
		}
	})
}
