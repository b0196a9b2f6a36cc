package picture

import (
	"errors"
	"fmt"
	"math"

	"linkboy/colour/solid"
)

// Camera is where a picture is taken from, level and without distortion.
type Camera struct {
	At, LookAt solid.Vec
	LensMM     float64 // focal length
	WidthMM    float64 // of the sensor, across the picture
}

// Errors of Camera.
var (
	ErrLooksNowhere = errors.New("the camera stands where it looks")
	ErrLens         = errors.New("a lens and a sensor have a size")
)

// Angle is the horizontal angle of view: 2·atan(width/(2·focal length)), for a
// lens focused far away. A 35 mm lens on 24.9 mm sees 39.2°.
func (c Camera) Angle() (degrees float64) {
	return 2 * math.Atan(c.WidthMM/(2*c.LensMM)) * 180 / math.Pi
}

// view is a camera ready to cast.
type view struct {
	at                 solid.Vec
	ahead, right, down solid.Vec // to the middle, and from it to the edges
}

// view prepares the camera for pictures of an aspect, width over height.
func (c Camera) view(aspect float64) (view, error) {
	if !(c.LensMM > 0 && c.WidthMM > 0) {
		return view{}, fmt.Errorf("%w: %g mm, %g mm wide", ErrLens, c.LensMM, c.WidthMM)
	}
	ahead := c.LookAt.Sub(c.At).Unit()
	if ahead == (solid.Vec{}) || !ahead.IsFinite() {
		return view{}, ErrLooksNowhere
	}
	right := ahead.Cross(solid.Vec{Z: 1})
	if right.Length() < 1e-9 { // straight up or down: the top of the picture is north
		right = solid.Vec{X: 1}
	}
	half := c.WidthMM / (2 * c.LensMM)
	right = right.Unit().Scale(half)
	down := ahead.Cross(right.Unit()).Scale(half / aspect)
	return view{c.At, ahead, right, down}, nil
}

// ray is the one through (x, y) of the picture, each 0..1, y down.
func (v *view) ray(x, y float64) solid.Ray {
	return solid.Ray{At: v.at, Along: v.ahead.Add(v.right.Scale(2*x - 1)).Add(v.down.Scale(2*y - 1))}
}

// Wide is the aspect of pictures, width over height.
const Wide = 16.0 / 9

// Finder tells what is in shot.
type Finder struct {
	v  view
	ok bool
}

// NewFinder gives the finder of a camera, for pictures of an aspect. That of a
// camera which cannot be sees nothing.
func NewFinder(c Camera, aspect float64) Finder {
	v, err := c.view(aspect)
	return Finder{v, err == nil}
}

// Sees reports whether a point is in the frame; what stands before it is not
// looked at.
func (f Finder) Sees(p solid.Vec) bool {
	if !f.ok {
		return false
	}
	d := p.Sub(f.v.at)
	z := d.Dot(f.v.ahead)
	x, y := d.Dot(f.v.right)/f.v.right.Dot(f.v.right), d.Dot(f.v.down)/f.v.down.Dot(f.v.down)
	return z > 0 && math.Abs(x) <= z && math.Abs(y) <= z
}
