package transport

import (
	"sort"

	"linkboy/colour/solid"
)

// Map is what every cell does to every texel.
type Map struct {
	Atlas
	Sources  int
	Channels int // 1 when all surfaces are grey, else 3: red, green, blue
	// Lux holds, for each channel, the illuminance of texel t for a lumen of
	// source k at t·Sources + k, in lux per lumen; what is bounced is in it.
	Lux [3][]float32
	// Hidden texels are within something, such as the floor under a box; their
	// light is 0 and means nothing.
	Hidden []bool
}

// newMap makes an empty map; channels that are alike share their numbers.
func newMap(p *Place, a Atlas) *Map {
	m := &Map{Atlas: a, Sources: len(p.Sources), Channels: 1, Hidden: make([]bool, a.Texels)}
	if p.coloured() {
		m.Channels = 3
	}
	for c := range m.Lux {
		if c < m.Channels {
			m.Lux[c] = make([]float32, a.Texels*m.Sources)
		} else {
			m.Lux[c] = m.Lux[0]
		}
	}
	return m
}

// row is the light of all sources at a texel.
func (m *Map) row(channel, texel int) []float32 {
	return m.Lux[channel][texel*m.Sources : (texel+1)*m.Sources]
}

// Sum adds up the light of a look: into[t] becomes the illuminance of texel t in lux for
// sources of so many lumens, of one channel. No allocation.
func (m *Map) Sum(channel int, lumens []float32, into []float32) {
	for t := range into[:m.Texels] {
		into[t] = dot(lumens[:m.Sources], m.row(channel, t))
	}
}

// dot is the sum of products, in four sums that do not wait for each other.
func dot(a, b []float32) float32 {
	var s0, s1, s2, s3 float32
	b = b[:len(a)]
	k := 0
	for ; k+4 <= len(a); k += 4 {
		x, y := a[k:k+4:k+4], b[k:k+4:k+4]
		s0, s1, s2, s3 = s0+x[0]*y[0], s1+x[1]*y[1], s2+x[2]*y[2], s3+x[3]*y[3]
	}
	for ; k < len(a); k++ {
		s0 += a[k] * b[k]
	}
	return s0 + s1 + (s2 + s3)
}

// Tap is the texels around a point of a surface, and the weight of each. The weights
// add up to 1, or are 0 where all are hidden.
type Tap struct {
	Texel  [4]int32
	Weight [4]float32
}

// Tap returns where to read the light at (u, v) of a surface: between the
// middles of the texels around, as far as those are not hidden.
func (m *Map) Tap(surface int, s *solid.Surface, u, v float64) Tap {
	g := m.Grids[surface]
	x, y := u*float64(g.Nu)-0.5, v*float64(g.Nv)-0.5
	i, fx := split(x)
	j, fy := split(y)
	var tap Tap
	total := float32(0)
	for k := range tap.Texel {
		di, dj := k%2, k/2
		w := weight(fx, di) * weight(fy, dj)
		ti := min(max(i+di, 0), g.Nu-1)
		if s.Around() {
			ti = (i + di + g.Nu) % g.Nu
		}
		tj := min(max(j+dj, 0), g.Nv-1)
		t := g.First + tj*g.Nu + ti
		if m.Hidden[t] {
			w = 0
		}
		tap.Texel[k], tap.Weight[k] = int32(t), float32(w)
		total += float32(w)
	}
	if total > 0 {
		for k := range tap.Weight {
			tap.Weight[k] /= total
		}
	}
	return tap
}

func weight(f float64, far int) float64 {
	if far == 1 {
		return f
	}
	return 1 - f
}

// split parts x into a whole number at most x and the rest.
func split(x float64) (int, float64) {
	i := int(x)
	if x < 0 {
		i--
	}
	return i, x - float64(i)
}

// surfaceOf returns the surface that a texel is of.
func (a *Atlas) surfaceOf(texel int) int {
	return sort.Search(len(a.Grids), func(i int) bool { return a.Grids[i].First > texel }) - 1
}
