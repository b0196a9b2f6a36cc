package emitters

import (
	"fmt"
	"math"

	"linkboy/colour"
)

// Channels is what a camera's red, green and blue channels make of a light, linear in
// light, balanced or not: the recipe takes any.
type Channels [3]float64

// Camera is the recipe that takes, of all mixes with the lumens asked for, the one that
// a camera sees nearest to a reference: the least squares of the three channels. The
// eye's chromaticity may move; Solution.Reached and DeltaUV tell how far. Of mixes that
// the camera sees alike it takes the one of least tie features, as Truest does with a
// zero reference. It is immutable and safe for concurrent use.
type Camera struct {
	cell      *Cell
	see       [Max]Channels
	near, tie *program
}

// alike is the share of the camera's response below which two mixes count as seen alike.
const alike = 1e-5

// nearRidge is the ridge of the first program, which finds what the camera is to see. As
// the second decides between mixes seen alike, it can be small: the view is off by at most
// 3e-6 of its size. (The view nearest to a reference is unique and never moves faster than
// the reference, with or without a ridge.)
const nearRidge = 1e-10

// rounds is how often the first program is solved, each time with its ridge about the
// mix before (the proximal point method, Rockafellar, SIAM J. Control Optim. 14 (1976)
// 877), so that the ridge draws the camera's match off less.
const rounds = 2

// NewCamera prepares the recipe for a cell whose emitters at full drive the camera sees as
// see, in the order of the emitters. tie decides between mixes that the camera cannot
// tell apart. It fails with ErrGram when numbers are not finite or not inner products.
func NewCamera(c *Cell, see []Channels, tie *Gram) (*Camera, error) {
	if len(see) != c.Len() {
		return nil, fmt.Errorf("%w: the camera sees %d emitters, the cell has %d", ErrGram, len(see), c.Len())
	}
	k := &Camera{cell: c}
	rows := make([]row, 4) // lumens and the channels
	lists := make([][]float64, len(see))
	for i, channels := range see {
		k.see[i] = channels
		rows[0][i] = c.full[i][1]
		lists[i] = channels[:]
		for ch, v := range channels {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, fmt.Errorf("%w: channel %d of emitter %d is %g", ErrGram, ch+1, i+1, v)
			}
			rows[1+ch][i] = v
		}
	}
	balance(rows)
	seen := GramOf(lists)
	light := c.lengths()
	var err error
	if k.near, err = newProgram(c.Len(), &light, &seen, nearRidge, rows[:1], alike); err != nil {
		return nil, err
	}
	if k.tie, err = newProgram(c.Len(), &light, tie, ridgeShare, rows, alike); err != nil {
		return nil, err
	}
	return k, nil
}

// balance brings the camera's rows, whose unit is its own, to the size of the first.
func balance(rows []row) {
	size := math.Sqrt(rows[0].dot(&rows[0]))
	most := 0.0
	for _, r := range rows[1:] {
		most = max(most, math.Sqrt(r.dot(&r)))
	}
	if most == 0 {
		return
	}
	for k := range rows[1:] {
		for i := range rows[1+k] {
			rows[1+k][i] *= size / most
		}
	}
}

// Cell returns the cell the recipe is for.
func (k *Camera) Cell() *Cell { return k.cell }

// See returns the camera's view of a mix.
func (k *Camera) See(d Drives) Channels {
	var sum Channels
	for i := range k.cell.full {
		for ch := range sum {
			sum[ch] += k.see[i][ch] * d[i]
		}
	}
	return sum
}

// Solve returns the mix for the chromaticity asked, as Cell.Solve does, seen by the
// camera as near as can be to reference, the channels of one lumen of the reference
// light. Its lumens are level times the most that the brightest mix has at the
// chromaticity that the eye would reach. Out of reach, that is the chromaticity which
// Cell.Aim tells, and the reference should be a light of that. It is continuous in all
// its arguments. No allocation.
func (k *Camera) Solve(asked colour.XY, level colour.Level, toward colour.XY, reference Channels) Solution {
	s := k.cell.Solve(asked, level, toward)
	if s.Lumens == 0 {
		return s
	}
	var pull row
	for i := range k.cell.full {
		for ch, v := range k.see[i] {
			pull[i] += s.Lumens * reference[ch] * v
		}
	}
	start := row(s.Drives)
	mix := k.nearest(&start, &pull)
	mix, _ = k.tie.solve(&mix, &row{})
	s.Drives = Drives(mix)
	light := k.cell.light(&s.Drives).xyz()
	s.Reached, s.Lumens = light.XY(), light.Y
	s.DeltaUV = s.Reached.UV().Distance(asked.UV())
	return s
}

// nearest returns a mix with the lumens of start that the camera sees nearest to what
// pulls.
func (k *Camera) nearest(start, pull *row) row {
	var mix row
	for range rounds {
		about := *pull
		for i := range about {
			about[i] += k.near.ridge[i] * mix[i]
		}
		mix, _ = k.near.solve(start, &about)
	}
	return mix
}
