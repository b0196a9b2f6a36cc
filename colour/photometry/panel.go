package photometry

import (
	"fmt"
	"math"

	"linkboy/colour"
)

// Panel is a rectangular flat Lambertian source that shines to one side. Its
// light at a place is exact: π L times the configuration factor of a small
// element to the rectangle [Howell, B-3 and B-4]. The zero Panel is dark.
type Panel struct {
	Luminance     Luminance
	Width, Height float64 // metres, above 0
}

// NewPanel returns the panel of the given sides in metres that gives f.
func NewPanel(f Lumens, width, height float64) (Panel, error) {
	area := width * height
	if !(width > 0 && height > 0 && f >= 0) || math.IsInf(float64(f), 1) || math.IsInf(area, 1) {
		return Panel{}, &colour.Error{What: fmt.Sprintf("a panel of %v lm and %v x %v m", float64(f), width, height), Why: "it has a size and some light or none", Mend: "give sides above 0 in metres and lumens of 0 and up"}
	}
	return Panel{Luminance: FlatLuminance(f, area), Width: width, Height: height}, nil
}

// Candela returns the intensity of p in front, seen from so far that it is
// small.
func (p Panel) Candela() Candela {
	return Candela(float64(p.Luminance) * p.Width * p.Height)
}

// Disc returns the disc of p's luminance and area, R = √(A/π): the usual
// short cut, within 1.5 % beyond 2 times the longer side of panels up to 1 : 2.
func (p Panel) Disc() Disc {
	return Disc{Luminance: p.Luminance, Radius: math.Sqrt(p.Width * p.Height / math.Pi)}
}

// Facing returns the illuminance on a receiver parallel to the panel, d metres
// before it, above 0, and shifted from its middle by x along its width and y
// along its height. With X and Y the places of the corners from the receiver,
// it is L times the sum over the corners, with turning sign, of
//
//	½[X/√(X²+d²) atan(Y/√(X²+d²)) + Y/√(Y²+d²) atan(X/√(Y²+d²))]
func (p Panel) Facing(d, x, y float64) Lux {
	d = max(d, leastDistance)
	left, right := -p.Width/2-x, p.Width/2-x
	low, high := -p.Height/2-y, p.Height/2-y
	sum := parallel(right, high, d) - parallel(left, high, d) - parallel(right, low, d) + parallel(left, low, d)
	return Lux(float64(p.Luminance) * max(sum, 0))
}

// parallel is π times the factor to the rectangle from the foot of the
// receiver's normal to a corner [Howell, B-3].
func parallel(x, y, d float64) float64 {
	a, b := math.Sqrt(x*x+d*d), math.Sqrt(y*y+d*d)
	return (x/a*math.Atan(y/a) + y/b*math.Atan(x/b)) / 2
}

// Side returns the illuminance on a receiver square to the panel that looks
// along its width, the way x grows, at the place of Facing: a floor before a
// panel that stands on its side, or with the sides swapped before one that
// stands upright. It sees only what of the panel lies that way. With X and Y
// as in Facing, cut off at X = 0, it is L times the sum over the corners of
//
//	½ d/√(X²+d²) atan(Y/√(X²+d²))
//
// with turning sign [Howell, B-4].
func (p Panel) Side(d, x, y float64) Lux {
	left, right := max(-p.Width/2-x, 0), max(p.Width/2-x, 0)
	if right <= 0 {
		return 0
	}
	d = max(d, leastDistance)
	low, high := -p.Height/2-y, p.Height/2-y
	sum := square(left, high, d) - square(left, low, d) - square(right, high, d) + square(right, low, d)
	return Lux(float64(p.Luminance) * max(sum, 0))
}

// square is π times the factor to the half strip beyond x and up to y.
func square(x, y, d float64) float64 {
	a := math.Sqrt(x*x + d*d)
	return d / a * math.Atan(y/a) / 2
}
