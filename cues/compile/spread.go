package compile

import (
	"slices"

	"linkboy/colour/lamp"
	"linkboy/cues"
)

// Spreads gives the beam angle of every cell in degrees, from the bytes on the wire as
// for Light; 0 for a lamp whose beam nothing spreads. dst gets one value a cell. It
// does not allocate.
func (p *Place) Spreads(slots [][]byte, dst []float64) {
	for i := range p.lamps {
		l := &p.lamps[i]
		if l.n == 0 {
			continue
		}
		deg := l.mode.SpreadDeg(l.sent(slots))
		for k := l.first; k < l.first+l.n; k++ {
			dst[k] = deg
		}
	}
}

// sent gives the bytes of the lamp; fewer where they are missing.
func (l *rigged) sent(slots [][]byte) []byte {
	if l.universe >= len(slots) || l.start >= len(slots[l.universe]) {
		return nil
	}
	bytes := slots[l.universe][l.start:]
	return bytes[:min(len(bytes), l.mode.Footprint)]
}

// Zooms gives the beam angles, in degrees and rising, that a lamp has here: the safe one
// and those that looks set; nil where nothing spreads its beam.
func (p *Place) Zooms(r *cues.RigLamp) []float64 {
	i, ok := p.byLamp[r]
	if !ok {
		return nil
	}
	zoom := p.lamps[i].mode.Zoom()
	if zoom == nil {
		return nil
	}
	angles := []float64{zoom.Safe}
	for _, look := range p.Looks() {
		for _, layer := range p.Show.Lineage(p.Location, look) {
			for k := range layer.Paint {
				angles = append(angles, p.setOn(&layer.Paint[k], r, zoom)...)
			}
		}
	}
	slices.Sort(angles)
	return slices.Compact(angles)
}

// setOn gives what a paint sets a parameter of a lamp to.
func (p *Place) setOn(paint *cues.Paint, r *cues.RigLamp, param *lamp.Param) (values []float64) {
	g := p.Location.Group(paint.On)
	if g == nil || !slices.ContainsFunc(g.Members, func(m cues.Member) bool { return m.Lamp == r }) {
		return nil
	}
	for _, s := range paint.Set {
		if s.Param == param.Name {
			values = append(values, param.Value(param.Share(s.Value)))
		}
	}
	return values
}

// spreads gives the beam angle of every cell as Spreads does, as settings make it:
// shares by the slots of parameters, and the rest safe.
func (p *Place) spreads(set map[int]float64) []float64 {
	dst := make([]float64, len(p.Cells))
	for i := range p.lamps {
		l := &p.lamps[i]
		for _, param := range l.params {
			if param.def != l.mode.Zoom() {
				continue
			}
			share, given := set[param.slot]
			if !given {
				share = param.def.Share(param.def.Safe)
			}
			for k := l.first; k < l.first+l.n; k++ {
				dst[k] = l.mode.Sent(param.def, share)
			}
		}
	}
	return dst
}
