package transport

import (
	"fmt"
	"math"

	"linkboy/colour/solid"
)

// Beam is how light of a flat face spreads about its axis. PerLumen returns the
// intensity in candela for a lumen in a direction whose angle to the axis has
// this cosine, above 0; over the half space it integrates to 1.
type Beam interface{ PerLumen(cos float64) float64 }

// Source is one cell of a lamp. Its face is a rectangle about a centre, or where
// Across is zero a line, or where Along is zero too a point.
type Source struct {
	Centre        solid.Vec
	Along, Across solid.Vec // the sides of the face, in full
	// Facing is the unit axis of Beam. A cell that shines all round its line has
	// no Beam and no Facing: a tube without a back.
	Facing solid.Vec
	Beam   Beam
	Mask   *Mask // nil for none; only before a Beam
}

// round is the intensity for a lumen, square to it, of a line that shines all
// round: F = π²·I [IES, line sources].
const round = 1 / (math.Pi * math.Pi)

func (s *Source) check() error {
	switch {
	case !s.Centre.IsFinite() || !s.Along.IsFinite() || !s.Across.IsFinite():
		return fmt.Errorf("%w: it stands at %v, %v by %v", ErrSource, s.Centre, s.Along, s.Across)
	case s.Beam == nil && s.Along == (solid.Vec{}):
		return fmt.Errorf("%w: what shines all round has a length", ErrSource)
	case s.Beam != nil && math.Abs(s.Facing.Length()-1) > 1e-6:
		return fmt.Errorf("%w: it faces %v, which is not of length 1", ErrSource, s.Facing)
	case s.Mask != nil && s.Beam == nil:
		return fmt.Errorf("%w: what shines all round projects nothing", ErrSource)
	case s.Mask != nil:
		return s.Mask.check(s.Facing)
	}
	return nil
}

// Masked is the share of the light that the mask lets through to a point.
func (s *Source) Masked(p solid.Vec) float64 {
	if s.Mask == nil {
		return 1
	}
	return s.Mask.share(p.Sub(s.Centre), s.Facing)
}

// intensity returns the candela for a lumen from a point of the source towards
// another point a distance r away by d, without its mask.
func (s *Source) intensity(d solid.Vec, r float64) float64 {
	if s.Beam == nil {
		cos := d.Dot(s.Along) / (r * s.Along.Length())
		return round * math.Sqrt(max(0, 1-cos*cos))
	}
	cos := d.Dot(s.Facing) / r
	if cos <= 0 {
		return 0
	}
	return s.Beam.PerLumen(cos)
}

// Towards returns the light for a lumen on a plane at p that looks to the middle of the
// source: lux for a lumen, as if from its middle, and as if at least so far away. What
// stands between is not looked at.
func (s *Source) Towards(p solid.Vec, least float64) float64 {
	d := p.Sub(s.Centre)
	r := d.Length()
	if r == 0 {
		return 0
	}
	return s.Masked(p) * s.intensity(d, r) / max(r*r, least*least)
}

// lux returns the illuminance for a lumen, all of it from the point at, on a
// plane with normal n at p, without the mask: the inverse square and cosine law.
func (s *Source) lux(at, p, n solid.Vec) float64 {
	d := p.Sub(at)
	facing := -d.Dot(n)
	if facing <= 0 {
		return 0
	}
	square := d.Dot(d)
	r := math.Sqrt(square)
	return s.intensity(d, r) * facing / (r * square)
}

const (
	// perDistance is how many points are taken along a side as long as it is far
	// away: with 3 the error of a face seen head on is below 1 %.
	perDistance = 3
	// pointsMost is the most points along a side.
	pointsMost = 16
)

// points is how many points along a side of the source are taken from a
// distance.
func points(side, distance float64) int {
	if side == 0 {
		return 1
	}
	return max(1, min(pointsMost, int(math.Ceil(perDistance*side/distance))))
}

// at returns the point of the face at (a, b), each 0..1.
func (s *Source) at(a, b float64) solid.Vec {
	return s.Centre.Add(s.Along.Scale(a - 0.5)).Add(s.Across.Scale(b - 0.5))
}

// Lambert is the beam of a matt face: I = cos/π.
type Lambert struct{}

// PerLumen returns cos/π.
func (Lambert) PerLumen(cos float64) float64 { return cos / math.Pi }

// Glare returns the luminance of the source's face for a lumen, in cd/m² per
// lumen, at a point of it seen from another: intensity over the area as it is
// seen from there. Of a line that shines all round it is that of its tube.
func (s *Source) Glare(face solid.Surface, at, from solid.Vec) float64 {
	d := from.Sub(at)
	r := d.Length()
	if s.Beam == nil {
		// F = π²·L·D·l of a matt cylinder [IES, line sources]; the area of its side is π·D·l.
		return 1 / (math.Pi * face.Area())
	}
	cos := d.Dot(s.Facing) / r
	if cos <= 0 {
		return 0
	}
	return s.Masked(from) * s.intensity(d, r) / (face.Area() * cos)
}
