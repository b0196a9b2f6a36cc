// Package emitters mixes the LED colours of one lamp cell: the forward model
// from drives to light, and the solver from a wanted chromaticity and level to
// drives. Forward and solver check each other in tests.
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

// Cell is a set of emitters prepared for solving; immutable and safe for
// concurrent use.
//
//	func NewCell(e []Emitter) (*Cell, error)      1..Max emitters, each with light
//	func (c *Cell) Emitters() []Emitter
//	func (c *Cell) Light(d Drives) colour.XYZ     the forward model
//	func (c *Cell) Brightest(p colour.XY) (Drives, float64, bool)   the LP optimum: most lumens at exactly p; false when p is out of reach
//	func (c *Cell) Solve(asked colour.XY, level colour.Level, toward colour.XY) Solution
type Cell struct {
	emitters []Emitter
}

// Solution is what a cell does for a colour it was asked for.
type Solution struct {
	Drives  Drives
	Asked   colour.XY
	Reached colour.XY
	// Clipped is set when Asked is out of reach and Reached lies on the
	// line from Asked toward the white.
	Clipped bool
	// DeltaUV is the CIE 1976 u'v' distance from Asked to Reached.
	DeltaUV float64
	// Lumens is the light given; Most is the most it could give at Reached (level 1).
	Lumens, Most float64
}
