// Package mesh reads surfaces made of triangles from plain OBJ text, the
// exchange form that modelling programs write (Wavefront, Object Files, version
// 3.0; of it only vertices and faces).
package mesh

import (
	"math"

	"linkboy/colour/solid"
)

// Mesh is triangles between points. Every triangle has an area.
type Mesh struct {
	Points    []solid.Vec
	Triangles [][3]int // indices into Points, counterclockwise from outside
}

// Corners returns the corners of triangle i.
func (m *Mesh) Corners(i int) (a, b, c solid.Vec) {
	t := m.Triangles[i]
	return m.Points[t[0]], m.Points[t[1]], m.Points[t[2]]
}

// Area is the sum over the triangles, in the square of the file's unit.
func (m *Mesh) Area() float64 {
	sum := 0.0
	for i := range m.Triangles {
		a, b, c := m.Corners(i)
		sum += area(a, b, c)
	}
	return sum
}

func area(a, b, c solid.Vec) float64 { return b.Sub(a).Cross(c.Sub(a)).Length() / 2 }

// Volume returns what a closed mesh encloses: positive where its triangles run
// counterclockwise as seen from outside, negative where they all run the other
// way. By the divergence theorem it is the sum of the tetrahedra to one point;
// that point is the first of the mesh, so that a place far from the origin costs
// no digits.
func (m *Mesh) Volume() float64 {
	if len(m.Points) == 0 {
		return 0
	}
	from, sum := m.Points[0], 0.0
	for i := range m.Triangles {
		a, b, c := m.Corners(i)
		sum += a.Sub(from).Dot(b.Sub(from).Cross(c.Sub(from))) / 6
	}
	return sum
}

// Closed reports whether the mesh encloses something: each edge of a triangle is
// that of exactly one other, which runs along it the other way. Points at one
// place count as one, as programs write a point again for each side of a crease.
func (m *Mesh) Closed() bool {
	first := make(map[solid.Vec]int, len(m.Points))
	same := make([]int, len(m.Points))
	for i, p := range m.Points {
		if _, known := first[p]; !known {
			first[p] = i
		}
		same[i] = first[p]
	}
	edges := make(map[[2]int]int, 3*len(m.Triangles))
	for _, t := range m.Triangles {
		for k := range t {
			edges[[2]int{same[t[k]], same[t[(k+1)%3]]}]++
		}
	}
	for e, n := range edges {
		if n != 1 || edges[[2]int{e[1], e[0]}] != 1 {
			return false
		}
	}
	return len(edges) > 0
}

// Bounds returns the least and the greatest coordinates that the triangles reach.
func (m *Mesh) Bounds() (low, high solid.Vec) {
	far := math.Inf(1)
	low, high = solid.Vec{X: far, Y: far, Z: far}, solid.Vec{X: -far, Y: -far, Z: -far}
	for _, t := range m.Triangles {
		for _, i := range t {
			p := m.Points[i]
			low = solid.Vec{X: min(low.X, p.X), Y: min(low.Y, p.Y), Z: min(low.Z, p.Z)}
			high = solid.Vec{X: max(high.X, p.X), Y: max(high.Y, p.Y), Z: max(high.Z, p.Z)}
		}
	}
	return low, high
}
