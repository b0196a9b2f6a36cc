package meter

import (
	"linkboy/colour/camera"
	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// KeyGroup is the group that is the key, where a set-up does not swap it.
const KeyGroup = "key"

// Meter reads a place from one set-up. One goroutine uses it at a time.
type Meter struct {
	planes
	setup  *cues.Setup
	eye    *stage.Eye
	camera *cues.Camera      // of the set-up
	cells  []camera.Response // of each source
	key    string            // the group that does the key's job in the set-up
	// taken is what the operator hides of each receptor that looks at the camera.
	taken map[plane][]float32
}

// New prepares a meter for a place and one of its set-ups. The error is that of
// the camera's balance.
func New(set *stage.Stage, lit *transport.Lit, setup *cues.Setup) (*Meter, error) {
	shot := set.Plan.Show.Shot(setup)
	m := &Meter{planes: newPlanes(set, lit), setup: setup, camera: &shot, key: setup.Doing(KeyGroup), taken: map[plane][]float32{}}
	view, err := m.camera.View()
	if err != nil {
		return nil, err
	}
	m.eye = stage.NewEye(set, view)
	m.cells = make([]camera.Response, len(set.Place.Sources))
	return m, nil
}

// Set takes the bytes of a moment, as compile.Place.Light does. All readings
// that follow are of it.
func (m *Meter) Set(slots [][]byte) { m.eye.See(slots, m.cells) }

// members gives the sources of a group.
func (m *Meter) members(group string) []int { return m.set.SourcesOf(m.set.Plan.Members(group)) }

// lux sums what some sources give on a plane; all of them when cells is nil.
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
