package spectra

import (
	"encoding/csv"
	"strconv"
	"strings"
)

// The grid of a table at every fifth nanometre.
const (
	coarseStep    = 5
	coarseSamples = (LastNM-FirstNM)/coarseStep + 1
)

// readObserver5nm reads an embedded table of colour-matching functions at
// every fifth nanometre. A table that does not fit the grid is a fault of the
// build, so it panics.
func readObserver5nm(text string) *[coarseSamples][3]float64 {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic("spectra: observer table: " + err.Error())
	}
	rows = rows[1:] // column names
	if len(rows) != coarseSamples {
		panic("spectra: observer table: " + strconv.Itoa(len(rows)) + " rows")
	}
	table := new([coarseSamples][3]float64)
	for i, row := range rows {
		if row[0] != strconv.Itoa(FirstNM+coarseStep*i) {
			panic("spectra: observer table: row of " + row[0] + " nm out of place")
		}
		for k := range table[i] {
			if table[i][k], err = strconv.ParseFloat(row[k+1], 64); err != nil {
				panic("spectra: observer table: " + err.Error())
			}
		}
	}
	return table
}

// refine puts colour-matching functions at every fifth nanometre on the 1 nm
// grid, with Sprague's quintic between the rows. The first and last two
// intervals lack the neighbours it needs and are straight: nothing there
// reaches 4e-6 but for the violet end, where it stays under 4e-7 of a straight
// line's error. What overshoots below zero, where a function ends, is zero.
func refine(coarse *[coarseSamples][3]float64) *[Samples][3]float64 {
	fine := new([Samples][3]float64)
	for i := range fine {
		row, x := i/coarseStep, float64(i%coarseStep)/coarseStep
		for k := range fine[i] {
			switch {
			case x == 0:
				fine[i][k] = coarse[row][k]
			case row < 2 || row+3 >= coarseSamples:
				fine[i][k] = (1-x)*coarse[row][k] + x*coarse[row+1][k]
			default:
				var f [6]float64
				for j := range f {
					f[j] = coarse[row-2+j][k]
				}
				fine[i][k] = max(0, sprague(&f, x))
			}
		}
	}
	return fine
}

// sprague interpolates between f[2], at x = 0, and f[3], at x = 1: the quintic
// through the six points' middle two whose first and second derivatives there
// are those of the quartics through five points [CIE 15, 7.2; Sprague1880].
func sprague(f *[6]float64, x float64) float64 {
	a1 := (2*f[0] - 16*f[1] + 16*f[3] - 2*f[4]) / 24
	a2 := (-f[0] + 16*f[1] - 30*f[2] + 16*f[3] - f[4]) / 24
	a3 := (-9*f[0] + 39*f[1] - 70*f[2] + 66*f[3] - 33*f[4] + 7*f[5]) / 24
	a4 := (13*f[0] - 64*f[1] + 126*f[2] - 124*f[3] + 61*f[4] - 12*f[5]) / 24
	a5 := (-5*f[0] + 25*f[1] - 50*f[2] + 50*f[3] - 25*f[4] + 5*f[5]) / 24
	return f[2] + x*(a1+x*(a2+x*(a3+x*(a4+x*a5))))
}
