package emitters

import (
	"slices"

	"linkboy/colour"
)

// Reach is a set of chromaticities in CIE 1976 u'v': a convex polygon, a segment, a point
// or nothing. That of a cell is what it can show; the intersection of several is what
// all of them can. The zero Reach is empty. It is immutable and safe for concurrent
// use.
type Reach struct{ gamut gamut }

// Reach returns the chromaticities that the cell can show.
func (c *Cell) Reach() Reach { return Reach{c.gamut} }

// Corners returns the corners, as Cell.Gamut does; none when r is empty.
func (r Reach) Corners() []colour.UV { return slices.Clone(r.gamut.corners) }

// Empty tells whether there is no chromaticity in r.
func (r Reach) Empty() bool { return len(r.gamut.corners) == 0 }

// Contains tells whether p is in r, or outside by no more than 1e-7 in u'v', which is what
// Cell.Brightest forgives too.
func (r Reach) Contains(p colour.XY) bool {
	if r.Empty() || !isColour(p) {
		return false
	}
	_, away := r.gamut.nearest(p.UV())
	return away <= within
}

// Area returns the area of r in u'v'. That of all colours is about 0.196.
func (r Reach) Area() float64 {
	area := 0.0
	for i := 2; i < len(r.gamut.corners); i++ {
		area += turn(r.gamut.corners[0], r.gamut.corners[i-1], r.gamut.corners[i]) / 2
	}
	return area
}

// Aim is Cell.Aim for all of r: the chromaticity to show for the one asked, on the
// straight line to toward, and whether asked is out of reach. When r is empty it
// returns the zero XY. No allocation.
func (r Reach) Aim(asked, toward colour.XY) (aim colour.XY, clipped bool) {
	if r.Empty() || !isColour(asked) {
		return colour.XY{}, true
	}
	return r.gamut.aim(asked, toward)
}

// Intersect returns the chromaticities in both r and o. It cuts r by the line through each
// edge of o (I. E. Sutherland and G. W. Hodgman, Comm. ACM 17 (1974) 32). Corners of r
// within 1e-8 of a line count as on it, so that reaches that share an edge or a corner,
// as those of one kind of lamp do, keep it whole; corners within 1e-8 of another go.
// Two segments that cross have their crossing in common.
func (r Reach) Intersect(o Reach) Reach {
	if r.Empty() || o.Empty() {
		return Reach{}
	}
	if len(r.gamut.corners) > len(o.gamut.corners) {
		r, o = o, r // so that a polygon cuts a segment or a point
	}
	ring := slices.Clone(r.gamut.corners)
	edges := o.gamut.corners
	switch len(edges) {
	case 1: // both are points
		return pointIn(ring[0], o)
	case 2: // a point or a segment, clipped by a segment: by its line and at its ends
		a, b := edges[0], edges[1]
		ring = clip(clip(ring, line(a, b)), line(b, a))
		ring = clip(clip(ring, across(a, b)), across(b, a))
	default:
		a := edges[len(edges)-1]
		for _, b := range edges {
			ring = clip(ring, line(a, b))
			a = b
		}
	}
	return Reach{tidy(ring)}
}

// pointIn returns p as a reach when o contains it.
func pointIn(p colour.UV, o Reach) Reach {
	if _, away := o.gamut.nearest(p); away > straight {
		return Reach{}
	}
	return Reach{gamut{[]colour.UV{p}}}
}

// side is a directed line; positive distances lie to the left of it.
type side struct{ at, along colour.UV }

func line(a, b colour.UV) side {
	length := a.Distance(b)
	return side{a, colour.UV{U: (b.U - a.U) / length, V: (b.V - a.V) / length}}
}

// across is the line through a square to the way to b, with b to the left.
func across(a, b colour.UV) side {
	s := line(a, b)
	s.along = colour.UV{U: s.along.V, V: -s.along.U}
	return s
}

func (s side) distance(p colour.UV) float64 {
	return s.along.U*(p.V-s.at.V) - s.along.V*(p.U-s.at.U)
}

// clip returns the part of a ring of corners, or of a segment or a point, that lies to the
// left of the line or within straight of it.
func clip(ring []colour.UV, by side) []colour.UV {
	var kept []colour.UV
	for i, b := range ring {
		a := ring[(i+len(ring)-1)%len(ring)]
		da, db := by.distance(a), by.distance(b)
		ina, inb := da >= -straight, db >= -straight
		if ina != inb && !(ina && da <= straight) && !(inb && db <= straight) {
			kept = append(kept, a.Lerp(b, da/(da-db)))
		}
		if inb {
			kept = append(kept, b)
		}
	}
	return kept
}

// tidy makes a gamut of points that are corners but for doubles and rounding.
func tidy(ring []colour.UV) gamut {
	var corners []colour.UV
	for _, p := range ring {
		if !slices.ContainsFunc(corners, func(q colour.UV) bool { return q.Distance(p) <= straight }) {
			corners = append(corners, p)
		}
	}
	if len(corners) > 2 {
		corners = hull(corners)
	}
	if len(corners) == 2 {
		slices.SortFunc(corners, byUV)
	}
	return gamut{corners}
}
