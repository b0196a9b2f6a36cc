package photometry

import (
	"fmt"
	"math"

	"linkboy/colour"
)

// Line is a straight thin source, a tube or a strip, that shines as a
// Lambertian one along its length. It is a small value to copy; the zero Line
// is dark.
type Line struct {
	// PerMetre is the intensity of each metre, square to the line. A strip
	// that is seen at an angle φ beside its front has cos φ of it; see Scale.
	PerMetre Candela
	// Length is in metres, above 0.
	Length float64
}

// NewStrip returns the line that gives f to its front half only, flat across
// as an LED strip is: each metre has Φ/(π l) in front.
func NewStrip(f Lumens, length float64) (Line, error) { return newLine(f, length, math.Pi) }

// NewTube returns the line that gives f all round: each metre has Φ/(π² l)
// from every side [IES HB: Φ = π² I].
func NewTube(f Lumens, length float64) (Line, error) { return newLine(f, length, math.Pi*math.Pi) }

// newLine returns a line with the given lumens for each candela.
func newLine(f Lumens, length, lumensPerCandela float64) (Line, error) {
	if !(length > 0 && f >= 0) || math.IsInf(float64(f), 1) || math.IsInf(length, 1) {
		return Line{}, &colour.Error{What: fmt.Sprintf("a tube of %v lm and %v m", float64(f), length), Why: "it has a length and some light or none", Mend: "give a length above 0 in metres and lumens of 0 and up"}
	}
	return Line{PerMetre: Candela(float64(f) / (lumensPerCandela * length)), Length: length}, nil
}

// Scale returns l with k times its light.
func (l Line) Scale(k float64) Line {
	l.PerMetre *= Candela(k)
	return l
}

// Candela returns the intensity of l as a whole, square to it, seen from so
// far that it is small.
func (l Line) Candela() Candela { return l.PerMetre * Candela(l.Length) }

// Facing returns the illuminance on a receiver that faces the line, d metres
// off it, above 0, and shifted x along it from its middle:
//
//	E = I'/d (f(a1) - f(a2)),  f(a) = (a + sin a cos a)/2
//	a1 = atan((l/2 - x)/d),  a2 = atan((-l/2 - x)/d)
//
// [IES HB, line sources]. It tends to π I'/(2d) close by, and to the inverse
// square far off: 4 % under it at twice the length, 1 % at 4 times.
//
// A strip of 1.15 m and 1867 lm gives 493 lx at 1 m.
func (l Line) Facing(d, x float64) Lux {
	d = max(d, leastDistance)
	half := l.Length / 2
	return Lux(float64(l.PerMetre) / d * (facing((half-x)/d) - facing((-half-x)/d)))
}

// facing is f of Facing, by the tangent of the angle.
func facing(t float64) float64 { return (math.Atan(t) + t/(1+t*t)) / 2 }

// On is Facing for a receiver that looks elsewhere: across and along are the
// cosines between its normal and the directions square to the line, toward it,
// and along the line, the way x grows. What of the line is behind the receiver
// gives no light:
//
//	E = I'/d [across f(a) + along sin²a/2]
//
// taken between the ends of the line that is before it, with f and a of
// Facing.
func (l Line) On(d, x, across, along float64) Lux {
	d = max(d, leastDistance)
	from, to := (-l.Length/2-x)/d, (l.Length/2-x)/d
	if along == 0 {
		return Lux(float64(l.PerMetre) / d * max(across, 0) * (facing(to) - facing(from)))
	}
	// A point of the line at tangent t is before the receiver where
	// across + along t is above 0.
	if edge := -across / along; along > 0 {
		from = max(from, edge)
	} else {
		to = min(to, edge)
	}
	if from >= to {
		return 0
	}
	e := across*(facing(to)-facing(from)) + along/2*(sineSquared(to)-sineSquared(from))
	return Lux(float64(l.PerMetre) / d * max(e, 0))
}

// sineSquared returns the squared sine of an angle by its tangent.
func sineSquared(t float64) float64 { return 1 / (1 + 1/(t*t)) }
