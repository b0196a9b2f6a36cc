package compile

import (
	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/cues/track"
)

// Light gives the light of every cell from the bytes on the wire: slots[i] are
// those of universe i of the layout, as they were sent. dst gets one value a
// cell, Y in lumens; it must have room for all of them. Bytes that are missing
// count as 0. It does not allocate.
func (p *Place) Light(slots [][]byte, dst []colour.XYZ) {
	drives := p.scratch.Get().(*[]emitters.Drives)
	p.Drives(slots, *drives)
	for i := range p.Cells {
		dst[i] = p.Cells[i].mix.Light((*drives)[i])
	}
	p.scratch.Put(drives)
}

// Drives gives what every cell's emitters do, from the bytes on the wire as for
// Light. dst gets one value a cell. It does not allocate.
func (p *Place) Drives(slots [][]byte, dst []emitters.Drives) {
	for i := range p.lamps {
		l := &p.lamps[i]
		if l.n == 0 {
			continue
		}
		l.mode.Decode(l.kind, l.sent(slots), dst[l.first:l.first+l.n])
	}
}

// Frame gives the bytes that a still makes, with the whole overall level and,
// when floor is set, the floor light: what the wire carries when it is settled.
func (p *Place) Frame(s track.Still, floor bool) [][]byte {
	frame := p.Layout.NewFrame()
	p.Layout.Write(s, 1, floor, frame)
	return frame
}

// Shine gives the light of every cell in a still, before overall, floor light
// and rounding to bytes. dst is as in Light.
func (p *Place) Shine(s track.Still, dst []colour.XYZ) {
	for i := range p.Cells {
		c := &p.Cells[i]
		dst[i] = c.mix.Light(c.get(s))
	}
}
