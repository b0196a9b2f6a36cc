package link

import (
	"bytes"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/peer"
)

// Times of a port-address.
const (
	// Unchanged data is repeated after repeatLeast plus up to repeatSpread, by
	// chance and anew each time, so that universes sent together do not stay
	// together. With the wait for the next frame that is within the 800..1000
	// ms which the standard recommends.
	repeatLeast  = 800 * time.Millisecond
	repeatSpread = 150 * time.Millisecond
)

// port is one port-address as it is sent.
type port struct {
	packet []byte // the last packet, re-used for the next
	slots  int    // how many of its bytes at the end were given as slots
	pad    int    // and how many zeros come after those
	dmx    artnet.Dmx
	sending
	was    sending // before the frame that is under way
	repeat time.Duration
	chance uint32 // state of spread
	owed   bool   // to be sent in full as soon as the rate allows
	fresh  uint64
	route  *route

	index   int    // where it stands in a frame
	decided uint64 // the frame that due was asked for
	going   bool   // what it said
	tried   bool   // some datagram of it went out, or failed
}

// sending is what changes when a port's datagrams go out.
type sending struct {
	sequence uint8
	sent     time.Time
	clear    time.Time // when the line is through with what it was sent
}

func newPort(a artnet.PortAddress) *port {
	return &port{
		dmx:    artnet.Dmx{PortAddress: a},
		packet: make([]byte, 0, 18+artnet.MaxSlots),
		chance: uint32(a) * 0x9e3779b1, // golden section: neighbours start far apart
	}
}

// spread is the next chance share of repeatSpread. The generator is the linear
// congruential one of Numerical Recipes, chapter 7: 4 bytes a port and good
// enough for this.
func (p *port) spread() time.Duration {
	p.chance = p.chance*1664525 + 1013904223
	return time.Duration(uint64(repeatSpread) * uint64(p.chance) >> 32)
}

// last is the slots of the last packet, as they were given.
func (p *port) last() []byte {
	end := len(p.packet) - p.pad
	return p.packet[end-p.slots : end]
}

// due decides whether the port is sent in this frame.
func (p *port) due(now time.Time, slots []byte, first bool, count *counters) bool {
	fresh := p.fresh != p.route.fresh || p.sent.IsZero()
	p.fresh = p.route.fresh
	p.owed = p.owed || first || fresh
	repeat := !p.owed && bytes.Equal(slots, p.last())
	if repeat && now.Sub(p.sent) < p.repeat {
		return false
	}
	if p.clear.Sub(now) > peer.Ahead {
		count.held.Add(1)
		return false
	}
	if repeat {
		count.repeats.Add(1)
	}
	return true
}

// encode makes the packet of a frame. After an error the port is as it was.
func (p *port) encode(now time.Time, slots []byte) error {
	p.dmx.Sequence, p.dmx.Data = artnet.NextSequence(p.sequence), slots
	packet, err := p.dmx.AppendBinary(p.packet[:0])
	p.dmx.Data = nil
	if err != nil {
		return err
	}
	p.packet, p.slots, p.pad = packet, len(slots), len(slots)&1
	p.was = p.sending
	p.sequence, p.sent, p.clear = p.dmx.Sequence, now, later(p.clear, now).Add(peer.LineTime)
	p.owed, p.tried, p.repeat = false, false, repeatLeast+p.spread()
	return nil
}

// undo takes back a frame of which no datagram was tried: it is owed.
func (p *port) undo() { p.sending, p.owed = p.was, true }

func later(a, b time.Time) time.Time {
	if a.Before(b) {
		return b
	}
	return a
}
