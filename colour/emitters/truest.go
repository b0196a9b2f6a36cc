package emitters

import "linkboy/colour"

// Truest is the recipe that, of all mixes with exactly the light asked for, takes the
// one whose features are nearest to a reference: with spectra as features and a white's
// spectrum as reference the mix that renders most like it, with second differences of
// the spectra and a zero reference the smoothest. It is immutable and safe for
// concurrent use.
type Truest struct {
	cell    *Cell
	program *program
}

// NewTruest prepares the recipe for a cell whose emitters have features with the given
// inner products. It fails with ErrGram when they cannot be inner products.
func NewTruest(c *Cell, features *Gram) (*Truest, error) {
	light := c.lengths()
	p, err := newProgram(c.Len(), &light, features, c.measures(), alikeColour)
	if err != nil {
		return nil, err
	}
	return &Truest{c, p}, nil
}

// Cell returns the cell the recipe is for.
func (t *Truest) Cell() *Cell { return t.cell }

// Solve is Cell.Solve with another mix of the same light: the one that minimises
//
//	dᵀ·Gram·d − 2·lumens·referenceᵀ·d
//
// which is ‖F·d − lumens·r‖² less what no drive changes, plus a ridge of a millionth
// that makes it unique. level is, as for every recipe, the share of the most light that
// the brightest mix has at the chromaticity reached. So at level 1 there is no choice
// and the mix is the brightest; below, it moves away from it continuously. It is
// continuous in the chromaticity, the level and the reference; close to level 1, emitters
// that lie nearly on a line, as deep red, red and amber do, may change places fast, in
// light that stays the same. No allocation.
func (t *Truest) Solve(asked colour.XY, level colour.Level, toward colour.XY, reference *Pull) Solution {
	s := t.cell.Solve(asked, level, toward)
	if s.Lumens == 0 {
		return s
	}
	var pull row
	for i := range t.cell.full {
		pull[i] = s.Lumens * reference[i]
	}
	mix, _ := t.program.solve((*row)(&s.Drives), &pull)
	s.Drives = Drives(mix)
	return s
}

// lengths returns how much light each emitter gives, as the length of its vector.
func (c *Cell) lengths() row {
	var r row
	for i, v := range c.full {
		r[i] = v.length()
	}
	return r
}

// alikeColour is the angle, in radians, below which a recipe takes two emitters for one
// colour, or emitters for lying on one line: at most 3e-5 in u'v', a thirtieth of what
// two lamps side by side may differ by. (Two chips of one make differ by a hundred times as
// much.) To use so small a difference, drives would have to go to their ends for it.
const alikeColour = 1e-5

// measures returns X, Y and Z of each emitter. Emitters that count as one colour have one
// here too.
func (c *Cell) measures() []row {
	var sum [Max]vector
	var first [Max]int // of each emitter, the first one of its colour
	for i, v := range c.full {
		for first[i] = 0; first[i] < i; first[i]++ {
			if k := first[i]; first[k] == k && c.full[k].unit().cross(v.unit()).length() <= alikeColour {
				break
			}
		}
		sum[first[i]] = sum[first[i]].add(v)
	}
	rows := make([]row, 3)
	for i, v := range c.full {
		whole := sum[first[i]].unit().scale(v.length())
		for k := range rows {
			rows[k][i] = whole[k]
		}
	}
	return rows
}
