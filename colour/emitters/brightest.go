package emitters

import (
	"math"

	"linkboy/colour"
)

// Brightest returns the mix with the most light at exactly chromaticity p, and its
// lumens; false when p is out of reach by more than 1e-7 in u'v' (then the other
// results are zero). Where several mixes give the very same light, emitters of one
// chromaticity share one drive, and of emitters on one line those near p go before
// those far from it. The mix follows p continuously. No allocation.
func (c *Cell) Brightest(p colour.XY) (Drives, float64, bool) {
	if !isColour(p) {
		return Drives{}, 0, false
	}
	uv := p.UV()
	near, away := c.gamut.nearest(uv)
	if away > within {
		return Drives{}, 0, false
	}
	if away > 0 {
		p = near.XY()
	}
	d := c.brightest(p)
	return d, c.lumens(&d), true
}

// isColour tells whether p can stand for light at all: finite, and on the light
// side of the line y = 0, so that its u'v' is finite too.
func isColour(p colour.XY) bool {
	return finite(p) && p.Y >= 0 && 12*p.Y-2*p.X+3 > 1e-3
}

// outside is how far out of 0..1 rounding alone may put a drive. A target on so thin a
// sliver of the gamut (emitters within 1e-6 of a line) that rounding decides which facet
// its ray leaves by puts drives further out, and is solved with more care.
const outside = 1e-9

// same is how far, as a sine of an angle, light may be off the target's colour and still
// count as that colour when the brighter of two mixes is taken.
const same = 1e-9

// choice is a mix on a facet: which, on which side, the drives of its free rays, and how
// far they are out of 0..1.
type choice struct {
	facet *facet
	side  int
	drive [2]float64
	out   float64
}

// brightest solves for p in the gamut.
func (c *Cell) brightest(p colour.XY) Drives {
	z := 1 - p.X - p.Y
	by, scale := c.leave(p.X, p.Y, z)
	if by == nil {
		return c.careful(vector{p.X, p.Y, z})
	}
	x, y, z := p.X*scale-by.base[0], p.Y*scale-by.base[1], z*scale-by.base[2]
	drive := [2]float64{
		by.dual[0][0]*x + by.dual[0][1]*y + by.dual[0][2]*z,
		by.dual[1][0]*x + by.dual[1][1]*y + by.dual[1][2]*z,
	}
	d := by.drives
	for _, free := range by.free {
		v := drive[free.ray]
		if !(v >= 0 && v <= 1) {
			if !(v >= -outside && v <= 1+outside) {
				return c.careful(vector{p.X, p.Y, 1 - p.X - p.Y})
			}
			v = min(max(v, 0), 1)
		}
		d[free.emitter] = v
	}
	return d
}

// astray is how far, as a sine of an angle, light is off the target's colour only where the
// facets have a gap: colours are kept ten times better elsewhere.
const astray = 1e-6

// careful looks at the facets one by one, as the ray leaves by one only.
func (c *Cell) careful(toward vector) Drives {
	best, off := c.search(c.facets, toward)
	if off > astray {
		if other, less := c.search(c.spare, toward); less < off {
			best = other
		}
	}
	return best
}

// search returns the mix on a facet that has the target's colour, and how far it is off as
// a sine; of several that have it, the brightest.
func (c *Cell) search(facets []facet, toward vector) (best Drives, leastOff float64) {
	leastOff, mostLight := math.Inf(1), 0.0
	for i := range facets {
		f := &facets[i]
		side, h, n := f.facing(toward)
		if h <= 0 || n <= 0 {
			continue
		}
		d := c.drivesOf(f.mix(side, toward.scale(f.hold(side, h/n, toward))))
		light := c.light(&d)
		off := max(light.cross(toward).length()/(light.length()*toward.length()), same)
		if off < leastOff || off == leastOff && light[1] > mostLight {
			best, leastOff, mostLight = d, off, light[1]
		}
	}
	return best, leastOff
}

// hold returns the scale nearest to the given one at which the ray runs through the facet
// and not beside it. Where the ray all but lies in the facet's plane, scale itself is all
// rounding, and the colour is right all along the way.
func (f *facet) hold(side int, scale float64, toward vector) float64 {
	lo, hi := 0.0, math.Inf(1)
	for i, k := range f.free {
		a, b := f.dual[i].dot(toward), f.dual[i].dot(f.base[side])
		if k < 0 || a == 0 {
			continue
		}
		// 0 <= scale*a - b <= 1, but for rounding
		from, to := (b-outside)/a, (1+b+outside)/a
		lo, hi = max(lo, min(from, to)), min(hi, max(from, to))
	}
	return max(lo, min(hi, scale))
}

// facing returns the side of f that faces along toward, its support h, and the share n of
// toward in its normal: the ray meets the facet's plane at h/n times toward.
func (f *facet) facing(toward vector) (side int, h, n float64) {
	n = f.normal.dot(toward)
	if n < 0 {
		return 1, f.support[1], -n
	}
	return 0, f.support[0], n
}

// mix returns the mix that gives the light exit in the facet's plane on a side.
func (f *facet) mix(side int, exit vector) choice {
	r := exit.sub(f.base[side])
	a, b := f.dual[0].dot(r), f.dual[1].dot(r)
	return choice{f, side, [2]float64{a, b}, max(0, -a, a-1, -b, b-1)}
}

// drivesOf spreads the drives of a facet's rays to the emitters. Rounding can leave
// the two free drives a little outside 0..1.
func (c *Cell) drivesOf(best choice) Drives {
	var rays Drives
	for k := range rays {
		rays[k] = float64(best.facet.on[best.side] >> k & 1)
	}
	for i, k := range best.facet.free {
		if k >= 0 {
			rays[k] = min(max(best.drive[i], 0), 1)
		}
	}
	var d Drives
	for i, k := range c.ray {
		d[i] = rays[k]
	}
	return d
}
