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
			m.nm = append(m.nm, r.num(t, "wavelength_nm"))
			m.power = append(m.power, r.num(t, name))
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
