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
// to 4.4e-4 outside.
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

// Valid reports whether some light has chromaticity p: whether p lies inside
// the spectral locus closed by the purple line. The zero XY is not valid.
func (p XY) Valid() bool {
	if !(p.X >= 0 && p.Y > 0) { // NaN, too
		return false
	}
	hull := gamutHull()
	a := hull[len(hull)-1]
	for _, b := range hull {
		// Written so that an infinite p is outside.
		if !(leftOf(a, b, p) >= -locusSlack*math.Hypot(b.X-a.X, b.Y-a.Y)) {
			return false
		}
		a = b
	}
	return true
}

// purestToward returns the last chromaticity that light can have on the way
// from a white inside the spectral locus to p.
func purestToward(white, p XY) XY {
	reach := 1.0
	hull := gamutHull()
	a := hull[len(hull)-1]
	for _, b := range hull {
		in, out := leftOf(a, b, white), leftOf(a, b, p)
		if out < 0 && in > out {
			reach = min(reach, in/(in-out))
		}
		a = b
	}
	return XY{white.X + reach*(p.X-white.X), white.Y + reach*(p.Y-white.Y)}
}

// checkLight says why p is a chromaticity that no light has. What names the
// colour as the user wrote it.
func checkLight(what string, p, white XY) (XY, error) {
	if p.Valid() {
		return p, nil
	}
	e := &Error{
		What: what,
		Why:  "no light has the chromaticity xy " + number(round4(p.X)) + ", " + number(round4(p.Y)) + ": it lies outside the spectral locus",
	}
	if !white.Valid() || math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
		e.Mend = "name a point inside the spectral locus, such as {xy: [0.3127, 0.329]}"
		return XY{}, e
	}
	q := purestToward(white, p)
	e.Mend = "the purest colour that way is {xy: [" + number(round4(q.X)) + ", " + number(round4(q.Y)) + "]}"
	return XY{}, e
}

func round4(x float64) float64 { return math.Round(x*1e4) / 1e4 }
