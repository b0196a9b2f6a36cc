package calibrate

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"linkboy/colour/spectra"
	"linkboy/colour/table"
)

// What a table may hold.
const (
	shortestNM = 100.0
	longestNM  = 5000.0
	mostValue  = 1e9
	// A table that begins above blueNM or ends below redNM leaves out light
	// that LEDs give.
	blueNM = 430.0
	redNM  = 660.0
	// mostStepNM is the widest step in which a narrow LED, 18 nm wide at half
	// height, is still seen.
	mostStepNM = 10.0
	// noiseShare of the peak is how far noise may push powers below 0.
	noiseShare = 0.05
)

// ReadCSV reads a measured spectrum from a table of two columns, wavelength in
// nm and power in any unit; name stands in front of problems, so it is best
// the file's.
//
//	# read at 1 m, warm                       lines that begin with # are comments
//	Wavelength,Power                          and so are lines before the table
//	380,0.0011                                that do not begin with a number
//	385,0.0013
//
// Commas, semicolons, tabs or blanks part the columns; where it is not the
// comma, a number may have a decimal comma. Wavelengths rise in steps of up to
// 10 nm, from 430 nm or less to 660 nm or more. Between them the spectrum runs
// straight; outside it is 0. Powers that noise puts below 0, by up to a
// twentieth of the peak, count as 0.
//
// The error is table.Problems, unless reading itself failed.
func ReadCSV(r io.Reader, name string) (spectra.Spectrum, error) {
	t := csvTable{file: name}
	text, err := table.ReadText(r)
	switch {
	case errors.Is(err, table.ErrTooLarge):
		t.problem(table.Field{}, "the file", err.Error(), "give a table of one spectrum: a wavelength and a power on each line")
		return spectra.Spectrum{}, t.problems
	case err != nil:
		return spectra.Spectrum{}, fmt.Errorf("read spectrum %q: %w", name, err)
	}
	t.read(text)
	if len(t.problems) == 0 {
		t.check()
	}
	if len(t.problems) > 0 {
		return spectra.Spectrum{}, t.problems
	}
	s, err := spectra.FromTable(t.nm, t.power)
	if err != nil {
		return s, fmt.Errorf("spectrum %q: %w", name, err)
	}
	return s, nil
}

// AppendCSV appends s to b as a table that ReadCSV reads: a head and a line for
// each nanometre.
func AppendCSV(b []byte, s spectra.Spectrum) []byte {
	b = append(b, "nm,power\n"...)
	for i, p := range s {
		b = strconv.AppendInt(b, int64(spectra.FirstNM+i), 10)
		b = append(b, ',')
		b = strconv.AppendFloat(b, p, 'g', -1, 64)
		b = append(b, '\n')
	}
	return b
}

// csvTable is a table being read.
type csvTable struct {
	file      string
	separator string // "" until the first row; " " for blanks
	nm, power []float64
	at        []table.Field // where each wavelength stands
	problems  table.Problems
}

func (t *csvTable) problem(at table.Field, what, why, mend string) {
	t.problems.Add(t.file, at, what, why, mend)
}

func (t *csvTable) read(text string) {
	for number, line := range table.Lines(text) {
		if t.separator == "" {
			trimmed := strings.TrimSpace(line)
			if !table.BeginsNumber(strings.TrimLeft(trimmed, `"`)) {
				continue // what a meter writes above its table
			}
			t.separator = separatorOf(trimmed)
		}
		t.row(table.Split(line, t.separator, number))
		if t.problems.Full() {
			return
		}
	}
	if t.separator == "" {
		t.problem(table.Field{}, "the file", "it holds no spectrum", "give a line for each wavelength: nm,power")
	}
}

// separatorOf returns what parts the columns of a row.
func separatorOf(row string) string {
	for _, s := range []string{";", "\t", ","} {
		if strings.Contains(row, s) {
			return s
		}
	}
	return " "
}

