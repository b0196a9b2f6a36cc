package meter

import (
	"math"
	"slices"

	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// faceHeight is that of a face over its mark, in metres.
const faceHeight = 1.6

// faceOf is where a face is at a mark: over its first point.
func faceOf(mark *cues.Mark) solid.Vec {
	return stage.Vec(mark.Points[0]).Add(solid.Vec{Z: faceHeight})
}

// plane is where a receptor is and which way it looks.
type plane struct{ at, normal solid.Vec }

// rows are what a lumen of each cell gives there: for the meter, and for red, green
// and blue of a camera.
type rows struct {
	lux    []float32
	colour [3][]float32
}

// mostPlanes bounds how many planes are kept, as receptors turn while light changes: each
// takes 16 bytes a cell.
const mostPlanes = 1024

// luminous are the shares of red, green and blue in what a meter reads of light
// that has bounced (ITU-R BT.709).
var luminous = [3]float32{0.2126, 0.7152, 0.0722}

// planes probes a lit place, each plane once. One goroutine uses it at a time.
type planes struct {
	set   *stage.Stage
	lit   *transport.Lit
	known map[plane]rows
	// without holds the place without some stand-ins, by their names.
	without map[string]*transport.Lit
}

func newPlanes(set *stage.Stage, lit *transport.Lit) planes {
	return planes{set: set, lit: lit, known: map[plane]rows{}, without: map[string]*transport.Lit{}}
}

// probe gives the rows of a plane.
func (p *planes) probe(at, normal solid.Vec) rows {
	key := plane{at, normal}
	r, known := p.known[key]
	if known {
		return r
	}
	if len(p.known) >= mostPlanes {
		clear(p.known)
	}
	r.colour = p.aside(at).Probe(at, normal)
	r.lux = make([]float32, len(r.colour[0]))
	for c, row := range r.colour {
		for k, v := range row {
			r.lux[k] += luminous[c] * v
		}
	}
	p.known[key] = r
	return r
}

// aside is the place without who stands where the receptor is, as people step aside
// for a meter.
func (p *planes) aside(at solid.Vec) *transport.Lit {
	var gone []stage.Thing
	key := ""
	for _, t := range p.set.Set.Things {
		if !t.Figure {
			continue
		}
		if d := at.Sub(p.stands(t.Name)); math.Hypot(d.X, d.Y) < arm {
			gone = append(gone, t)
			key += t.Name + "\n"
		}
	}
	if key == "" {
		return p.lit
	}
	if p.without[key] == nil {
		p.without[key] = p.lit.Without(func(surface int) bool {
			return slices.ContainsFunc(gone, func(t stage.Thing) bool { return surface >= t.First && surface < t.First+t.N })
		})
	}
	return p.without[key]
}

// arm is how near someone must stand to be in the way of a meter, in metres.
const arm = 0.5

// stands is where a stand-in is.
func (p *planes) stands(name string) solid.Vec {
	for _, in := range p.set.Plan.Location.StandIns {
		if in.Name == name {
			return stage.Vec(in.Place)
		}
	}
	return solid.Vec{X: math.Inf(1)}
}

// strongest is the direction that the light of some cells comes from at a point, each
// counted by its lumens, or alike where all are dark: the light vector (A. Gershun,
// The Light Field, 1936).
func (p *planes) strongest(at solid.Vec, cells []int, lumens func(k int) float64) solid.Vec {
	var dark, sum solid.Vec
	for k, i := range cells {
		d := p.set.Place.Sources[i].Centre.Sub(at)
		pull := d.Scale(1 / math.Pow(d.Length(), 3))
		dark, sum = dark.Add(pull), sum.Add(pull.Scale(lumens(k)))
	}
	for _, d := range []solid.Vec{sum, dark} {
		if d.Length() > 0 && d.IsFinite() {
			return d.Unit()
		}
	}
	return solid.Vec{Z: 1}
}
