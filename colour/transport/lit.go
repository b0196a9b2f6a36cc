package transport

import "linkboy/colour/solid"

// Lit is a place with its map: what a meter or a camera looks into. It is
// immutable and safe for concurrent use.
type Lit struct {
	place *Place
	scene *solid.Scene
	m     *Map
}

// NewLit puts a place and its map together. The map must be the place's.
func NewLit(p *Place, m *Map) *Lit { return &Lit{p, p.scene(), m} }

// Scene returns the surfaces of the place.
func (l *Lit) Scene() *solid.Scene { return l.scene }

// Without returns the place as it is metered without some of its surfaces, such as
// those of someone who steps aside: they hide nothing, and nothing is seen of them.
// What they throw on others is still in the light.
func (l *Lit) Without(hidden func(surface int) bool) *Lit {
	return &Lit{l.place, l.scene.Without(hidden), l.m}
}

// Map returns the light.
func (l *Lit) Map() *Map { return l.m }

// Finish returns the reflectance of a surface.
func (l *Lit) Finish(surface int) Finish { return l.place.Pieces[surface].Finish }

const (
	// probeRays is how many rays a meter casts for bounced light: 1024 leave 1 %
	// where all around is about as bright.
	probeRays = 1024
	// probeSums is how often a meter sums direct light, over other points of the
	// faces each time.
	probeSums = 64
)

// Probe returns what a meter at a point with a flat receptor of unit normal n
// reads for a lumen of each source: lux per lumen, for red, green and blue
// bounces. The receptor throws no shadow.
func (l *Lit) Probe(at, n solid.Vec) [3][]float32 {
	c := newChance(-1)
	p := spot{at, n}
	straight := make([]float32, len(l.place.Sources))
	d := direct{l.scene, l.place.Sources}
	for k := range probeSums {
		x, y := even(k, probeSums)
		d.at(p, 1.0/probeSums, straight, x, y)
	}
	met := make([]int32, probeRays)
	hemisphere(l.scene, &l.m.Atlas, []spot{p}, c, met)
	reflect := l.reflectances(met)
	var out [3][]float32
	for channel := range out {
		out[channel] = append([]float32(nil), straight...)
		for k, texel := range met {
			if texel >= 0 {
				add(out[channel], l.m.row(channel, int(texel)), reflect[k][channel]/probeRays)
			}
		}
	}
	return out
}

// reflectances are those at texels.
func (l *Lit) reflectances(texels []int32) [][3]float32 {
	out := make([][3]float32, len(texels))
	for k, t := range texels {
		if t < 0 {
			continue
		}
		f := l.place.Pieces[l.m.surfaceOf(int(t))].Finish
		out[k] = [3]float32{float32(f.R), float32(f.G), float32(f.B)}
	}
	return out
}

// Hidden returns what of a probe's straight light things would take that are not in
// the place, such as a person: lux per lumen of each source.
func (l *Lit) Hidden(at, n solid.Vec, things *solid.Scene) []float32 {
	taken := make([]float32, len(l.place.Sources))
	for k := range l.place.Sources {
		s := &l.place.Sources[k]
		sum := 0.0
		for i := range probeSums {
			x, y := even(i, probeSums)
			from := s.at(x, y)
			if e := s.lux(from, at, n); e > 0 && things.Blocked(at, from) && !l.scene.Blocked(at, from) {
				sum += e
			}
		}
		taken[k] = float32(s.Masked(at) * sum / probeSums)
	}
	return taken
}
