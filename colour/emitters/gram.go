package emitters

import (
	"errors"
	"fmt"
	"math"
)

// ErrGram is wrapped by the errors of NewTruest about the numbers
// that describe what the emitters give.
var ErrGram = errors.New("the emitters' features do not fit together")

// Gram holds the inner products of the emitters' features: for features F with one
// column for each emitter at full drive (a spectrum, its second differences, the
// channels of a camera), Gram = FᵀF. It is all that ‖F·d − r‖² needs to know of F, and
// exactly so: 64 numbers stand for spectra of any length. Rows and columns are in the
// order of the cell's emitters; entries past its emitter count are not looked at.
type Gram [Max][Max]float64

// Pull holds the inner products of the emitters' features with those of a reference
// that gives one lumen: Fᵀr. Zero stands for a reference of zero, which turns nearest
// to the reference into least.
type Pull [Max]float64

// GramOf returns the Gram matrix of features: one list for each emitter at full drive,
// all of one length, at most Max lists.
func GramOf(features [][]float64) Gram {
	var g Gram
	for i, a := range features {
		for j, b := range features[:i+1] {
			g[i][j] = inner(a, b)
			g[j][i] = g[i][j]
		}
	}
	return g
}

// PullOf returns the pull of a reference's features (scaled to what the reference has
// at one lumen) on an emitter set's features.
func PullOf(features [][]float64, reference []float64) Pull {
	var p Pull
	for i, a := range features {
		p[i] = inner(a, reference)
	}
	return p
}

func inner(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// lopsided is how far, in shares of the two diagonal entries, g may be from symmetric.
const lopsided = 1e-9

// check tells what in the first n rows and columns cannot be inner products.
func (g *Gram) check(n int) error {
	for i := range n {
		if !(g[i][i] >= 0) || math.IsInf(g[i][i], 0) {
			return fmt.Errorf("%w: the square of emitter %d is %g, not a number of 0 or more", ErrGram, i+1, g[i][i])
		}
		for j := range i {
			size := math.Sqrt(g[i][i]) * math.Sqrt(g[j][j])
			if !(math.Abs(g[i][j]-g[j][i]) <= lopsided*size) {
				return fmt.Errorf("%w: emitter %d with %d gives %g, but the other way round %g", ErrGram, i+1, j+1, g[i][j], g[j][i])
			}
		}
	}
	return nil
}
