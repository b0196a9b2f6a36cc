package spectra_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/reference"
	"linkboy/colour/spectra"
)

// row is a row of a table in testdata, by column name.
type row = reference.Row

// readTable reads a table of testdata, columns and rows.
func readTable(t testing.TB, name string) ([]string, []row) {
	t.Helper()
	return reference.Read(t, name)
}

// measured is a tabulated spectrum, ready for either rule of summing.
type measured struct{ nm, power []float64 }

// readSpectra reads a table of spectra by name.
func readSpectra(t testing.TB, file string) map[string]measured {
	t.Helper()
	columns, rows := readTable(t, file)
	out := map[string]measured{}
	for _, name := range columns[1:] {
		var m measured
		for _, r := range rows {
			m.nm = append(m.nm, r.Num(t, "wavelength_nm"))
			m.power = append(m.power, r.Num(t, name))
		}
		out[name] = m
	}
	return out
}

// interpolated is m straight between its points, as a sum at 1 nm takes it.
func (m measured) interpolated(t testing.TB) spectra.Spectrum {
	t.Helper()
	s, err := spectra.FromTable(m.nm, m.power)
	require.NoError(t, err)
	return s
}

// sampled is m at its own points only and dark between them, so that the sum
// at 1 nm is the plain sum over the table's 5 nm steps.
func (m measured) sampled() spectra.Spectrum {
	var s spectra.Spectrum
	for i, nm := range m.nm {
		if nm >= spectra.FirstNM && nm <= spectra.LastNM {
			s[int(nm)-spectra.FirstNM] = m.power[i]
		}
	}
	return s
}

// requireXY requires a chromaticity to within a tolerance in x and y.
func requireXY(t testing.TB, x, y float64, got colour.XY, within float64, name string) {
	t.Helper()
	require.InDelta(t, x, got.X, within, name)
	require.InDelta(t, y, got.Y, within, name)
}
