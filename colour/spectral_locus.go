package colour

import (
	"cmp"
	"math"
	"slices"
	"sync"
)

// The spectral locus is closed by the purple line from its ends. Its points
// past these wavelengths hardly move (from 699 nm on the observer's table is
// an extrapolation at one chromaticity) and only add noise.
const (
	locusFirstNM = 380
	locusLastNM  = 699
)

// locusSlack is how far outside the closed spectral locus a chromaticity may
// lie, in xy, and still count as one that light can have. The primaries of
// Rec.2020 are spectral lights, and their three printed decimals put them up
// to 2.9e-4 outside; the observer's own light of 360 nm lies 3.1e-4 outside,
// as the locus here begins at 380.
const locusSlack = 5e-4

// spectralLocus holds the chromaticities of monochromatic light, 1 nm apart.
var spectralLocus = sync.OnceValue(func() *[locusLastNM - locusFirstNM + 1]XY {
	points := new([locusLastNM - locusFirstNM + 1]XY)
	for i := range points {
		points[i] = xyzOf(Observer1931()[locusFirstNM-observerFirstNM+i]).XY()
	}
	return points
})

// gamutHull is the convex hull of the spectral locus, anticlockwise in xy.
// The locus is convex but for the rounding of the table at both its ends,
// where a short edge may point anywhere.
var gamutHull = sync.OnceValue(func() []XY {
	points := slices.SortedFunc(slices.Values(spectralLocus()[:]), func(a, b XY) int {
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	lower := halfHull(points)
	slices.Reverse(points)
	upper := halfHull(points)
	return append(lower[:len(lower)-1], upper[:len(upper)-1]...)
})

// halfHull returns the points on the right hand of the sweep through points
// (Andrew's monotone chain).
func halfHull(points []XY) []XY {
	var hull []XY
	for _, p := range points {
		for len(hull) >= 2 && leftOf(hull[len(hull)-2], hull[len(hull)-1], p) <= 0 {
			hull = hull[:len(hull)-1]
		}
		hull = append(hull, p)
	}
	return hull
}

// leftOf is positive when p lies to the left of the way from a to b; it is
// their distance apart times p's distance from that line.
func leftOf(a, b, p XY) float64 { return (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X) }

// gamutEdge is one side of the hull: a point p lies inside when
// nx·x + ny·y <= reach, and past it by the excess, in xy.
type gamutEdge struct{ nx, ny, reach float64 }

var gamutEdges = sync.OnceValue(func() []gamutEdge {
	hull := gamutHull()
	edges := make([]gamutEdge, len(hull))
	a := hull[len(hull)-1]
	for i, b := range hull {
		length := math.Hypot(b.X-a.X, b.Y-a.Y)
		nx, ny := (b.Y-a.Y)/length, (a.X-b.X)/length
		edges[i] = gamutEdge{nx, ny, nx*a.X + ny*a.Y}
		a = b
	}
	return edges
})

func (e *gamutEdge) excess(p XY) float64 { return e.nx*p.X + e.ny*p.Y - e.reach }

// Valid reports whether some light has chromaticity p: whether p lies inside
// the spectral locus closed by the purple line. The zero XY is not valid.
func (p XY) Valid() bool {
	if !(p.X >= 0 && p.Y > 0) {
		return false
	}
	edges := gamutEdges()
	for i := range edges {
		if !(edges[i].excess(p) <= locusSlack) { // so written that NaN is outside
			return false
		}
	}
	return true
}

// purestToward returns the last chromaticity that light can have on the way
// from a white inside the spectral locus to p.
func purestToward(white, p XY) XY {
	reach := 1.0
	edges := gamutEdges()
	for i := range edges {
		from, to := edges[i].excess(white), edges[i].excess(p)
		if to > 0 && from < 0 {
			reach = min(reach, from/(from-to))
		}
	}
	return XY{white.X + reach*(p.X-white.X), white.Y + reach*(p.Y-white.Y)}
}

// noLight says that a form means p, a chromaticity that no light has, and
// what could be had in that direction.
func noLight(form Form, p, white XY) error {
	e := &Error{
		What: form.String(),
		Why:  "no light has the chromaticity xy " + shortXY(p) + ": it lies outside the spectral locus",
	}
	if !white.Valid() || math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
		e.Mend = "name a point inside the spectral locus, such as {xy: [0.3127, 0.329]}"
		return e
	}
	e.Mend = "the purest colour that way is {xy: [" + shortXY(purestToward(white, p)) + "]}"
	return e
}

// shortXY writes p to the four decimals in which chromaticities are quoted.
func shortXY(p XY) string {
	four := func(x float64) string { return number(math.Round(x*1e4) / 1e4) }
	return four(p.X) + ", " + four(p.Y)
}
