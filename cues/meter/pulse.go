package meter

import (
	"math"

	"linkboy/colour/exposure"
	"linkboy/colour/flicker"
	"linkboy/colour/photometry"
	"linkboy/cues"
)

// Pulse is what the camera makes of a lamp that dims by pulses, as its type says: of the
// cell on which it shows most. The numbers of generic types are invented.
type Pulse struct {
	ID       string
	Cell     int // 1-based
	Type     string
	Invented bool
	Hz       float64
	// Swing is by how many stops frames, or the bars in one, can differ, with the pulses
	// as far off their frequency as they may be; Shows tells that it is seen. Bars is how
	// many bars a rolling shutter then draws.
	Swing float64
	Shows bool
	Bars  float64
	// Nearest is the shutter angle nearest to the camera's at which every frame holds
	// whole pulses, as long as the lamp keeps to its frequency; HasNearest is false
	// where none does.
	Nearest    photometry.Degrees
	HasNearest bool
}

// wanders is how far pulses may be off their frequency, a share of it (from memory; test
// the lamp).
const wanders = 0.01

// Pulses reads every lamp that is dimmed by pulses now and whose type tells of them, in
// rig order. All emitters of a cell are taken to pulse in step.
func (m *Meter) Pulses() []Pulse {
	var all []Pulse
	for _, r := range m.set.Plan.Location.Rig {
		if p, dims := m.pulse(r); dims {
			all = append(all, p)
		}
	}
	return all
}

// pulse reads one lamp; false for one that does not pulse now.
func (m *Meter) pulse(r *cues.RigLamp) (p Pulse, dims bool) {
	kind := r.Lamp.Type
	hz := kind.PWM.Hz
	if hz == 0 {
		return p, false
	}
	angle, fps := photometry.Degrees(m.camera.ShutterDeg), m.camera.FPS
	p = Pulse{ID: r.ID, Type: kind.Name, Invented: kind.Invented, Hz: hz, Bars: flicker.Bars(hz, readout)}
	p.Nearest, p.HasNearest = flicker.Mains(hz/2).NearestSafeAngle(angle, fps) // light pulses twice a period of mains
	first, n := m.set.Plan.CellsOf(r)
	for cell := first; cell < first+n; cell++ {
		swing, pulses := m.swing(r, cell, exposure.ShutterSeconds(angle, fps))
		if pulses && (!dims || swing > p.Swing) {
			p.Cell, p.Swing, dims = cell-first+1, swing, true
		}
	}
	p.Shows = p.Swing >= flicker.LeastVisibleStops
	return p, dims
}

// swing is how far exposures of a cell can differ, in stops, and whether it pulses at all.
func (m *Meter) swing(r *cues.RigLamp, cell int, seconds float64) (worst float64, pulses bool) {
	const tries = 8 // to each side of the frequency
	kind := r.Lamp.Type
	drives := m.eye.Drives(cell)
	for try := -tries; try <= tries; try++ {
		least, most := 0.0, 0.0
		for i := range kind.Emitters {
			light := drives[i]
			if !(light > 0) {
				continue
			}
			w := flicker.PWM{Hz: kind.PWM.Hz * (1 + wanders*float64(try)/tries), Duty: flicker.DutyFor(light, kind.PWM.Between)}
			pulses = pulses || w.Duty > 0 && w.Duty < 1
			low, high := w.Light(seconds, kind.PWM.Between)
			least, most = least+kind.Emitters[i].Lumens*low, most+kind.Emitters[i].Lumens*high
		}
		if most > 0 {
			worst = max(worst, min(math.Log2(most/least), darkest))
		}
	}
	return worst, pulses
}
