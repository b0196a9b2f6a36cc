package emitters

import (
	"math"

	"linkboy/colour"
)

// Solve returns the mix for the chromaticity asked at a level of the most light
// there (0..1, held to that range). Out of reach, it shows the chromaticity that Aim
// tells. An asked that is no colour (not finite, y < 0) gives no light and is marked
// Clipped. No allocation.
func (c *Cell) Solve(asked colour.XY, level colour.Level, toward colour.XY) Solution {
	s := Solution{Asked: asked}
	if !isColour(asked) {
		s.Clipped = true
		return s
	}
	uv, aim := asked.UV(), asked
	if !c.gamut.contains(uv) {
		aim, s.Clipped = c.gamut.aim(asked, toward)
	}
	full := c.brightest(aim)
	light := c.light(&full).xyz()
	s.Reached, s.Most = light.XY(), light.Y
	s.DeltaUV = apart(uvOf(light), uv)

	k := float64(level)
	if !(k > 0) { // also NaN
		return s
	}
	k = min(k, 1)
	s.Drives, s.Lumens = full.Scale(k), light.Y*k
	return s
}

// uvOf returns the CIE 1976 u'v' of light [CIE 15:2018 eq. 8.31], without the way over xy.
func uvOf(c colour.XYZ) colour.UV {
	k := 1 / (c.X + 15*c.Y + 3*c.Z)
	return colour.UV{U: 4 * c.X * k, V: 9 * c.Y * k}
}

// apart is colour.UV.Distance without its care for numbers of 1e154 and more.
func apart(p, q colour.UV) float64 {
	du, dv := p.U-q.U, p.V-q.V
	return math.Sqrt(du*du + dv*dv)
}

// Aim returns the chromaticity to show for the one asked, and whether that was out of
// reach. Then it goes along the straight line in CIE 1976 u'v' from asked to toward, the
// balance white, to the first point in reach. When toward is out of reach too, or the
// gamut is a line or a point (so that a line to the white would meet it far off or
// nowhere), it takes the point in reach nearest to asked. An asked that is no colour
// (not finite, y < 0) gives the zero XY. No allocation.
func (c *Cell) Aim(asked, toward colour.XY) (aim colour.XY, clipped bool) {
	if !isColour(asked) {
		return colour.XY{}, true
	}
	return c.gamut.aim(asked, toward)
}

// aim is Cell.Aim for an asked that is a colour.
func (g gamut) aim(asked, toward colour.XY) (aim colour.XY, clipped bool) {
	uv := asked.UV()
	near, away := g.nearest(uv)
	switch {
	case away > within:
		return g.edge(uv, near, toward).XY(), true
	case away > 0:
		return near.XY(), false
	}
	return asked, false
}

// edge returns the point of the gamut's edge to show for a chromaticity out of
// reach; near is the point of the gamut nearest to it.
func (g gamut) edge(asked, near colour.UV, toward colour.XY) colour.UV {
	if len(g.corners) < 3 || !isColour(toward) {
		return near
	}
	white, away := g.nearest(toward.UV())
	if away > within {
		return near
	}
	on, _ := g.nearest(g.enter(asked, white))
	return on
}
