package transport

import (
	"fmt"
	"math"

	"linkboy/colour/solid"
)

// Mask is a picture that a source projects: a share of its light in each direction, and
// none beside the picture. It is thrown from the middle of the source and sharp at any
// distance, as if it were in focus there.
type Mask struct {
	Wide, High int
	Pass       []byte // 255 lets all through; rows from the top
	// Right and Up are the unit sides of the picture, square to the source's Facing.
	Right, Up solid.Vec
	// HalfX and HalfY are the tangents of the angles from the axis to its sides.
	HalfX, HalfY float64
}

// maskMost is the most points along a side of a mask.
const maskMost = 1024

func (m *Mask) check(facing solid.Vec) error {
	switch {
	case m.Wide < 1 || m.High < 1 || m.Wide > maskMost || m.High > maskMost || len(m.Pass) != m.Wide*m.High:
		return fmt.Errorf("%w: its mask of %d by %d has %d points", ErrSource, m.Wide, m.High, len(m.Pass))
	case !(m.HalfX > 0 && m.HalfY > 0) || math.IsInf(m.HalfX, 1) || math.IsInf(m.HalfY, 1):
		return fmt.Errorf("%w: its mask reaches %g and %g", ErrSource, m.HalfX, m.HalfY)
	}
	for _, v := range [][2]solid.Vec{{m.Right, m.Right}, {m.Up, m.Up}, {m.Right, m.Up}, {m.Right, facing}, {m.Up, facing}} {
		want := 0.0
		if v[0] == v[1] {
			want = 1
		}
		if !(math.Abs(v[0].Dot(v[1])-want) < 1e-6) {
			return fmt.Errorf("%w: its mask has the sides %v and %v", ErrSource, m.Right, m.Up)
		}
	}
	return nil
}

// share is what passes towards d from the middle of the source, between the points of the
// picture.
func (m *Mask) share(d, facing solid.Vec) float64 {
	along := d.Dot(facing)
	if along <= 0 {
		return 0
	}
	x, y := d.Dot(m.Right)/(along*m.HalfX), d.Dot(m.Up)/(along*m.HalfY)
	if math.Abs(x) > 1 || math.Abs(y) > 1 {
		return 0
	}
	i, fx := split((x+1)/2*float64(m.Wide) - 0.5)
	j, fy := split((1-y)/2*float64(m.High) - 0.5)
	sum := 0.0
	for k := range 4 {
		di, dj := k%2, k/2
		at := min(max(j+dj, 0), m.High-1)*m.Wide + min(max(i+di, 0), m.Wide-1)
		sum += weight(fx, di) * weight(fy, dj) * float64(m.Pass[at])
	}
	return sum / 255
}
