package stage

import (
	"math"

	"linkboy/colour/solid"
)

// scene gives the surfaces first to first+n as something to cast rays into.
func (s *Set) scene(first, n int) *solid.Scene {
	surfaces := make([]solid.Surface, n)
	var sides [][2]int
	for i := range surfaces {
		p := &s.Pieces[first+i]
		surfaces[i] = p.Surface
		if other := p.Other - first; other > i && other < n {
			sides = append(sides, [2]int{i, other})
		}
	}
	return solid.NewScene(surfaces, sides)
}

// ground gives the set pieces without the figures.
func (s *Set) ground() *solid.Scene {
	n := 0
	for _, t := range s.Things {
		if !t.Figure {
			n = t.First + t.N
		}
	}
	return s.scene(0, n)
}

// hull is a solid thing with its own surfaces and a box around them.
type hull struct {
	Thing
	scene *solid.Scene
}

// hulls gives what a point can be inside of.
func (s *Set) hulls() []hull {
	var out []hull
	for _, t := range s.Things {
		if t.Solid {
			out = append(out, hull{t, s.scene(t.First, t.N)})
		}
	}
	return out
}

// skew is a direction along which no set is built, so that rays do not run in
// its surfaces.
var skew = solid.Vec{X: 0.5403, Y: 0.2797, Z: 0.7936}

// holds reports whether a point is inside: the surfaces that a ray leaves
// through outnumber those it enters by, however many parts overlap.
func (h *hull) holds(p solid.Vec) bool {
	around, least := 0, 0.0
	for range 2*h.N + 1 { // a ray meets a round surface twice
		hit, ok := h.scene.Nearest(solid.Ray{At: p, Along: skew}, least, math.Inf(1))
		if !ok {
			break
		}
		around--
		if hit.Behind {
			around += 2
		}
		least = hit.T + 1e-9*(1+hit.T)
	}
	return around > 0
}

// flush is how far what is fixed to a surface may lie in it, in metres.
const flush = 0.01

// deep reports whether a point is inside and not just at the surface.
func (h *hull) deep(p solid.Vec) bool {
	for _, d := range [...]solid.Vec{{}, {X: flush}, {X: -flush}, {Y: flush}, {Y: -flush}, {Z: flush}, {Z: -flush}} {
		if !h.holds(p.Add(d)) {
			return false
		}
	}
	return true
}
