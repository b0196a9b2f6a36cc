package play

import (
	"slices"
	"time"
)

// partings is how many frames darken what a location that is left behind had:
// a datagram may be lost.
const partings = 3

// parting darkens the slots of a location that is left and that the new one
// does not send: nobody else would, and a node goes on with what it last got.
type parting struct {
	addresses []uint16
	slots     [][]byte
	left      int // frames still to go
}

// newParting makes room for the whole of a frame.
func newParting(frame [][]byte) parting {
	return parting{addresses: make([]uint16, 0, len(frame)), slots: make([][]byte, 0, len(frame))}
}

// stop sends the last frames of all: what is on, with all that stops at its safe
// value. Without such a thing there is nothing to send: lamps keep what they have.
func (e *Engine) stop() {
	p := e.place
	stops := false
	for i := range p.layout.Slots {
		if s := &p.layout.Slots[i]; s.Stops {
			p.cur[i], stops = s.Safe, true
		}
	}
	if !stops || e.dry || e.output == nil {
		return
	}
	for range partings {
		e.first = true
		e.render()
		e.hand()
		time.Sleep(time.Second / time.Duration(e.grid.rate))
	}
	e.publish()
}

// part readies the parting of p, which gives way to next. p does not play any
// more.
func (p *place) part(next *place) {
	g := &p.parting
	g.addresses, g.slots, g.left = g.addresses[:0], g.slots[:0], partings
	p.writer.Write(p.dark, 1, 0)
	for i, a := range p.addresses {
		k, kept := slices.BinarySearch(next.addresses, a)
		if kept && len(next.frame[k]) >= len(p.frame[i]) {
			continue
		}
		g.addresses, g.slots = append(g.addresses, a), append(g.slots, p.frame[i])
	}
}

// part sends the parting of the place that was left, as long as it is due.
func (e *Engine) part() {
	if e.parted == nil {
		return
	}
	g := &e.parted.parting
	if len(g.addresses) == 0 || g.left == 0 {
		e.parted = nil
		return
	}
	for i, a := range g.addresses { // a universe that is shared has new bytes at its start
		if k, kept := slices.BinarySearch(e.place.addresses, a); kept {
			copy(g.slots[i], e.place.frame[k])
		}
	}
	if err := e.output.SendFrame(g.addresses, g.slots, true); err != nil {
		e.sendErrors++
		return
	}
	g.left--
}
