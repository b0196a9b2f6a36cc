package photometry

import (
	"fmt"
	"math"

	"linkboy/colour"
)

// Beam is how a lamp with optics spreads its light: alike all round its axis,
// most on the axis and none behind the lamp. With θ the angle off the axis:
//
//	I(θ) = I0 2^-(x^p),  x = log cos θ/log cos(beam/2)
//
// Whatever the shape p, that is half of I0 at half the beam angle, falls all
// the way, and is nothing at 90 degrees. With p = 1 it is the cosine power
// I0 cos^m θ of the handbooks, m = 1/log2(1/cos(beam/2)); a higher p is
// flatter in the middle with a harder edge, a lower one has a wide skirt. Near
// the axis x goes with θ², so the top is round for p over 1/2.
//
// The zero Beam is dark. It is a small value to copy.
type Beam struct {
	// Peak is I0, the intensity on the axis.
	Peak Candela
	// exponent is m, 1/log2(1/cos(beam/2)): 1 for a Lambertian source.
	exponent float64
	// shape is p, over 1/2.
	shape float64
}

// NewBeam returns the cosine power that gives f in all and half its peak at
// half the beam angle, the full angle between the 50 % points, of 0.1 and up,
// under 180 degrees:
//
//	m = ln 0.5/ln cos(beam/2),  I0 = Φ(m + 1)/(2π)
//
// [IES HB; CIE S 017, beam angle]. 1000 lm in 25 degrees: m 28.9, 4758 cd.
func NewBeam(f Lumens, beam Degrees) (Beam, error) {
	b, err := beamShape(beam)
	if err != nil {
		return Beam{}, err
	}
	return b.withLumens(f)
}

// NewBeamField returns the beam that gives f in all, half its peak at half the
// beam angle and a tenth at half the field angle, the full angle between the
// 10 % points [IES HB]. The field must be wider than the beam, at most about
// three times as wide, and under 180 degrees. Where both follow a cosine power
// it is that of NewBeam.
//
//	p = log(log2 10)/log(log cos(field/2)/log cos(beam/2))
//
// The form is ours, chosen to hold both angles and to hold the cosine power.
func NewBeamField(f Lumens, beam, field Degrees) (Beam, error) {
	b, err := beamShape(beam)
	if err != nil {
		return Beam{}, err
	}
	what := fmt.Sprintf("a field angle of %v degrees at a beam angle of %v", float64(field), float64(beam))
	if !(field > beam && field < 180) {
		return Beam{}, &colour.Error{What: what, Why: "the light falls to 10 % farther out than to 50 %, and in front of the lamp", Mend: "give full angles, the field wider than the beam and under 180 degrees"}
	}
	b.shape = b.shapeFor(field)
	if !(b.shape > leastShape) {
		return Beam{}, &colour.Error{What: what, Why: "so wide a field makes a spike in the middle and not a beam", Mend: "give a field of about twice the beam, or leave it out"}
	}
	return b.withLumens(f)
}

const (
	// leastBeam is narrower than any lamp's.
	leastBeam Degrees = 0.1
	// leastShape is where the top of a beam turns from round to a spike.
	leastShape = 0.5
	// mostShape is a cone with an edge as hard as any: 10 % of the light is
	// a millionth of the angle beside 50 %.
	mostShape = 1e6
)

// shapeFor returns p for a field angle at b's beam angle, of at most mostShape.
func (b Beam) shapeFor(field Degrees) float64 {
	wider := max(math.Log(halvings(field)*b.exponent), 0) // rounding may put it under 0
	return min(math.Log(math.Log2(10))/wider, mostShape)
}

// beamShape returns the cosine power of a beam angle, dark.
func beamShape(beam Degrees) (Beam, error) {
	if !(beam >= leastBeam && beam < 180) {
		return Beam{}, &colour.Error{What: fmt.Sprintf("a beam angle of %v degrees", float64(beam)), Why: "it is the full angle between the directions of half the light, in front of the lamp", Mend: "give an angle of 0.1 and up, under 180 degrees"}
	}
	return Beam{exponent: 1 / halvings(beam), shape: 1}, nil
}

// halvings returns log2(1/cos(a/2)) of a full angle: by the sine of its
// quarter, which keeps its digits when the angle is small.
func halvings(a Degrees) float64 {
	s := math.Sin(a.Radians() / 4)
	return -math.Log1p(-2*s*s) / math.Ln2
}

// withLumens returns b at the peak that makes it give f in all.
func (b Beam) withLumens(f Lumens) (Beam, error) {
	if !(f >= 0) || math.IsInf(float64(f), 1) {
		return Beam{}, &colour.Error{What: fmt.Sprintf("%v lumens", float64(f)), Why: "a lamp gives some light or none", Mend: "give lumens of 0 and up"}
	}
	b.Peak = Candela(float64(f) / b.solidAngle())
	return b, nil
}

// At returns the intensity at an angle off the axis, by its cosine: 0 from
// the side and from behind.
func (b Beam) At(cos float64) Candela {
	switch {
	case cos <= 0:
		return 0
	case cos >= 1 || b.exponent == 0: // rounding may put a cosine over 1
		return b.Peak
	}
	// Logarithms and not math.Pow: under half of the time, the same to 1e-13.
	x := -math.Log(cos) * b.exponent
	if b.shape != 1 {
		x = math.Ln2 * math.Exp(b.shape*math.Log(x/math.Ln2))
	}
	return b.Peak * Candela(math.Exp(-x))
}

// AngleAt returns the full angle between the two directions of the given share
// of the peak, over 0 and up to 1.
func (b Beam) AngleAt(share float64) Degrees {
	x := math.Pow(-math.Log2(share), 1/b.shape)
	versine := -math.Expm1(-x * math.Ln2 / b.exponent) // 1 - cos θ
	return degrees(4 * math.Asin(math.Sqrt(versine/2)))
}

// BeamAngle returns the full angle between the 50 % points [CIE S 017].
func (b Beam) BeamAngle() Degrees { return b.AngleAt(0.5) }

// FieldAngle returns the full angle between the 10 % points [IES HB]; of a
// cosine power 2 acos(0.1^(1/m)).
func (b Beam) FieldAngle() Degrees { return b.AngleAt(0.1) }

// Exponent returns m, the power of the cosine that has b's beam angle.
func (b Beam) Exponent() float64 { return b.exponent }

// Shape returns p: 1 for a cosine power, more for a flatter beam.
func (b Beam) Shape() float64 { return b.shape }

// Lumens returns all the light of b.
func (b Beam) Lumens() Lumens { return Lumens(float64(b.Peak) * b.solidAngle()) }

// UniformCone returns the intensity of a lamp that spreads f evenly over a cone
// of the given full angle, over 0 and up to 360 degrees, and nothing beside it:
//
//	I = Φ/(2π(1 - cos(a/2)))
//
// Of a real beam of 15 to 60 degrees that is 28 to 43 % too high, since its
// lumens reach farther out than its beam angle.
func UniformCone(f Lumens, angle Degrees) Candela {
	s := math.Sin(angle.Radians() / 4) // 1 - cos a/2 = 2 sin² a/4, exact when small
	return Candela(float64(f) / (4 * math.Pi * s * s))
}
