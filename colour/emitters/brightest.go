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
	return d, c.light(&d)[1], true
}

// isColour tells whether p can stand for light at all: finite, and on the light
// side of the line y = 0, so that its u'v' is finite too.
func isColour(p colour.XY) bool {
	return finite(p) && p.Y >= 0 && 12*p.Y-2*p.X+3 > 1e-3
}

// brightest solves for p in the gamut.
func (c *Cell) brightest(p colour.XY) Drives {
	toward := vector{p.X, p.Y, 1 - p.X - p.Y}
	at, side, scale := c.exit(toward)
	exit := toward.scale(scale)

	var best *tile
	var drive [2]float64
	outside := math.Inf(1)
	for i := range at.tiles {
		t := &at.tiles[i]
		r := exit.sub(t.base[side])
		a, b := t.dual[0].dot(r), t.dual[1].dot(r)
		if o := max(0, -a, a-1, -b, b-1); o < outside {
			best, drive, outside = t, [2]float64{a, b}, o
			if o == 0 {
				break
			}
		}
	}
	return c.drivesOf(best, side, drive)
}

// exit returns the facet by which the ray of direction toward leaves the zonotope,
// as its plane and side, and how far along the ray that is. The ray must lie in the
// gamut, so a facet of no support (one that ends the gamut) never stops it.
func (c *Cell) exit(toward vector) (at *plane, side int, scale float64) {
	at, over, under := &c.planes[0], math.Inf(1), 1.0
	for i := range c.planes {
		p := &c.planes[i]
		s, n := 0, p.normal.dot(toward)
		if n < 0 {
			s, n = 1, -n
		}
		// p.support/n < over/under, without a division.
		if h := p.support[s]; h > 0 && h*under < over*n {
			at, side, over, under = p, s, h, n
		}
	}
	return at, side, over / under
}

// drivesOf spreads the drives of a tile's rays to the emitters. Rounding can leave
// the two free drives a little outside 0..1.
func (c *Cell) drivesOf(t *tile, side int, free [2]float64) Drives {
	var rays Drives
	for k := range rays {
		rays[k] = float64(t.on[side] >> k & 1)
	}
	for i, k := range t.free {
		if k >= 0 {
			rays[k] = min(max(free[i], 0), 1)
		}
	}
	var d Drives
	for i, k := range c.ray {
		d[i] = rays[k]
	}
	return d
}
