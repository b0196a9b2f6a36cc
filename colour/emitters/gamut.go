package emitters

import (
	"cmp"
	"math"
	"slices"

	"linkboy/colour"
)

// within is how far, in u'v', a chromaticity may lie outside the gamut and still
// count as in reach: what merging emitters of one colour may take from its edge.
const within = 1e-7

// straight is how far, in u'v', an emitter may stick out of the gamut's edge and still not
// count as a corner of it: well inside what within forgives.
const straight = 1e-8

// gamut is the convex hull of the emitters' chromaticities in CIE 1976 u'v'.
// Chromaticities of mixes lie on straight lines between those mixed, in any
// chromaticity diagram that is a projection of XYZ, so the hull is exactly the
// set of chromaticities in reach.
type gamut struct {
	corners []colour.UV // counter-clockwise; 1 a point, 2 a segment
}

func gamutOf(rays []vector) gamut {
	points := make([]colour.UV, len(rays))
	for i, v := range rays {
		points[i] = v.xyz().XY().UV()
	}
	if len(points) > 2 {
		if _, ok := flatNormal(rays); ok {
			return gamut{ends(points)}
		}
	}
	return gamut{hull(points)}
}

func byUV(a, b colour.UV) int { return cmp.Or(cmp.Compare(a.U, b.U), cmp.Compare(a.V, b.V)) }

// ends returns the two points furthest apart, which are the ends of points on a line.
func ends(points []colour.UV) []colour.UV {
	slices.SortFunc(points, byUV)
	far, most := points[:2], -1.0
	for i, a := range points {
		for _, b := range points[i+1:] {
			if d := a.Distance(b); d > most {
				far, most = []colour.UV{a, b}, d
			}
		}
	}
	return far
}

// hull returns the corners of the convex hull of points, counter-clockwise from the
// one of least u' (the monotone chain of A. M. Andrew, Inf. Proc. Letters 9 (1979) 216).
func hull(points []colour.UV) []colour.UV {
	slices.SortFunc(points, byUV)
	if len(points) < 3 {
		return points
	}
	half := func(from []colour.UV) []colour.UV {
		var chain []colour.UV
		for _, p := range from {
			for len(chain) > 1 && turn(chain[len(chain)-2], chain[len(chain)-1], p) <= 0 {
				chain = chain[:len(chain)-1]
			}
			chain = append(chain, p)
		}
		return chain[:len(chain)-1]
	}
	lower := half(points)
	slices.Reverse(points)
	return trim(append(lower, half(points)...))
}

// trim takes out the corners that stick out of the edge past them by too little to see,
// the least one first. The hull itself is made without such a tolerance: of points on one
// upright line, sorted by rounding alone, it would drop the ends.
func trim(corners []colour.UV) []colour.UV {
	for len(corners) > 2 {
		flattest, least := 0, math.Inf(1)
		for i, b := range corners {
			a, c := corners[(i+len(corners)-1)%len(corners)], corners[(i+1)%len(corners)]
			if out := nearestOn(a, c, b).Distance(b); out < least {
				flattest, least = i, out
			}
		}
		if least > straight {
			break
		}
		corners = slices.Delete(corners, flattest, flattest+1)
	}
	first := slices.Index(corners, slices.MinFunc(corners, byUV))
	return append(slices.Clone(corners[first:]), corners[:first]...)
}

// turn is twice the area of the triangle a, b, c: positive when c lies to the left
// of the way from a to b.
func turn(a, b, c colour.UV) float64 {
	return (b.U-a.U)*(c.V-a.V) - (b.V-a.V)*(c.U-a.U)
}

// contains tells whether p lies in the polygon; a point or a segment contains nothing.
func (g gamut) contains(p colour.UV) bool {
	if len(g.corners) < 3 {
		return false
	}
	a := g.corners[len(g.corners)-1]
	for _, b := range g.corners {
		if turn(a, b, p) < 0 {
			return false
		}
		a = b
	}
	return true
}

// nearest returns the point of the gamut nearest to p, and how far it is.
func (g gamut) nearest(p colour.UV) (colour.UV, float64) {
	if g.contains(p) {
		return p, 0
	}
	best, least := colour.UV{}, math.Inf(1)
	a := g.corners[len(g.corners)-1]
	for _, b := range g.corners {
		q := nearestOn(a, b, p)
		if d := q.Distance(p); d < least {
			best, least = q, d
		}
		a = b
	}
	return best, least
}

// nearestOn returns the point of the segment from a to b nearest to p.
func nearestOn(a, b, p colour.UV) colour.UV {
	du, dv := b.U-a.U, b.V-a.V
	length := du*du + dv*dv
	if length == 0 {
		return a
	}
	s := ((p.U-a.U)*du + (p.V-a.V)*dv) / length
	if s >= 1 {
		return b // exactly the corner, not a rounding beside it
	}
	s = max(s, 0)
	return colour.UV{U: a.U + s*du, V: a.V + s*dv}
}

// enter returns where the straight way from p, outside the polygon, to white, inside
// it, comes into the polygon.
func (g gamut) enter(p, white colour.UV) colour.UV {
	s := 0.0
	a := g.corners[len(g.corners)-1]
	for _, b := range g.corners {
		if out, in := turn(a, b, p), turn(a, b, white); out < 0 {
			s = max(s, min(1, out/(out-max(in, 0))))
		}
		a = b
	}
	return colour.UV{U: p.U + s*(white.U-p.U), V: p.V + s*(white.V-p.V)}
}
