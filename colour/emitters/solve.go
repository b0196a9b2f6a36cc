package emitters

import "linkboy/colour"

// Solve returns the mix for the chromaticity asked at a level of the most light
// there (0..1, held to that range). Out of reach, it goes along the straight line in
// CIE 1976 u'v' from asked to toward, the balance white, to the first point in
// reach. When toward is out of reach too, or the gamut is a line or a point (so that
// a line to the white would meet it far off or nowhere), it takes the point in reach
// nearest to asked. An asked that is no colour (not finite, y < 0) gives no light
// and is marked Clipped. No allocation.
func (c *Cell) Solve(asked colour.XY, level colour.Level, toward colour.XY) Solution {
	s := Solution{Asked: asked}
	if !isColour(asked) {
		s.Clipped = true
		return s
	}
	aim := asked
	uv := asked.UV()
	if near, away := c.gamut.nearest(uv); away > within {
		s.Clipped = true
		aim = c.edge(uv, near, toward).XY()
	} else if away > 0 {
		aim = near.XY()
	}
	full := c.brightest(aim)
	light := c.light(&full).xyz()
	s.Reached, s.Most = light.XY(), light.Y
	s.DeltaUV = s.Reached.UV().Distance(uv)

	k := float64(level)
	if !(k > 0) { // also NaN
		return s
	}
	k = min(k, 1)
	s.Drives, s.Lumens = full.Scale(k), light.Y*k
	return s
}

// edge returns the point of the gamut's edge to show for a chromaticity out of
// reach; near is the point of the gamut nearest to it.
func (c *Cell) edge(asked, near colour.UV, toward colour.XY) colour.UV {
	if len(c.gamut.corners) < 3 || !isColour(toward) {
		return near
	}
	white, away := c.gamut.nearest(toward.UV())
	if away > within {
		return near
	}
	on, _ := c.gamut.nearest(c.gamut.enter(asked, white))
	return on
}
