// Package emitters mixes the LED colours of one lamp cell: the forward model
// from drives to light, and the solver from a wanted chromaticity and level to
// drives. Forward and solver check each other in tests.
//
// All light of a cell is the set of sums of its emitters' tristimulus vectors,
// each times a drive in 0..1: a zonotope in XYZ space. Its facets do not depend
// on the colour asked for, so NewCell works them out once, and the brightest mix
// at a chromaticity is where the ray of that chromaticity leaves the zonotope.
//
// With more than three emitters a colour below its most light has many mixes. A recipe
// chooses: Cell.Solve the brightest mix, dimmed; Truest the one with features, such as the
// spectrum, nearest to a reference: a small convex quadratic program, solved exactly, and
// continuous in all it depends on. A camera's view of a cell is a cell too, so the same
// recipe serves it (colour/recipe).
//
// Reach is what a cell, or all cells of a group, can show; Group finds the one colour and
// light of unlike cells.
package emitters

import "linkboy/colour"

// Max is the most emitters a cell can have.
const Max = 8

// Emitter is one LED colour of a cell.
type Emitter struct {
	Name string
	// Full is the light of this emitter alone at full drive; Y in lumens.
	Full colour.XYZ
}

// Drives are light-linear emitter drives, 0..1, in the order of the cell's
// emitters; entries past its emitter count are 0.
type Drives [Max]float64

// Scale returns d with every drive times k.
func (d Drives) Scale(k float64) Drives {
	for i := range d {
		d[i] *= k
	}
	return d
}

// Solution is what a cell does for a colour it was asked for.
type Solution struct {
	Drives  Drives
	Asked   colour.XY
	Reached colour.XY
	// Clipped is set when Asked is out of reach and Reached lies on the
	// line from Asked toward the white, or is the nearest point in reach
	// when the white is out of reach too.
	Clipped bool
	// DeltaUV is the CIE 1976 u'v' distance from Asked to Reached.
	DeltaUV float64
	// Lumens is the light given; Most is the most it could give at Reached (level 1).
	Lumens, Most float64
}
