package camera

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// What a table may hold. A table that breaks one of these is not what it says
// it is, and past mostProblems a list of faults helps nobody.
const (
	mostBytes    = 1 << 20 // 1 nm steps take 20 kB
	mostProblems = 20
	leastNM      = 100.0
	mostNM       = 5000.0
	mostSignal   = 1e9
	leastPeak    = 1e-9
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
// The error is Problems, up to 20 of them, unless reading itself failed.
func ReadCSV(r io.Reader, name string) (*Sensor, error) {
	text, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read camera %q: %w", name, err)
	}
	t := table{file: name, order: [columns]int{0, 1, 2, 3}}
	if len(text) > mostBytes {
		t.problem(1, 1, "the file", "it is larger than 1 MiB", "give a table of sensitivities: nm,r,g,b, a line for each wavelength")
		return nil, t.problems
	}
	t.read(string(text))
	var s *Sensor
	if len(t.problems) == 0 {
		s = t.sensor()
	}
	if len(t.problems) > 0 {
		return nil, t.problems
	}
	return s, nil
}

// table is a table being read.
type table struct {
	file     string
	order    [columns]int // of a row's fields: the column each belongs to
	values   [columns][]float64
	first    row // the first and last rows, to point at
	last     row
	problems Problems
}

// row is a line split into fields.
type row struct {
	line   int
	fields []field
}

// field is the text of a field without blanks and quotes, and its column.
type field struct {
	text   string
	column int
}

func (t *table) problem(line, column int, what, why, mend string) {
	t.problems = append(t.problems, &Problem{t.file, line, column, what, why, mend})
}

// read takes in all lines, until there are too many problems.
func (t *table) read(text string) {
	text = strings.TrimPrefix(text, "\ufeff") // the mark that spreadsheets write
	line, started := 0, false
	for content := range strings.Lines(text) {
		line++
		content = strings.TrimRight(content, "\r\n")
		if trimmed := strings.TrimSpace(content); trimmed == "" || trimmed[0] == '#' {
			continue
		}
		if at := strings.IndexAny(content, ";\t"); at >= 0 {
			t.problem(line, 1+utf8.RuneCountInString(content[:at]), "a row of sensitivities",
				"its fields are not separated by commas", "put commas between the columns and points in the numbers")
			return
		}
		r := row{line, split(content)}
		if !started && !beginsNumber(r.fields[0].text) {
			t.head(r)
		} else {
			t.row(r)
		}
		started = true
		if len(t.problems) >= mostProblems {
			return
		}
	}
	if !started {
		t.problem(1, 1, "the file", "it holds no sensitivities", "give a line for each wavelength: nm,r,g,b")
	}
}

// split takes a line apart at its commas.
func split(line string) []field {
	var fields []field
	column := 1
	for part := range strings.SplitSeq(line, ",") {
		blanks := len(part) - len(strings.TrimLeft(part, " "))
		text := strings.TrimSpace(part)
		if len(text) >= 2 && text[0] == '"' && text[len(text)-1] == '"' {
			text = strings.TrimSpace(text[1 : len(text)-1])
		}
		fields = append(fields, field{text, column + blanks})
		column += utf8.RuneCountInString(part) + 1
	}
	return fields
}

func beginsNumber(text string) bool {
	return text != "" && strings.ContainsRune("0123456789+-.", rune(text[0]))
}

// head takes in the names of the columns.
func (t *table) head(r row) {
	if !t.complete(r, "the head") {
		return
	}
	var given [columns]bool
	for i, f := range r.fields {
		column := columnByName(f.text)
		if column < 0 {
			t.problem(r.line, f.column, fmt.Sprintf("column %q", f.text), "it is none of nm, r, g, b", "name the columns nm,r,g,b and leave others out")
			continue
		}
		if given[column] {
			t.problem(r.line, f.column, fmt.Sprintf("column %q", f.text), "it is there twice", "name the columns nm,r,g,b, each once")
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
func (t *table) complete(r row, what string) bool {
	switch n := len(r.fields); {
	case n > columns:
		t.problem(r.line, r.fields[columns].column, what, fmt.Sprintf("it has %d fields", n), "give four: nm,r,g,b")
	case n < columns:
		t.problem(r.line, r.fields[n-1].column, what, fmt.Sprintf("it ends after %d of its fields", n), "give four: nm,r,g,b")
	}
	return len(r.fields) == columns
}

// row takes in one wavelength. A row with a problem adds no values.
func (t *table) row(r row) {
	if !t.complete(r, "a row of sensitivities") {
		return
	}
	before := len(t.problems)
	var values [columns]float64
	for i, f := range r.fields {
		values[t.order[i]] = t.number(r.line, f, t.order[i])
	}
	if len(t.problems) > before {
		return
	}
	if n := len(t.values[0]); n > 0 && values[0] <= t.values[0][n-1] {
		t.problem(r.line, t.fieldOf(r, 0).column, fmt.Sprintf("wavelength %v nm", values[0]),
			fmt.Sprintf("it follows %v nm of line %d", t.values[0][n-1], t.last.line), "list each wavelength once, in rising order")
		return
	}
	if len(t.values[0]) == 0 {
		t.first = r
	}
	t.last = r
	for column, v := range values {
		t.values[column] = append(t.values[column], v)
	}
}

// fieldOf returns the field of a full row that belongs to a column.
func (t *table) fieldOf(r row, column int) field {
	for i, c := range t.order {
		if c == column {
			return r.fields[i]
		}
	}
	return r.fields[0]
}

// number reads a field of a column and says what is wrong with it.
func (t *table) number(line int, f field, column int) float64 {
	v, err := strconv.ParseFloat(f.text, 64)
	what := fmt.Sprintf("%q in column %s", f.text, columnNames[column][0])
	switch {
	case err != nil || strings.Trim(f.text, "0123456789+-.eE") != "":
		t.problem(line, f.column, what, "it is no number", "write a plain number like 0.25")
	case column == 0 && !(v >= leastNM && v <= mostNM):
		mend := "write wavelengths in nm, like 380 to 780"
		if v > 0.1 && v < 5 {
			mend += fmt.Sprintf("; %v micrometres are %v nm", v, v*1000)
		}
		t.problem(line, f.column, what, "it is no wavelength in nm of light", mend)
	case column > 0 && v < 0:
		t.problem(line, f.column, what, "a sensitivity cannot be below 0", "write 0 for what noise put there")
	case column > 0 && v > mostSignal:
		t.problem(line, f.column, what, "it is larger than any sensitivity", "write sensitivities relative to a peak of 1, or in per cent")
	}
	return v
}
