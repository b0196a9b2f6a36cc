package photometry

import "math"

// InverseSquare returns the illuminance from a source of the given intensity
// toward the receiver, small against the distance:
//
//	E = I cos θ/d²
//
// with d in metres, above 0, and θ the angle between the receiver's normal and
// the direction to the source [CIE S 017, photometric distance law]. Under 1 %
// off where d is more than 4 times the source's longest side, a little high
// before that (see Line); the usual rule is 5 times.
//
// 10 000 cd at 3.13 m give 1019 lx on a surface that faces the lamp.
func InverseSquare(i Candela, cos, d float64) Lux {
	d = max(d, leastDistance)
	return Lux(float64(i) * max(cos, 0) / (d * d))
}

// leastDistance stands for every distance under it, in metres, so that a point
// on a source gets much light and never no number.
const leastDistance = 1e-9

// CandelaFor returns the intensity toward a receiver that gives it e: the
// inverse of InverseSquare, for a cosine above 0.
func CandelaFor(e Lux, cos, d float64) Candela {
	return Candela(float64(e) * d * d / cos)
}

// FalloffStops returns the change of a small source's light in stops when its
// distance goes from one to another, both above 0: -2 for twice as far.
func FalloffStops(from, to float64) float64 { return 2 * math.Log2(from/to) }
