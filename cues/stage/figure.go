package stage

import (
	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
)

// Finishes of a figure.
var (
	// Skin throws back 36 % of white light, as light skin does (trade handbooks;
	// the share is weighted as ITU-R BT.709 weights red, green and blue). How it
	// parts over the three is made up.
	Skin = transport.Finish{R: 0.44, G: 0.345, B: 0.27}
	// Clothes are as grey as a grey card.
	Clothes = transport.Grey(0.18)
)

// Figure gives the surfaces of a simple figure of a person that stands at place
// and faces a point: cylinders and balls for feet, legs, trunk, arms, neck and
// head, with about the proportions of a grown person (7.6 heads high: common
// practice, no source). It is there to see where light and shadows fall, and is no
// likeness.
func Figure(place, facing cues.Point, heightM float64) ([]transport.Piece, error) {
	b := builder{}
	b.figure(Vec(place), Vec(facing), heightM)
	return b.pieces, b.err
}

// figure adds a figure. Lengths are shares of its height.
func (b *builder) figure(place, facing solid.Vec, height float64) {
	ahead := facing.Sub(place)
	ahead.Z = 0
	ahead = ahead.Unit().Scale(height)
	up := solid.Vec{Z: height}
	side := ahead.Cross(up).Scale(1 / height)
	at := func(s, a, u float64) solid.Vec {
		return place.Add(side.Scale(s)).Add(ahead.Scale(a)).Add(up.Scale(u))
	}
	upright := func(s, from, to, radius float64) {
		b.cylinder(at(s, 0, from), up.Scale(to-from), radius*height)
	}
	ball := func(s, u, radius float64) { b.put(solid.NewBall(at(s, 0, u), radius*height)) }

	b.finish = Clothes
	for _, half := range []float64{-1, 1} {
		b.cylinder(at(0.05*half, -0.04, 0.026), ahead.Scale(0.14), 0.026*height) // foot
		upright(0.05*half, 0.02, 0.48, 0.043)                                    // leg
		upright(0.045*half, 0.46, 0.815, 0.068)                                  // half of the trunk
		ball(0.115*half, 0.78, 0.04)                                             // shoulder
		upright(0.13*half, 0.45, 0.78, 0.026)                                    // arm
	}
	b.finish = Skin
	for _, half := range []float64{-1, 1} {
		ball(0.13*half, 0.44, 0.03) // hand
	}
	upright(0, 0.80, 0.89, 0.033) // neck
	ball(0, 0.934, 0.066)         // head
}

const (
	operatorHeight = 1.8  // m
	operatorBehind = 0.35 // m behind the lens
)

// Operator gives the figure of whoever holds the camera of u: behind it, on the
// highest surface under it, or where there is none with the camera at the eye. It
// throws a shadow, and stands up straight however low the camera is.
func (s *Set) Operator(u *cues.Setup) ([]transport.Piece, error) {
	camera := Vec(u.Camera)
	back := camera.Sub(Vec(u.LookAt))
	back.Z = 0
	if back == (solid.Vec{}) { // it looks straight down or up
		back = solid.Vec{Y: -1}
	}
	place := camera.Add(back.Unit().Scale(operatorBehind))
	if ground, ok := s.below(place); ok {
		place = ground
	} else {
		place.Z -= 0.934 * operatorHeight // the middle of its head
	}
	b := builder{}
	b.figure(place, place.Sub(back), operatorHeight)
	return b.pieces, b.err
}

// below gives the point of the highest surface under a point.
func (s *Set) below(p solid.Vec) (solid.Vec, bool) {
	const deep = 100 // m
	hit, ok := s.ground().Nearest(solid.Ray{At: p, Along: solid.Vec{Z: -1}}, 0, deep)
	return p.Sub(solid.Vec{Z: hit.T}), ok
}
