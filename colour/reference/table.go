// Package reference reads the tables of outside numbers that tests check
// against: CSV files in a testdata folder whose '#' lines name their source. It
// serves tests only.
package reference

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"
)

// Row is a row of a table, by column name.
type Row map[string]string

// Has reports whether the row has a value in a column.
func (r Row) Has(column string) bool { return r[column] != "" }

// Num returns the number in a column; the test fails where there is none.
func (r Row) Num(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s of %v: %v", column, r, err)
	}
	return v
}

// Read reads a table of the package's testdata folder: the names of its
// columns in order, and its rows, of which there is at least one.
func Read(t testing.TB, name string) (columns []string, rows []Row) {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if len(lines) < 2 {
		t.Fatalf("%s: no rows", name)
	}
	for _, line := range lines[1:] {
		row := Row{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		rows = append(rows, row)
	}
	return lines[0], rows
}
