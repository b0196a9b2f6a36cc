package quality_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/spectra"
)

// row is a row of a table in testdata, by column name.
type row map[string]string

// has reports whether the row has a value in a column.
func (r row) has(column string) bool { return r[column] != "" }

// num returns the number in a column.
func (r row) num(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, "column %s of %v", column, r)
	return v
}

// readTable reads a table of testdata, columns and rows; its head names its
// source.
func readTable(t testing.TB, name string) (columns []string, rows []row) {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	require.NoError(t, err)
	for _, line := range lines[1:] {
		r := row{}
		for i, column := range lines[0] {
			r[column] = line[i]
		}
		rows = append(rows, r)
	}
	require.NotEmpty(t, rows)
	return lines[0], rows
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
			nm = append(nm, r.num(t, "wavelength_nm"))
			power = append(power, r.num(t, name))
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
