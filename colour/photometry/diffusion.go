package photometry

import (
	"fmt"
	"math"

	"linkboy/colour"
)

// Diffusion is a diffuser before a lamp: what share of the light passes and by
// how much it spreads a thin beam. The zero Diffusion passes nothing; clear
// glass is {Factor: 1}.
type Diffusion struct {
	// Factor is the share of the lumens that passes, 0 to 1.
	Factor float64
	// Widening is the full angle, between the 50 % points, that a thin beam
	// has behind the diffuser: 0 to 120 degrees, a perfect one.
	Widening Degrees
}

// lambertian is the beam angle of a source that is equally bright from every
// side; no diffuser spreads a beam farther.
const lambertian Degrees = 120

// Beam returns b behind the diffuser. Angles add up in quadrature,
//
//	beam² = beam² + widening²
//	field² = field² + widening² log2 10
//
// as if beam and diffuser were both bell-shaped. That is an approximation:
// good while the angles are small, and held at what a perfect diffuser gives
// (120 degrees) where the sum is wider; a skirt that is wide already grows no
// wider against the beam. Measure a lamp with its diffuser when it matters.
func (f Diffusion) Beam(b Beam) (Beam, error) {
	if !(f.Factor >= 0 && f.Factor <= 1 && f.Widening >= 0 && f.Widening <= lambertian) {
		return Beam{}, &colour.Error{What: fmt.Sprintf("a diffuser that passes %v and widens by %v degrees", f.Factor, float64(f.Widening)), Why: "it passes a share of the light and spreads it at most over all directions", Mend: "give a factor of 0 to 1 and a widening of 0 to 120 degrees"}
	}
	if f.Widening == 0 || b.exponent == 0 {
		b.Peak *= Candela(f.Factor)
		return b, nil
	}
	lumens := b.Lumens() * Lumens(f.Factor)
	perfect := Beam{exponent: 1, shape: 1}
	field := quadrature(b.FieldAngle(), f.Widening*Degrees(math.Sqrt(math.Log2(10))), perfect.FieldAngle())
	out, err := beamShape(quadrature(b.BeamAngle(), f.Widening, perfect.BeamAngle()))
	if err != nil {
		return Beam{}, err
	}
	out.shape = max(out.shapeFor(field), min(b.shape, 1))
	return out.withLumens(lumens)
}

// quadrature returns the root of the sum of squares of an angle and what
// widens it, at most the widest, unless the angle is wider by itself.
func quadrature(a, by, widest Degrees) Degrees {
	return max(a, min(Degrees(math.Hypot(float64(a), float64(by))), widest))
}
