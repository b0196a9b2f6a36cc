package camera

import (
	"fmt"
	"slices"
	"strconv"

	"linkboy/colour/spectra"
	"linkboy/colour/table"
)

// Where a channel must see something: the light that whites are made of.
const (
	seenFromNM = 380
	seenToNM   = 710
)

// sensor makes the sensor of the rows, or adds a problem for what is wrong
// with them as a whole.
func (t *sensitivities) sensor() *Sensor {
	if !t.covers() {
		return nil
	}
	s := &Sensor{Name: t.file, Source: t.file}
	for i, curve := range []*spectra.Spectrum{&s.R, &s.G, &s.B} {
		column := i + 1
		c, err := spectra.FromTable(t.values[0], t.values[column])
		// A spike between two samples of the grid is not seen there: it is
		// the curve on the grid that must hold something.
		if err != nil || peak(c) < leastPeak {
			t.problem(t.fieldOf(t.first, column), "column "+columnNames[column][0],
				"it has no sensitivity in it", "give each channel's sensitivities, relative to a peak of 1")
			continue
		}
		*curve = c
	}
	return s
}

// covers reports whether the wavelengths reach over the light of lamps.
func (t *sensitivities) covers() bool {
	nm := t.values[0]
	if len(nm) < 2 {
		at := table.Field{}
		if len(nm) == 1 {
			at.Line = t.first[0].Line
		}
		t.problem(at, "the table", "it has fewer than two wavelengths", "give a line for each wavelength: nm,r,g,b")
		return false
	}
	first, last := nm[0], nm[len(nm)-1]
	if first > blueNM {
		t.problem(t.fieldOf(t.first, 0), fmt.Sprintf("the first wavelength, %v nm", first),
			"the camera would be blind to the blue of lamps below it", fmt.Sprintf("begin at %v nm or less, best at 380", blueNM))
	}
	if last < redNM {
		t.problem(t.fieldOf(t.last, 0), fmt.Sprintf("the last wavelength, %v nm", last),
			"the camera would be blind to the red of lamps above it", fmt.Sprintf("go on to %v nm or more, best to 780", redNM))
	}
	return first <= blueNM && last >= redNM
}

// peak returns the greatest value of a curve where light is seen.
func peak(s spectra.Spectrum) float64 {
	return slices.Max(s[seenFromNM-spectra.FirstNM : seenToNM-spectra.FirstNM+1])
}

// AppendCSV appends s to b as a table that ReadCSV reads: a head and a line
// for each nanometre.
func (s *Sensor) AppendCSV(b []byte) []byte {
	b = append(b, "nm,r,g,b\n"...)
	for i := range s.R {
		b = strconv.AppendInt(b, int64(spectra.FirstNM+i), 10)
		for _, v := range [3]float64{s.R[i], s.G[i], s.B[i]} {
			b = append(b, ',')
			b = strconv.AppendFloat(b, v, 'g', -1, 64)
		}
		b = append(b, '\n')
	}
	return b
}
