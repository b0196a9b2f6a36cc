package stage

import (
	"linkboy/colour/camera"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
)

// Eye tells what a camera and a meter make of every cell, from the bytes on the
// wire. One goroutine uses it at a time.
type Eye struct {
	stage *Stage
	cells []camera.Prepared // of each cell; cells of one type and mode share theirs
	pass  []float64         // of each cell: the share of its light that passes its diffusion
	drive []emitters.Drives
	wide  []float64 // of each cell: its beam angle in degrees
	blend []blend   // of each zoom of the stage: the last one
}

// NewEye prepares an eye for a balanced camera.
func NewEye(s *Stage, view camera.View) *Eye {
	type kind struct {
		t *lamp.Type
		m *lamp.Mode
	}
	known := map[kind]camera.Prepared{}
	e := &Eye{stage: s, drive: make([]emitters.Drives, len(s.Plan.Cells)), wide: make([]float64, len(s.Plan.Cells)), blend: make([]blend, len(s.zooms))}
	for i := range s.Plan.Cells {
		l := s.Plan.Cells[i].Lamp.Lamp
		k := kind{l.Type, l.Mode}
		p, ok := known[k]
		if !ok {
			p = view.Prepare(l.Type.EmitterSpectra(l.Mode)...)
			known[k] = p
		}
		e.cells = append(e.cells, p)
		e.pass = append(e.pass, s.Pass(i))
	}
	return e
}

// Drives are what the emitters of a cell do by the bytes that were seen last, 0..1 of
// their light. They are not to be changed.
func (e *Eye) Drives(cell int) []float64 { return e.drive[cell][:] }

// Pass is the share of a cell's light that comes through what stands before its lamp.
func (s *Stage) Pass(cell int) float64 {
	if d := s.Plan.Cells[cell].Lamp.Diffusion; d != nil {
		return d.Factor
	}
	return 1
}

// See gives the response of every source behind its diffusion: Y in lumens, and R, G, B the lumens of
// the balance white that would expose the channel alike. dst must have room for
// one a source of the place. No allocation.
func (e *Eye) See(slots [][]byte, dst []camera.Response) {
	e.stage.Plan.Drives(slots, e.drive)
	for i := range e.cells {
		dst[i] = e.cells[i].Mix(e.drive[i][:]).Scale(e.pass[i])
	}
	if len(e.blend) == 0 {
		return
	}
	e.stage.Plan.Spreads(slots, e.wide)
	clear(dst[len(e.cells):len(e.stage.Place.Sources)])
	for i := range e.blend {
		z, b := &e.stage.zooms[i], &e.blend[i]
		if deg := e.wide[z.cell]; deg != b.deg {
			*b = z.blend(deg)
		}
		all := dst[z.cell]
		dst[z.cell] = camera.Response{}
		dst[b.narrow] = all.Scale(1 - b.share)
		dst[b.wide] = dst[b.wide].Add(all.Scale(b.share))
	}
}
