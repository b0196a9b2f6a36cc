package stage

import (
	"fmt"

	"linkboy/colour/solid"
	"linkboy/cues"
)

// shape adds the surfaces of a set piece.
func (b *builder) shape(shape cues.Shape) {
	switch s := shape.(type) {
	case cues.Box:
		x, y, z := edges(s.Size, s.TurnDeg)
		b.box(Vec(s.Centre), x, y, z)
	case cues.Plane:
		b.both(solid.NewRectangle(Vec(s.Corner), Vec(s.Along), Vec(s.Across)))
	case cues.Cylinder:
		b.cylinder(Vec(s.Foot), Vec(s.Axis), s.Radius)
	case cues.Steps:
		b.steps(&s)
	case cues.Mesh:
		b.mesh(&s)
	default:
		b.err = fmt.Errorf("there is no shape %T", shape)
	}
}

// edges gives those of a box turned about z, each in full.
func edges(size cues.Point, turnDeg float64) (x, y, z solid.Vec) {
	sin, cos := cues.TurnBy(turnDeg)
	return solid.Vec{X: cos * size[0], Y: sin * size[0]}, solid.Vec{X: -sin * size[1], Y: cos * size[1]}, solid.Vec{Z: size[2]}
}

// box adds the six sides of a box with edges x, y and z, right-handed.
func (b *builder) box(centre, x, y, z solid.Vec) {
	low := centre.Sub(x.Add(y).Add(z).Scale(0.5))
	b.rectangle(low, y, x)
	b.rectangle(low.Add(z), x, y)
	b.rectangle(low, z, y)
	b.rectangle(low.Add(x), y, z)
	b.rectangle(low, x, z)
	b.rectangle(low.Add(y), z, x)
}

// cylinder adds a cylinder with its ends.
func (b *builder) cylinder(foot, axis solid.Vec, radius float64) {
	b.put(solid.NewTube(foot, axis, radius))
	b.put(solid.NewDisc(foot, axis.Scale(-1), radius))
	b.put(solid.NewDisc(foot.Add(axis), axis, radius))
}

// steps adds a flight: u leads up it, v across, w upwards, each in full. Its sides
// are a strip for each step, so that all of them together close it without
// surfaces inside.
func (b *builder) steps(s *cues.Steps) {
	if s.Count < 1 {
		b.err = fmt.Errorf("a flight of %d steps", s.Count)
		return
	}
	x, y, w := edges(s.Size, s.TurnDeg)
	u, v := x, y
	switch s.Rise {
	case cues.RiseX:
	case cues.RiseBackX:
		u, v = x.Scale(-1), y.Scale(-1)
	case cues.RiseY:
		u, v = y, x.Scale(-1)
	case cues.RiseBackY:
		u, v = y.Scale(-1), x
	default:
		b.err = fmt.Errorf("steps cannot rise to %q", s.Rise)
		return
	}
	low := Vec(s.Centre).Sub(u.Add(v).Add(w).Scale(0.5))
	share := 1 / float64(s.Count)
	depth, height := u.Scale(share), w.Scale(share)
	for i := range s.Count {
		at, done := low.Add(depth.Scale(float64(i))), height.Scale(float64(i))
		b.rectangle(at.Add(done), height, v) // riser
		up := height.Scale(float64(i + 1))
		b.rectangle(at.Add(up), depth, v) // tread
		b.rectangle(at, depth, up)
		b.rectangle(at.Add(v), up, depth)
	}
	b.rectangle(low, v, u)
	b.rectangle(low.Add(u), v, w)
}

// mesh adds the triangles of a file: the outside of a closed mesh, whichever way
// its triangles run, else both sides of each.
func (b *builder) mesh(m *cues.Mesh) {
	if m.Triangles == nil {
		b.err = fmt.Errorf("the mesh %s is not there", m.File)
		return
	}
	closed, inverted := m.Triangles.Closed(), m.Triangles.Volume() < 0
	for _, t := range m.Triangles.Triangles {
		at, to, on := Vec(m.Point(t[0])), Vec(m.Point(t[1])), Vec(m.Point(t[2]))
		if inverted {
			to, on = on, to
		}
		s, err := solid.NewTriangle(at, to.Sub(at), on.Sub(at))
		switch {
		case err != nil: // a sliver that lost its area to rounding where it was put
		case closed:
			b.put(s, nil)
		default:
			b.both(s, nil)
		}
	}
	if len(b.pieces) == 0 && b.err == nil {
		b.err = fmt.Errorf("the mesh %s: %w", m.File, solid.ErrFlat)
	}
}
