package photometry

import (
	"fmt"
	"math"

	"linkboy/colour"
)

// Disc is a round flat Lambertian source that shines to one side: a softbox, a
// diffused reflector. The zero Disc is dark.
type Disc struct {
	Luminance Luminance
	Radius    float64 // metres, above 0
}

// NewDisc returns the disc of the given radius in metres that gives f.
func NewDisc(f Lumens, radius float64) (Disc, error) {
	if !(radius > 0 && f >= 0) || math.IsInf(float64(f), 1) || math.IsInf(radius, 1) {
		return Disc{}, &colour.Error{What: fmt.Sprintf("a disc of %v lm and a radius of %v m", float64(f), radius), Why: "it has a size and some light or none", Mend: "give a radius above 0 in metres and lumens of 0 and up"}
	}
	return Disc{Luminance: FlatLuminance(f, math.Pi*radius*radius), Radius: radius}, nil
}

// Candela returns the intensity of s in front, seen from so far that it is
// small.
func (s Disc) Candela() Candela {
	return Candela(float64(s.Luminance) * math.Pi * s.Radius * s.Radius)
}

// Facing returns the illuminance on a receiver parallel to the disc, at d
// metres, above 0, on its axis:
//
//	E = π L R²/(R² + d²)
//
// [Howell, B-12]. It is π L at the disc and the inverse square far off.
func (s Disc) Facing(d float64) Lux {
	d = max(d, leastDistance)
	r2 := s.Radius * s.Radius
	return Lux(math.Pi * float64(s.Luminance) * r2 / (r2 + d*d))
}

// Beside is Facing for a receiver that lies a metres beside the axis:
//
//	E = π L/2 [1 - (a² + d² - R²)/√((a² + d² + R²)² - 4a²R²)]
//
// [Howell, B-13].
func (s Disc) Beside(d, a float64) Lux {
	d = max(d, leastDistance)
	r2, a2, d2 := s.Radius*s.Radius, a*a, d*d
	sum := a2 + d2 + r2
	root := math.Sqrt(max(sum*sum-4*a2*r2, 0))
	// Brought to one denominator, so that nothing cancels far away:
	// 1 - u/w is (w² - u²)/(w(w + u)), and w² - u² is 4 d² R².
	u := sum - 2*r2
	if root == 0 { // on the rim itself
		return Lux(math.Pi * float64(s.Luminance) / 2)
	}
	if u < 0 {
		return Lux(math.Pi * float64(s.Luminance) / 2 * (1 - u/root))
	}
	return Lux(math.Pi * float64(s.Luminance) * 2 * d2 * r2 / (root * (root + u)))
}
