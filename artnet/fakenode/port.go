package fakenode

import (
	"net/netip"
	"time"

	"linkboy/artnet"
)

// Times of a port.
const (
	// HoldSource is how long a silent source keeps its port, the standard's
	// time for a source that merges.
	HoldSource = 10 * time.Second

	defaultTimeout = 6 * time.Second
	// restart is the silence after which a source may number its packets anew:
	// network data loss as in ANSI E1.31 section 6.7, since Art-Net has none.
	restart = 2500 * time.Millisecond
	// syncFor is how long after an ArtSync the node stays synchronised.
	syncFor = 4 * time.Second
)

// source tells senders apart, by IP address or by Physical.
type source struct {
	addr     netip.Addr
	physical uint8
}

// port is one port-address that the node puts out.
type port struct {
	address  artnet.PortAddress
	from     source
	sequence uint8     // of the last packet taken
	heard    time.Time // when that came

	next []byte // what came in; the same as out unless an ArtSync is awaited
	wait bool   // next awaits an ArtSync

	out         []byte
	outSequence uint8
	at          time.Time // when out was put out
}

func newPort(a artnet.PortAddress) *port {
	return &port{
		address: a,
		next:    make([]byte, 0, artnet.MaxSlots),
		out:     make([]byte, 0, artnet.MaxSlots),
	}
}

// verdict is what becomes of an ArtDmx.
type verdict uint8

const (
	taken verdict = iota
	overtaken
	secondSource
)

// take stores a packet that came at now. Slots that it does not have stay as
// they were.
func (p *port) take(now time.Time, from source, d *artnet.Dmx) verdict {
	silent := now.Sub(p.heard)
	same := from == p.from
	if !same && !p.heard.IsZero() && silent < HoldSource {
		return secondSource
	}
	if same && silent < restart && artnet.Overtaken(p.sequence, d.Sequence) {
		return overtaken
	}
	p.from, p.sequence, p.heard = from, d.Sequence, now
	if len(d.Data) > len(p.next) {
		p.next = p.next[:len(d.Data)]
	}
	copy(p.next, d.Data)
	return taken
}

// put puts out what came in.
func (p *port) put(now time.Time) {
	p.out = append(p.out[:0], p.next...)
	p.outSequence, p.at, p.wait = p.sequence, now, false
}

func (p *port) live(now time.Time, timeout time.Duration) bool {
	return !p.heard.IsZero() && now.Sub(p.heard) < timeout
}

// syncing is the node's state towards ArtSync: unsynchronised until the first
// one, then until none came for syncFor.
type syncing struct {
	last    time.Time  // of ArtSync
	sender  netip.Addr // of the last ArtDmx
	waiting bool       // some port awaits an ArtSync
}

func (s *syncing) on(now time.Time) bool { return !s.last.IsZero() && now.Sub(s.last) < syncFor }
