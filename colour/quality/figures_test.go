package quality_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/quality"
	"linkboy/colour/spectra"
)

// Measure gives the same as each function by itself.
func TestMeasure(t *testing.T) {
	s := illuminants(t)["LED-B3"]
	f, err := quality.Measure(s)
	require.NoError(t, err)
	require.Empty(t, f.Missing)
	cri, err := quality.CRI(s)
	require.NoError(t, err)
	tm30, err := quality.TM30(s)
	require.NoError(t, err)
	ssi, err := quality.SSIDefault(s)
	require.NoError(t, err)
	tlci, err := quality.TLCI(s)
	require.NoError(t, err)
	require.InDelta(t, cri.Ra, f.CRI.Ra, 1e-9)
	require.InDelta(t, tm30.Rf, f.TM30.Rf, 1e-9)
	require.InDelta(t, ssi.Value, f.SSI.Value, 1e-9)
	require.Equal(t, ssi.Reference, f.SSI.Reference)
	require.InDelta(t, tlci.Q, f.TLCI.Q, 1e-9)
	// CIE 015:2018: x, y = 0.3756, 0.3723 at 5 nm; 1.7e-4 more at 1 nm
	require.InDelta(t, 0.3756, f.XY.X, 3e-4)
	require.InDelta(t, 0.3723, f.XY.Y, 3e-4)
	require.InDelta(t, 4103, float64(f.CCT.T), 1.5)
}

// A saturated light has a chromaticity and a wavelength, and no figure that
// compares it with a white; each one says so.
func TestMeasureOfASaturatedLight(t *testing.T) {
	f, err := quality.Measure(spectra.Ohno(465, 20))
	require.NoError(t, err)
	require.Nil(t, f.CCT)
	require.Nil(t, f.CRI)
	require.Nil(t, f.TM30)
	require.Nil(t, f.SSI)
	require.Nil(t, f.TLCI)
	require.InDelta(t, 467, f.Dominant.NM, 3)
	require.Greater(t, f.Dominant.Purity, 0.9)
	var names []string
	for _, m := range f.Missing {
		names = append(names, m.Figure)
		var e *colour.Error
		require.ErrorAs(t, m.Err, &e)
		require.NotEmpty(t, e.Why)
		require.NotEmpty(t, e.Mend)
	}
	require.EqualError(t, f.Missing[1].Err, "CRI: the light is not near enough to a white to have a reference: "+
		"it is bluer than a black body of 1000000 K; ask for this figure only of whites of 1000 K to 25000 K")
	require.Equal(t, []string{"CCT", "CRI", "TM-30", "SSI", "TLCI"}, names)
}

// The references of all figures end with the daylight locus, at 25000 K.
func TestBluerThanDaylight(t *testing.T) {
	s, err := spectra.Blackbody(40000)
	require.NoError(t, err)
	f, err := quality.Measure(s)
	require.NoError(t, err)
	require.NotNil(t, f.CCT)
	require.Len(t, f.Missing, 4)
	require.ErrorContains(t, f.Missing[0].Err, "bluer than any daylight")
}

func TestNoSpectrum(t *testing.T) {
	for name, spoil := range map[string]func(*spectra.Spectrum){
		"dark":      func(s *spectra.Spectrum) { *s = spectra.Spectrum{} },
		"negative":  func(s *spectra.Spectrum) { s[100] = -1e-9 },
		"no number": func(s *spectra.Spectrum) { s[100] = math.NaN() },
		"infinite":  func(s *spectra.Spectrum) { s[100] = math.Inf(1) },
	} {
		s := references(t)[0]
		spoil(&s)
		_, err := quality.Measure(s)
		requireMended(t, err, name)
		_, err = quality.CRI(s)
		requireMended(t, err, name)
		_, err = quality.TM30(s)
		requireMended(t, err, name)
		_, err = quality.SSIDefault(s)
		requireMended(t, err, name)
		_, err = quality.SSI(s, references(t)[0])
		requireMended(t, err, name)
		_, err = quality.SSI(references(t)[0], s)
		requireMended(t, err, name)
		_, err = quality.TLCI(s)
		requireMended(t, err, name)
	}
	_, err := quality.CRIAt(references(t)[0], 2)
	requireMended(t, err, "step")
}

func requireMended(t *testing.T, err error, name string) {
	t.Helper()
	var e *colour.Error
	require.ErrorAs(t, err, &e, name)
	require.NotEmpty(t, e.What, name)
	require.NotEmpty(t, e.Why, name)
	require.NotEmpty(t, e.Mend, name)
}

// A unit has no part in any figure, also one so small that a sum in it would
// come to nothing.
func TestUnitsDoNotMatter(t *testing.T) {
	s := illuminants(t)["LED-RGB1"]
	want, err := quality.Measure(s)
	require.NoError(t, err)
	for _, unit := range []float64{1e-290, 1e-9, 1e9, 1e290} {
		got, err := quality.Measure(s.Scale(unit))
		require.NoError(t, err)
		require.InDelta(t, want.CRI.Ra, got.CRI.Ra, 1e-9)
		require.InDelta(t, want.TM30.Rg, got.TM30.Rg, 1e-9)
		require.InDelta(t, want.SSI.Value, got.SSI.Value, 1e-9)
		require.InDelta(t, want.TLCI.Q, got.TLCI.Q, 1e-9)
	}
}

// Over the whole range of references every bin of TM-30 has samples, and no
// figure of any of them falls out of its range.
func TestEveryTemperature(t *testing.T) {
	for kelvin := colour.Kelvin(1000); kelvin <= 25000; kelvin *= 1.02 {
		s, err := spectra.Blackbody(kelvin)
		require.NoError(t, err)
		f, err := quality.Measure(s)
		require.NoError(t, err)
		requireRanges(t, f)
		require.NotNil(t, f.CRI)
	}
}

func TestNoAllocations(t *testing.T) {
	s := references(t)[0]
	r := references(t)[2]
	for name, figure := range map[string]func(){
		"CRI":  func() { _, _ = quality.CRI(s) },
		"TM30": func() { _, _ = quality.TM30(s) },
		"SSI":  func() { _, _ = quality.SSI(s, r) },
		"TLCI": func() { _, _ = quality.TLCI(s) },
	} {
		figure() // reads the tables
		require.Zero(t, testing.AllocsPerRun(10, figure), name)
	}
}
