package meter

import (
	"math"

	"linkboy/colour/camera"
	"linkboy/colour/photometry"
	"linkboy/colour/picture"
	"linkboy/colour/solid"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// Lamp is what the camera sees of a lamp in shot: of its brightest cell.
type Lamp struct {
	ID      string
	Cell    int // 1-based
	Over    float64
	Hottest camera.Channel
	Clips   bool
	// KeepColour is the share of its level now at which it would just not clip: 1 or
	// more where it does not.
	KeepColour float64
}

// Lamps reads every lit lamp that is in shot and not hidden, in rig order.
func (m *Meter) Lamps() []Lamp {
	frame := picture.NewFinder(m.set.Camera(m.setup), picture.Wide)
	var all []Lamp
	for _, r := range m.set.Plan.Location.Rig {
		if lamp, seen := m.lamp(r, frame); seen {
			all = append(all, lamp)
		}
	}
	return all
}

// lamp reads one lamp; false where no lit cell is in shot.
func (m *Meter) lamp(r *cues.RigLamp, frame picture.Finder) (lamp Lamp, seen bool) {
	lamp = Lamp{ID: r.ID, Over: math.Inf(-1)}
	from := stage.Vec(m.setup.Camera)
	first, n := m.set.Plan.CellsOf(r)
	for k := first; k < first+n; k++ {
		at := m.set.Place.Sources[k].Centre
		if !frame.Sees(at) || m.lit.Scene().Blocked(from, at) {
			continue
		}
		level, channel := m.glare(k, at, from).Hottest()
		if over := stops(level, m.camera.KeyLux()) - math.Log2(photometry.MiddleGrey); level > 0 && over > lamp.Over {
			lamp.Cell, lamp.Over, lamp.Hottest, seen = k-first+1, over, channel, true
		}
	}
	margin := m.camera.Over - lamp.Over
	lamp.Clips, lamp.KeepColour = margin <= 0, math.Exp2(margin)
	return lamp, seen
}

// glare is what each channel gets from the middle of a cell's face, as of a white card
// under so many lux.
func (m *Meter) glare(cell int, at, from solid.Vec) (sum camera.RGB) {
	seen := &m.set.Lamps[cell]
	for _, k := range seen.Sources {
		glare := math.Pi * m.set.Place.Sources[k].Glare(seen.Face, at, from)
		sum.R, sum.G, sum.B = sum.R+glare*m.cells[k].R, sum.G+glare*m.cells[k].G, sum.B+glare*m.cells[k].B
	}
	return sum
}
