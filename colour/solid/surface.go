package solid

import (
	"errors"
	"fmt"
	"math"
)

// Shape is what a surface is a piece of.
type Shape uint8

// The shapes.
const (
	Rectangle Shape = iota // or any parallelogram
	Triangle
	Disc
	Tube // the side of a cylinder
	Ball
)

// ErrFlat is a surface without area.
var ErrFlat = errors.New("the surface has no area")

// Surface is one side of a piece of a plane, of a cylinder or of a sphere.
// Surfaces are made by functions, which check them.
type Surface struct {
	shape Shape
	at    Vec     // corner; centre of a disc and a ball, of the foot of a tube
	u, v  Vec     // edges; radii square to each other
	w     Vec     // axis of a tube
	n     Vec     // unit normal of a flat one
	du    Vec     // dual to u, v, w: coordinates of q are q·du, q·dv, q·dw
	dv    Vec     //
	dw    Vec     //
	round float64 // radius of a tube and a ball
	area  float64 // m²
}

// NewRectangle is a parallelogram with a corner and two edges; its normal is
// that of u × v.
func NewRectangle(corner, u, v Vec) (Surface, error) { return flat(Rectangle, corner, u, v, 1) }

// NewTriangle is the triangle corner, corner+u, corner+v.
func NewTriangle(corner, u, v Vec) (Surface, error) { return flat(Triangle, corner, u, v, 0.5) }

// NewDisc is a disc with a unit normal and a radius in metres.
func NewDisc(centre, normal Vec, radius float64) (Surface, error) {
	s, t := normal.Unit().Frame()
	return newDisc(centre, s.Scale(radius), t.Scale(radius))
}

// newDisc is a disc with two radii square to each other.
func newDisc(centre, u, v Vec) (Surface, error) { return flat(Disc, centre, u, v, math.Pi) }

func flat(shape Shape, at, u, v Vec, share float64) (Surface, error) {
	n := u.Cross(v)
	area := n.Length()
	s := Surface{shape: shape, at: at, u: u, v: v, n: n.Unit(), area: share * area}
	if !(area > 0) || !at.IsFinite() || !n.IsFinite() {
		return s, fmt.Errorf("%w: edges %v and %v", ErrFlat, u, v)
	}
	s.du = v.Cross(s.n).Scale(1 / u.Dot(v.Cross(s.n)))
	s.dv = u.Cross(s.n).Scale(1 / v.Dot(u.Cross(s.n)))
	return s, nil
}

// NewTube is the outside of a cylinder without its ends, from the centre of its
// foot along an axis.
func NewTube(foot, axis Vec, radius float64) (Surface, error) {
	long := axis.Length()
	x, y := axis.Unit().Frame()
	s := Surface{
		shape: Tube, at: foot, u: x.Scale(radius), v: y.Scale(radius), w: axis, round: radius,
		du: x.Scale(1 / radius), dv: y.Scale(1 / radius), dw: axis.Scale(1 / (long * long)),
		area: 2 * math.Pi * radius * long,
	}
	if !(s.area > 0) || !foot.IsFinite() || !axis.IsFinite() || math.IsInf(radius, 0) {
		return s, fmt.Errorf("%w: a cylinder of radius %g m and length %g m", ErrFlat, radius, long)
	}
	return s, nil
}

// NewBall is the outside of a sphere.
func NewBall(centre Vec, radius float64) (Surface, error) {
	s := Surface{
		shape: Ball, at: centre, u: Vec{X: radius}, v: Vec{Y: radius}, w: Vec{Z: radius},
		round: radius, area: 4 * math.Pi * radius * radius,
	}
	if !(radius > 0) || !centre.IsFinite() || math.IsInf(radius, 0) {
		return s, fmt.Errorf("%w: a sphere of radius %g m", ErrFlat, radius)
	}
	return s, nil
}

// Shape returns what the surface is a piece of.
func (s *Surface) Shape() Shape { return s.shape }

// Area returns the area in m².
func (s *Surface) Area() float64 { return s.area }

// Flipped returns the other side of a flat surface: u and v change places.
func (s Surface) Flipped() Surface {
	s.u, s.v = s.v, s.u
	s.du, s.dv = s.dv, s.du
	s.n = s.n.Scale(-1)
	return s
}

// Sides returns the length in metres of a line of constant v, and of one of
// constant u, through the middle of the surface.
func (s *Surface) Sides() (u, v float64) {
	switch s.shape {
	case Disc:
		return 2 * s.u.Length(), 2 * s.v.Length()
	case Tube:
		return 2 * math.Pi * s.u.Length(), s.w.Length()
	case Ball:
		return 2 * math.Pi * s.u.Length(), math.Pi * s.u.Length()
	}
	return s.u.Length(), s.v.Length()
}

// Around reports whether u = 0 and u = 1 are the same line.
func (s *Surface) Around() bool { return s.shape == Tube || s.shape == Ball }

// At returns the point at (u, v), and whether it is on the surface: a corner of
// the square is not on a disc, half of it not on a triangle.
func (s *Surface) At(u, v float64) (p Vec, on bool) {
	switch s.shape {
	case Triangle:
		return s.at.Add(s.u.Scale(u)).Add(s.v.Scale(v)), u+v <= 1
	case Disc:
		x, y := 2*u-1, 2*v-1
		return s.at.Add(s.u.Scale(x)).Add(s.v.Scale(y)), x*x+y*y <= 1
	case Tube:
		sin, cos := math.Sincos(2 * math.Pi * u)
		return s.at.Add(s.u.Scale(cos)).Add(s.v.Scale(sin)).Add(s.w.Scale(v)), true
	case Ball:
		sin, cos := math.Sincos(2 * math.Pi * u)
		z := 2*v - 1 // zones of one height have one area (Archimedes)
		r := math.Sqrt(max(0, 1-z*z))
		return s.at.Add(s.u.Scale(r * cos)).Add(s.v.Scale(r * sin)).Add(s.w.Scale(z)), true
	}
	return s.at.Add(s.u.Scale(u)).Add(s.v.Scale(v)), true
}

// Normal returns the unit normal at a point of the surface.
func (s *Surface) Normal(p Vec) Vec {
	switch s.shape {
	case Tube:
		q := p.Sub(s.at)
		return s.u.Scale(q.Dot(s.du)).Add(s.v.Scale(q.Dot(s.dv))).Unit()
	case Ball:
		return p.Sub(s.at).Unit()
	}
	return s.n
}

// box returns a box around the surface.
func (s *Surface) box() box {
	var b box
	switch s.shape {
	case Rectangle:
		return around(s.at, s.at.Add(s.u), s.at.Add(s.v), s.at.Add(s.u).Add(s.v))
	case Triangle:
		return around(s.at, s.at.Add(s.u), s.at.Add(s.v))
	case Ball:
		r := s.u.Length()
		reach := Vec{r, r, r}
		return around(s.at.Sub(reach), s.at.Add(reach))
	case Tube:
		b = around(s.at, s.at.Add(s.w))
	case Disc:
		b = around(s.at)
	}
	// A circle of radii u and v reaches √(u² + v²) along each axis.
	reach := Vec{math.Hypot(s.u.X, s.v.X), math.Hypot(s.u.Y, s.v.Y), math.Hypot(s.u.Z, s.v.Z)}
	return box{b.low.Sub(reach), b.high.Add(reach)}
}
