package meter

import (
	"math"
	"sync"

	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// Levels reads the light of groups alone for who solves levels by it, as Mark does for
// its groups. It is safe for concurrent use.
type Levels struct {
	mu     sync.Mutex
	planes planes
}

// NewLevels reads a lit place.
func NewLevels(set *stage.Stage, lit *transport.Lit) *Levels {
	return &Levels{planes: newPlanes(set, lit)}
}

// PerLumen is as compile.Metered says.
func (l *Levels) PerLumen(mark *cues.Mark, cells []int, lumens, spreads, dst []float64) {
	l.mu.Lock()
	defer l.mu.Unlock()
	face := faceOf(mark)
	toward := steady(l.planes.strongest(face, cells, func(k int) float64 { return lumens[k] * l.planes.set.Pass(cells[k]) }))
	r := l.planes.probe(face, toward)
	for k, i := range cells {
		narrow, wide, share := l.planes.set.Blend(i, spreads[k])
		dst[k] = ((1-share)*float64(r.lux[narrow]) + share*float64(r.lux[wide])) * l.planes.set.Pass(i)
	}
}

// perUnit is how many steps a coordinate of a direction takes from 0 to 1.
const perUnit = 512

// steady puts a direction on a raster of a tenth of a degree: so that what is solved
// comes to rest, and few planes are probed. Solver and meter do it alike.
func steady(d solid.Vec) solid.Vec {
	step := func(x float64) float64 { return math.Round(x*perUnit) / perUnit }
	return solid.Vec{X: step(d.X), Y: step(d.Y), Z: step(d.Z)}.Unit()
}

// Lit is the lit place that is read.
func (l *Levels) Lit() *transport.Lit { return l.planes.lit }
