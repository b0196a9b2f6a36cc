package play

import (
	"slices"
	"time"
)

// partings is how many frames darken what a location that is left behind had:
// a datagram may be lost.
const partings = 3

// parting darkens the slots of a place that is left and that the new one does
// not send: nobody else would, and a node goes on with what it last got. It takes
// its time when the place is replaced, and none when another location comes.
type parting struct {
	addresses []uint16
	slots     [][]byte // what is sent
	was       [][]byte // what was on the wire
	dark      [][]byte
	how       [][]uint8
	left      int // frames still to go, once all is dark
	begun     time.Time
	over      time.Duration
}

// newParting makes room for the whole of a frame.
func newParting(frame [][]byte) parting {
	room := func() [][]byte { return make([][]byte, 0, len(frame)) }
	return parting{addresses: make([]uint16, 0, len(frame)), slots: room(), was: room(), dark: room(), how: make([][]uint8, 0, len(frame))}
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
		now := time.Now()
		e.render(now)
		e.hand(now)
		time.Sleep(time.Second / time.Duration(e.grid.rate))
	}
	e.publish()
}

// part readies the parting of p, which gives way to next. p does not play any
// more: its rooms are used for it.
func (p *place) part(next *place, now time.Time, over time.Duration) {
	g := &p.parting
	*g = parting{
		addresses: g.addresses[:0], slots: g.slots[:0], was: g.was[:0], dark: g.dark[:0], how: g.how[:0],
		left: partings, begun: now, over: over,
	}
	s := &p.swap
	for i, b := range p.wire() { // the frame is about to be written over
		copy(s.was[i], b)
		copy(s.sent[i], b)
	}
	s.runs = false
	p.writer.Write(p.dark, 1, 0)
	for i, a := range p.addresses {
		if sends(next, a, len(p.frame[i])) {
			continue
		}
		ways(s.how[i], p.kinds[i], p.kinds[i])
		g.addresses, g.slots = append(g.addresses, a), append(g.slots, s.sent[i])
		g.was, g.dark, g.how = append(g.was, s.was[i]), append(g.dark, p.frame[i]), append(g.how, s.how[i])
	}
}

// sends tells whether a place sends all of so many slots of a port-address.
func sends(p *place, a uint16, length int) bool {
	k, known := slices.BinarySearch(p.addresses, a)
	return known && len(p.frame[k]) >= length
}

// yield leaves to next what it sends itself from now on.
func (g *parting) yield(next *place) {
	n := 0
	for i, a := range g.addresses {
		if sends(next, a, len(g.slots[i])) {
			continue
		}
		g.addresses[n], g.slots[n], g.was[n], g.dark[n], g.how[n] = a, g.slots[i], g.was[i], g.dark[i], g.how[i]
		n++
	}
	g.addresses, g.slots, g.was, g.dark, g.how = g.addresses[:n], g.slots[:n], g.was[:n], g.dark[:n], g.how[:n]
}

// leave makes next the place that plays, and p one that parts.
func (e *Engine) leave(p, next *place, now time.Time, over time.Duration) {
	if over > 0 {
		next.swap.begin(next, p, e.parted, now, over)
	}
	p.part(next, now, over)
	for q := e.parted; q != nil; q = q.before {
		q.parting.yield(next)
	}
	p.before, e.parted, e.place = e.parted, p, next
}

// part sends the partings of the places that were left, as long as they are due.
func (e *Engine) part(at time.Time) {
	for link := &e.parted; *link != nil; {
		p := *link
		if e.darken(&p.parting, at) {
			*link, p.before = p.before, nil
			continue
		}
		link = &p.before
	}
}

// darken sends one parting, and says whether it is over.
func (e *Engine) darken(g *parting, at time.Time) (over bool) {
	if len(g.addresses) == 0 || g.left == 0 {
		return true
	}
	share := shareOf(at.Sub(g.begun), g.over)
	for i, a := range g.addresses {
		mix(g.slots[i], g.was[i], g.dark[i], g.how[i], share)
		if k, kept := slices.BinarySearch(e.place.addresses, a); kept { // a universe that is shared has new bytes at its start
			copy(g.slots[i], e.place.wire()[k])
		}
	}
	if err := e.output.SendFrame(g.addresses, g.slots, true); err != nil {
		e.sendErrors++
		return false
	}
	if share >= 1 {
		g.left--
	}
	return false
}
