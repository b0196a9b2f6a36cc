package colour_test

import (
	"testing"

	"linkboy/colour/reference"
)

// row is a row of a table in testdata, by column name.
type row = reference.Row

// readTable reads the rows of a table of testdata.
func readTable(t testing.TB, name string) []row {
	t.Helper()
	_, rows := reference.Read(t, name)
	return rows
}
