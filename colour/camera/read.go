package camera

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"linkboy/colour/table"
)

// What a table may hold. A table that breaks one of these is not what it says
// it is.
const (
	leastNM    = 100.0
	mostNM     = 5000.0
	mostSignal = 1e9
	leastPeak  = 1e-9
	// A table that begins above blueNM or ends below redNM leaves out light
	// that the LEDs of lamps give, and would count the sensor blind to it.
	blueNM = 430.0
	redNM  = 660.0
)

// columns are the fields of a row: wavelength and the three channels.
const columns = 4

// columnNames are what a head may call each column, in lower case; the first
// is the name used in messages and when writing.
var columnNames = [columns][]string{
	{"nm", "wavelength", "wavelength_nm", "wavelength (nm)", "wavelength [nm]", "lambda"},
	{"r", "red"},
	{"g", "green"},
	{"b", "blue"},
}

// ReadCSV reads a table of a camera's sensitivities; name becomes the name of
// the sensor and stands in front of problems, so it is best the file's.
//
// Each line is a wavelength in nm and the relative sensitivities of the three
// channels, separated by commas:
//
//	# made with a monochromator, lens on      lines that begin with # are comments
//	nm,r,g,b                                  optional; the order is free
//	400,0.013,0.011,0.158
//	410,0.018,0.017,0.402
//
// Wavelengths rise in steps of any size, from 430 nm or less to 660 nm or
// more. Between them the curves run straight; outside they are zero, and what
// lies outside 360 to 830 nm is dropped. Sensitivities are 0 or more in any
// unit (shares, per cent, counts) that is the same for every wavelength. They
// are per unit of radiant power; figures per photon must be multiplied by the
// wavelength first.
//
// The error is table.Problems, unless reading itself failed.
func ReadCSV(r io.Reader, name string) (*Sensor, error) {
	t := sensitivities{file: name, order: [columns]int{0, 1, 2, 3}}
	text, err := table.ReadText(r)
	switch {
	case errors.Is(err, table.ErrTooLarge):
		t.problem(table.Field{}, "the file", err.Error(), "give a table of sensitivities: nm,r,g,b, a line for each wavelength")
		return nil, t.problems
	case err != nil:
		return nil, fmt.Errorf("read camera %q: %w", name, err)
	}
	t.read(text)
	var s *Sensor
	if len(t.problems) == 0 {
		s = t.sensor()
	}
	if len(t.problems) > 0 {
		return nil, t.problems
	}
	return s, nil
}

// sensitivities is a table being read.
type sensitivities struct {
	file     string
	order    [columns]int // of a row's fields: the column each belongs to
	values   [columns][]float64
	first    []table.Field // the first and last rows, to point at
	last     []table.Field
	problems table.Problems
}

func (t *sensitivities) problem(at table.Field, what, why, mend string) {
	t.problems.Add(t.file, at, what, why, mend)
}

// read takes in all lines, until there are too many problems.
func (t *sensitivities) read(text string) {
	started := false
	for number, line := range table.Lines(text) {
		if at := strings.IndexAny(line, ";\t"); at >= 0 {
			t.problem(table.Field{Line: number, Column: 1 + utf8.RuneCountInString(line[:at])}, "a row of sensitivities",
				"its fields are not separated by commas", "put commas between the columns and points in the numbers")
			return
		}
		row := table.Split(line, ",", number)
		if !started && !table.BeginsNumber(row[0].Text) {
			t.head(row)
		} else {
			t.row(row)
		}
		started = true
		if t.problems.Full() {
			return
		}
	}
	if !started {
		t.problem(table.Field{}, "the file", "it holds no sensitivities", "give a line for each wavelength: nm,r,g,b")
	}
}

// head takes in the names of the columns.
func (t *sensitivities) head(row []table.Field) {
	if !t.complete(row, "the head") {
		return
	}
	var given [columns]bool
	for i, f := range row {
		column := columnByName(f.Text)
		if column < 0 {
			t.problem(f, fmt.Sprintf("column %q", f.Text), "it is none of nm, r, g, b", "name the columns nm,r,g,b and leave others out")
			continue
		}
		if given[column] {
			t.problem(f, fmt.Sprintf("column %q", f.Text), "it is there twice", "name the columns nm,r,g,b, each once")
			continue
		}
		given[column] = true
		t.order[i] = column
	}
}

// columnByName returns the index of a column, or -1.
func columnByName(name string) int {
	for column, names := range columnNames {
		for _, n := range names {
			if strings.EqualFold(n, name) {
				return column
			}
		}
	}
	return -1
}

// complete reports whether r has as many fields as there are columns, and
// says so where not.
func (t *sensitivities) complete(row []table.Field, what string) bool {
	switch n := len(row); {
	case n > columns:
		t.problem(row[columns], what, fmt.Sprintf("it has %d fields", n), "give four: nm,r,g,b")
	case n < columns:
		t.problem(row[n-1], what, fmt.Sprintf("it ends after %d of its fields", n), "give four: nm,r,g,b")
	}
	return len(row) == columns
}

// row takes in one wavelength. A row with a problem adds no values.
func (t *sensitivities) row(row []table.Field) {
	if !t.complete(row, "a row of sensitivities") {
		return
	}
	before := len(t.problems)
	var values [columns]float64
	for i, f := range row {
		values[t.order[i]] = t.number(f, t.order[i])
	}
	if len(t.problems) > before {
		return
	}
	if n := len(t.values[0]); n > 0 && values[0] <= t.values[0][n-1] {
		t.problem(t.fieldOf(row, 0), fmt.Sprintf("wavelength %v nm", values[0]),
			fmt.Sprintf("it follows %v nm of line %d", t.values[0][n-1], t.last[0].Line), "list each wavelength once, in rising order")
		return
	}
	if len(t.values[0]) == 0 {
		t.first = row
	}
	t.last = row
	for column, v := range values {
		t.values[column] = append(t.values[column], v)
	}
}

// fieldOf returns the field of a full row that belongs to a column.
func (t *sensitivities) fieldOf(row []table.Field, column int) table.Field {
	for i, c := range t.order {
		if c == column {
			return row[i]
		}
	}
	return row[0]
}

// number reads a field of a column and says what is wrong with it.
func (t *sensitivities) number(f table.Field, column int) float64 {
	v, ok := table.Number(f.Text)
	what := fmt.Sprintf("%q in column %s", f.Text, columnNames[column][0])
	switch {
	case !ok:
		t.problem(f, what, "it is no number", "write a plain number like 0.25")
	case column == 0 && !(v >= leastNM && v <= mostNM):
		mend := "write wavelengths in nm, like 380 to 780"
		if v > 0.1 && v < 5 {
			mend += fmt.Sprintf("; %v micrometres are %v nm", v, v*1000)
		}
		t.problem(f, what, "it is no wavelength in nm of light", mend)
	case column > 0 && v < 0:
		t.problem(f, what, "a sensitivity cannot be below 0", "write 0 for what noise put there")
	case column > 0 && v > mostSignal:
		t.problem(f, what, "it is larger than any sensitivity", "write sensitivities relative to a peak of 1, or in per cent")
	}
	return v
}
