package emitters

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"linkboy/colour"
)

// The light an emitter may give. Beyond these it is a slip of the file, and the
// squares of what the solver works with stay far from the ends of a float64.
const (
	leastLumens = 1e-9
	mostLight   = 1e12
)

// Errors of NewCell, for callers that put them in other words.
var (
	ErrCount = errors.New("a cell has 1 to 8 emitters")
	ErrLight = errors.New("an emitter's full light is not a light")
)

// Cell is a set of emitters prepared for solving; immutable and safe for
// concurrent use.
type Cell struct {
	emitters []Emitter
	full     []vector // light of each emitter at full
	ray      []int    // of each emitter: which ray of the zonotope it belongs to
	facets   []facet
	spare    []facet // the same by the coarse tolerance, for where those leave a gap
	planes   []plane
	exits    []exit // of each plane
	gamut    gamut
}

// NewCell prepares 1..Max emitters for solving. Every emitter must give light:
// X and Z of 0 or more, Y of at least 1e-9 lm, none above 1e12; the error tells
// which one does not and wraps ErrLight, or is ErrCount.
func NewCell(e []Emitter) (*Cell, error) {
	if len(e) < 1 || len(e) > Max {
		return nil, fmt.Errorf("%w, not %d", ErrCount, len(e))
	}
	c := &Cell{emitters: slices.Clone(e)}
	for i, em := range e {
		if !shines(em.Full) {
			return nil, fmt.Errorf("emitter %d (%q): %w: X %g, Y %g, Z %g", i+1, em.Name, ErrLight, em.Full.X, em.Full.Y, em.Full.Z)
		}
		c.full = append(c.full, vectorOf(em.Full))
	}
	var rays []vector
	c.ray, rays = mergeRays(c.full)
	c.facets, c.spare = facets(rays, dust), facets(rays, coarse)
	c.setExits()
	c.gamut = gamutOf(rays)
	return c, nil
}

// shines tells whether c is a light that an emitter can give. NaN is none.
func shines(c colour.XYZ) bool {
	return c.X >= 0 && c.X <= mostLight && c.Y >= leastLumens && c.Y <= mostLight && c.Z >= 0 && c.Z <= mostLight
}

// Emitters returns a copy of the cell's emitters in the order of Drives.
func (c *Cell) Emitters() []Emitter { return slices.Clone(c.emitters) }

// Len returns how many emitters the cell has, 1..Max.
func (c *Cell) Len() int { return len(c.emitters) }

// Light is the forward model: the light of the cell at drives d. Light adds up,
// so it is the sum of the emitters' full light, each times its drive.
func (c *Cell) Light(d Drives) colour.XYZ { return c.light(&d).xyz() }

func (c *Cell) light(d *Drives) vector {
	var sum vector
	for i := range c.full {
		v := &c.full[i]
		sum[0] += v[0] * d[i]
		sum[1] += v[1] * d[i]
		sum[2] += v[2] * d[i]
	}
	return sum
}

// lumens is the Y of light, to the last bit.
func (c *Cell) lumens(d *Drives) (sum float64) {
	for i := range c.full {
		sum += c.full[i][1] * d[i]
	}
	return sum
}

// Gamut returns the corners of the chromaticities in reach, in CIE 1976 u'v',
// counter-clockwise from the one of least u': a polygon, or 2 points when all
// emitters lie on one line, or 1 when all have one chromaticity. Corners within
// 1e-7 of each other count as one.
func (c *Cell) Gamut() []colour.UV { return slices.Clone(c.gamut.corners) }

// finite tells whether p can be worked with at all.
func finite(p colour.XY) bool {
	return !math.IsNaN(p.X) && !math.IsInf(p.X, 0) && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0)
}