// row takes in one wavelength. A row with a problem adds nothing.
func (t *csvTable) row(fields []table.Field) {
	if n := len(fields); n > 2 && fields[n-1].Text == "" {
		fields = fields[:n-1] // a separator at the end of each line
	}
	if len(fields) != 2 {
		at, has, mend := fields[len(fields)-1], "one column", "give a wavelength and a power on each line"
		if len(fields) > 2 {
			at, has, mend = fields[2], fmt.Sprintf("%d columns", len(fields)), "keep the wavelengths and one column of powers; with a decimal comma, part columns by semicolons"
		}
		t.problem(at, "a row of the spectrum", fmt.Sprintf("it has %s where two are known: nm and power", has), mend)
		return
	}
	nm, okNM := t.number(fields[0], "nm")
	power, okPower := t.number(fields[1], "power")
	switch {
	case !okNM || !okPower:
	case !(nm >= shortestNM && nm <= longestNM):
		mend := "write wavelengths in nm, like 380 to 780"
		if nm > 0.1 && nm < 5 {
			mend += fmt.Sprintf("; %v micrometres are %.4g nm", nm, nm*1000)
		}
		t.problem(fields[0], fmt.Sprintf("%q in column nm", fields[0].Text), "it is no wavelength in nm of light", mend)
	case math.Abs(power) > mostValue:
		t.problem(fields[1], fmt.Sprintf("%q in column power", fields[1].Text), "it is larger than any power", "write powers relative to a peak of 1")
	case len(t.nm) > 0 && nm <= t.nm[len(t.nm)-1]:
		t.problem(fields[0], fmt.Sprintf("wavelength %v nm", nm), fmt.Sprintf("it follows %v nm of line %d", t.nm[len(t.nm)-1], t.at[len(t.at)-1].Line),
			"list each wavelength once, in rising order")
	default:
		t.nm, t.power, t.at = append(t.nm, nm), append(t.power, power), append(t.at, fields[0])
	}
}

// number reads a field.
func (t *csvTable) number(f table.Field, column string) (float64, bool) {
	text := f.Text
	if t.separator != "," {
		text = strings.Replace(text, ",", ".", 1)
	}
	v, ok := table.Number(text)
	if !ok {
		t.problem(f, fmt.Sprintf("%q in column %s", f.Text, column), "it is no number", "write a plain number like 0.25")
	}
	return v, ok
}

// check looks at the table as a whole and takes the noise below 0 out of it.
func (t *csvTable) check() {
	last := len(t.nm) - 1
	if t.nm[0] > blueNM {
		t.problem(t.at[0], fmt.Sprintf("the first wavelength, %v nm", t.nm[0]), "blue light below it would be lost", fmt.Sprintf("begin at %v nm or less, best at 380", blueNM))
	}
	if t.nm[last] < redNM {
		t.problem(t.at[last], fmt.Sprintf("the last wavelength, %v nm", t.nm[last]), "red light above it would be lost", fmt.Sprintf("go on to %v nm or more, best to 780", redNM))
	}
	peak := 0.0
	for i, p := range t.power {
		if t.nm[i] >= spectra.FirstNM && t.nm[i] <= spectra.LastNM {
			peak = max(peak, p)
		}
		if i > 0 && t.nm[i]-t.nm[i-1] > mostStepNM && t.nm[i] > blueNM && t.nm[i-1] < redNM {
			t.problem(t.at[i], fmt.Sprintf("a step from %v to %v nm", t.nm[i-1], t.nm[i]), "an LED can be narrower than that", fmt.Sprintf("give powers at least every %v nm", mostStepNM))
		}
	}
	if !(peak > 0) {
		t.problem(t.at[0], "the spectrum", "it has no power above 0 where light is seen", "read it again with the emitter on")
		return
	}
	for i, p := range t.power {
		if p < -noiseShare*peak {
			t.problem(t.at[i], fmt.Sprintf("the power %v at %v nm", p, t.nm[i]), "power is 0 or more, and this is more than noise", "read it again, with the meter's dark reading taken anew")
		}
		t.power[i] = max(p, 0)
	}
}
