package difference_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// row is a row of a table in testdata, by column name.
type row map[string]string

// num returns the number in a column.
func (r row) num(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, "column %s of %v", column, r)
	return v
}

// xyz returns the colour in columns X, Y, Z with a suffix.
func (r row) xyz(t testing.TB, suffix string) colour.XYZ {
	t.Helper()
	return colour.XYZ{X: r.num(t, "X"+suffix), Y: r.num(t, "Y"+suffix), Z: r.num(t, "Z"+suffix)}
}

// white returns the white of a row that names it with its xy, Y = 1.
func (r row) white(t testing.TB) colour.XYZ {
	t.Helper()
	words := strings.Fields(r["white"])
	require.Len(t, words, 3)
	return colour.XY{X: row{"x": words[1]}.num(t, "x"), Y: row{"y": words[2]}.num(t, "y")}.XYZ(1)
}

// readTable reads a table of testdata; its head names its source.
func readTable(t testing.TB, name string) []row {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	require.NoError(t, err)
	var rows []row
	for _, line := range lines[1:] {
		r := row{}
		for i, column := range lines[0] {
			r[column] = line[i]
		}
		rows = append(rows, r)
	}
	require.NotEmpty(t, rows)
	return rows
}
