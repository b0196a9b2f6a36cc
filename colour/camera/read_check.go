package camera

import (
	"fmt"
	"strconv"

	"linkboy/colour/spectra"
)

// check looks at the table as a whole, once its rows have been read.
func (t *table) check() {
	nm := t.values[0]
	if len(nm) < 2 {
		t.problem(max(1, t.first.line), 1, "the table", "it has no two wavelengths", "give a line for each wavelength: nm,r,g,b")
		return
	}
	if nm[0] > blueNM {
		t.problem(t.first.line, t.fieldOf(t.first, 0).column, fmt.Sprintf("the first wavelength, %v nm", nm[0]),
			"the camera would be blind to the blue of lamps below it", fmt.Sprintf("begin at %v nm or less, best at 380", blueNM))
	}
	if end := nm[len(nm)-1]; end < redNM {
		t.problem(t.last.line, t.fieldOf(t.last, 0).column, fmt.Sprintf("the last wavelength, %v nm", end),
			"the camera would be blind to the red of lamps above it", fmt.Sprintf("go on to %v nm or more, best to 780", redNM))
	}
	for column := 1; column < columns; column++ {
		if t.peak(column) < leastPeak {
			t.problem(t.first.line, t.fieldOf(t.first, column).column, "column "+columnNames[column][0],
				"it has no sensitivity in it", "give each channel's sensitivities, relative to a peak of 1")
		}
	}
}

// peak returns the greatest value of a channel where light is visible.
func (t *table) peak(column int) float64 {
	var peak float64
	for i, v := range t.values[column] {
		if nm := t.values[0][i]; nm >= blueNM-50 && nm <= redNM+50 {
			peak = max(peak, v)
		}
	}
	return peak
}

// sensor makes the sensor of a table that has no problem.
func (t *table) sensor() (*Sensor, error) {
	s := &Sensor{Name: t.file, Source: t.file}
	for i, curve := range []*spectra.Spectrum{&s.R, &s.G, &s.B} {
		var err error
		if *curve, err = spectra.FromTable(t.values[0], t.values[i+1]); err != nil {
			return nil, fmt.Errorf("camera %q: column %s: %w", t.file, columnNames[i+1][0], err)
		}
	}
	return s, nil
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
