package meter

import (
	"linkboy/colour/camera"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/stage"
)

const (
	// faceHeight is that of a face over its mark, in metres.
	faceHeight = 1.6
	// KeyGroup is the group that is the key.
	KeyGroup = "key"
)

// Meter reads a place from one set-up. One goroutine uses it at a time.
type Meter struct {
	set    *stage.Stage
	lit    *transport.Lit
	setup  *cues.Setup
	eye    *stage.Eye
	camera *cues.Camera // of the set-up
	cells  []camera.Response
	points map[plane]rows
}

// plane is where a receptor is and which way it looks.
type plane struct{ at, normal solid.Vec }

// rows are what a lumen of each cell gives there: for the meter, and for red, green
// and blue of a camera.
type rows struct {
	lux    []float32
	colour [3][]float32
}

// New prepares a meter for a place and one of its set-ups. The error is that of
// the camera's balance.
func New(set *stage.Stage, lit *transport.Lit, setup *cues.Setup) (*Meter, error) {
	shot := set.Plan.Show.Shot(setup)
	m := &Meter{set: set, lit: lit, setup: setup, camera: &shot, points: map[plane]rows{}}
	view, err := m.camera.View()
	if err != nil {
		return nil, err
	}
	m.eye = stage.NewEye(set, view)
	m.cells = make([]camera.Response, len(set.Plan.Cells))
	return m, nil
}

// Set takes the bytes of a moment, as compile.Place.Light does. All readings
// that follow are of it.
func (m *Meter) Set(slots [][]byte) { m.eye.See(slots, m.cells) }

// luminous are the shares of red, green and blue in what a meter reads of light
// that has bounced (ITU-R BT.709).
var luminous = [3]float32{0.2126, 0.7152, 0.0722}

// probe gives the rows of a plane, computed once.
func (m *Meter) probe(at, normal solid.Vec) rows {
	key := plane{at, normal}
	r, known := m.points[key]
	if known {
		return r
	}
	r.colour = m.lit.Probe(at, normal)
	r.lux = make([]float32, len(r.colour[0]))
	for c, row := range r.colour {
		for k, v := range row {
			r.lux[k] += luminous[c] * v
		}
	}
	m.points[key] = r
	return r
}

// lux sums what some cells give on a plane; all of them when cells is nil.
func (m *Meter) lux(r rows, cells []int) float64 {
	sum := 0.0
	if cells == nil {
		for k, v := range r.lux {
			sum += m.cells[k].Y * float64(v)
		}
		return sum
	}
	for _, k := range cells {
		sum += m.cells[k].Y * float64(r.lux[k])
	}
	return sum
}

// seen sums what the camera's channels get from a plane, in lux of the balance
// white.
func (m *Meter) seen(r rows) (v [3]float64) {
	for k := range m.cells {
		c := &m.cells[k]
		v[0] += c.R * float64(r.colour[0][k])
		v[1] += c.G * float64(r.colour[1][k])
		v[2] += c.B * float64(r.colour[2][k])
	}
	return v
}

// vec gives a point of the model.
func vec(p cues.Point) solid.Vec { return solid.Vec{X: p[0], Y: p[1], Z: p[2]} }
