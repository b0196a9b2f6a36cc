package quality_test

import (
	"testing"

	"github.com/stretchr/testify/require"

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

// rows reads the rows of a table of testdata.
func rows(t testing.TB, name string) []row {
	t.Helper()
	_, r := readTable(t, name)
	return r
}

// readSpectra reads a table of spectra by name, straight between its points.
func readSpectra(t testing.TB, file string) map[string]spectra.Spectrum {
	t.Helper()
	columns, rows := readTable(t, file)
	out := map[string]spectra.Spectrum{}
	for _, name := range columns[1:] {
		var nm, power []float64
		for _, r := range rows {
			nm = append(nm, r.Num(t, "wavelength_nm"))
			power = append(power, r.Num(t, name))
		}
		s, err := spectra.FromTable(nm, power)
		require.NoError(t, err, name)
		out[name] = s
	}
	return out
}

// illuminants are all the tabulated illuminants of the CIE, by name.
func illuminants(t testing.TB) map[string]spectra.Spectrum {
	t.Helper()
	all := map[string]spectra.Spectrum{}
	for _, set := range []string{"a_c_d", "fl", "fl3", "led"} {
		for name, s := range readSpectra(t, "illuminants_"+set+"_5nm.csv") {
			all[name] = s
		}
	}
	require.Len(t, all, 42)
	return all
}

// half is the rounding of a value printed to some decimals, and a little.
func half(decimals int) float64 {
	h := 0.50001
	for range decimals {
		h /= 10
	}
	return h
}
