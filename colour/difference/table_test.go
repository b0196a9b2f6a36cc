package difference_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/reference"
)

// row is a row of a table in testdata, by column name.
type row struct{ reference.Row }

// xyz returns the colour in columns X, Y, Z with a suffix.
func (r row) xyz(t testing.TB, suffix string) colour.XYZ {
	t.Helper()
	return colour.XYZ{X: r.Num(t, "X"+suffix), Y: r.Num(t, "Y"+suffix), Z: r.Num(t, "Z"+suffix)}
}

// white returns the white of a row that names it with its xy, Y = 1.
func (r row) white(t testing.TB) colour.XYZ {
	t.Helper()
	words := strings.Fields(r.Row["white"])
	require.Len(t, words, 3)
	point := reference.Row{"x": words[1], "y": words[2]}
	return colour.XY{X: point.Num(t, "x"), Y: point.Num(t, "y")}.XYZ(1)
}

// readTable reads the rows of a table of testdata.
func readTable(t testing.TB, name string) []row {
	t.Helper()
	_, read := reference.Read(t, name)
	rows := make([]row, len(read))
	for i, r := range read {
		rows[i] = row{r}
	}
	return rows
}
