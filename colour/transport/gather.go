package transport

import (
	"math"

	"linkboy/colour/solid"
)

// What a ray of a hemisphere can meet beside a texel.
const (
	sky    = -1
	within = -2 // the back of something: the ray started inside it
)

// hemisphere casts n rays from the spots of a texel, spread as the cosine, and
// puts the texel that each meets into met. The rays follow the lattice, shifted
// by chance.
func hemisphere(scene *solid.Scene, a *Atlas, from []spot, c *chance, met []int32) {
	dx, dy := c.next(), c.next()
	for k := range met {
		x, y := lattice(k)
		met[k] = cast(scene, a, from[k%len(from)], part(x+dx), part(y+dy))
	}
}

// lattice returns point k of a sequence that fills the unit square evenly, whatever
// its length (M. Roberts, The Unreasonable Effectiveness of Quasirandom Sequences,
// 2018: the golden ratio of the plane, ρ³ = ρ + 1, from memory).
func lattice(k int) (x, y float64) {
	const g1, g2 = 0.7548776662466927, 0.5698402909980532 // 1/ρ, 1/ρ²
	return part(0.5 + g1*float64(k)), part(0.5 + g2*float64(k))
}

// even returns point k of n that fill the unit square evenly, x in even steps (the
// lattice of the golden ratio).
func even(k, n int) (x, y float64) {
	const g = 0.6180339887498949 // (√5 - 1)/2
	return (float64(k) + 0.5) / float64(n), part(0.5 + g*float64(k))
}

// part is what is behind the point.
func part(x float64) float64 { return x - math.Floor(x) }

// cast sends one ray, (x, y) in the unit square spread as the cosine (Malley's
// method: up from a disc).
func cast(scene *solid.Scene, a *Atlas, p spot, x, y float64) int32 {
	s, t := p.normal.Frame()
	r := math.Sqrt(x)
	sin, cos := math.Sincos(2 * math.Pi * y)
	d := s.Scale(r * cos).Add(t.Scale(r * sin)).Add(p.normal.Scale(math.Sqrt(1 - x)))
	hit, ok := scene.Nearest(solid.Ray{At: p.at, Along: d}, lift, math.Inf(1))
	switch {
	case !ok:
		return sky
	case hit.Behind:
		return within
	}
	return int32(a.Grids[hit.Surface].texel(hit.U, hit.V))
}

// lift is how far from its surface a ray begins to meet others, in metres.
const lift = 1e-6

// inside reports whether a spot lies within something solid.
func inside(scene *solid.Scene, p spot) bool {
	hit, ok := scene.Nearest(solid.Ray{At: p.at, Along: p.normal}, lift, math.Inf(1))
	return ok && hit.Behind
}
