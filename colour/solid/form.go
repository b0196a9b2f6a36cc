package solid

import "fmt"

// Form is what a surface is made from, in metres: for whoever draws one, sends
// one or keeps one.
type Form struct {
	Shape  Shape
	At     Vec     // corner; centre of a disc and a ball, of the foot of a tube
	U, V   Vec     // edges; radii of a disc; U is the axis of a tube
	Radius float64 // of a tube and a ball
}

// Form returns what the surface is made from.
func (s *Surface) Form() Form {
	switch s.shape {
	case Tube:
		return Form{Shape: Tube, At: s.at, U: s.w, Radius: s.round}
	case Ball:
		return Form{Shape: Ball, At: s.at, Radius: s.round}
	}
	return Form{Shape: s.shape, At: s.at, U: s.u, V: s.v}
}

// Surface returns the surface that is made from f. The error is ErrFlat, or that
// there is no such shape.
func (f Form) Surface() (Surface, error) {
	switch f.Shape {
	case Rectangle:
		return NewRectangle(f.At, f.U, f.V)
	case Triangle:
		return NewTriangle(f.At, f.U, f.V)
	case Disc:
		return newDisc(f.At, f.U, f.V)
	case Tube:
		return NewTube(f.At, f.U, f.Radius)
	case Ball:
		return NewBall(f.At, f.Radius)
	}
	return Surface{}, fmt.Errorf("no surface has shape %d", f.Shape)
}
