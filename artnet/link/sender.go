package link

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"net/netip"
	"os"
	"slices"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/peer"
)

// Times of sending.
const (
	// frameTime is how long a DMX512 line takes for 512 slots: 92 us break,
	// 12 us mark and 513 times 44 us (ANSI E1.11). The standard lets a
	// port-address go no faster, which is 44 Hz.
	frameTime = (92 + 12 + 44*513) * time.Microsecond
	// burst is how far a port-address may run ahead of that for a moment: the
	// first frame of a cue comes between two others, and frames after a late
	// one come close.
	burst = 2 * frameTime
	// Unchanged data is repeated after repeatLeast plus up to repeatSpread, by
	// chance and anew each time, so that universes sent together do not stay
	// together. With the wait for the next frame that is within the 800..1000
	// ms which the standard recommends.
	repeatLeast  = 800 * time.Millisecond
	repeatSpread = 150 * time.Millisecond
	// sendWithin bounds the time a frame may wait for a network that does not
	// take it, about a frame. What is left over goes with the next one.
	sendWithin = 20 * time.Millisecond
)

// port is one port-address as it is sent.
type port struct {
	dmx    artnet.Dmx
	packet []byte // the last packet, re-used for the next
	slots  []byte // its slots, as they were given
	sent   time.Time
	clear  time.Time // when the line is through with what it was sent
	repeat time.Duration
	chance uint32 // state of spread
	owed   bool   // to be sent in full as soon as the rate allows
	routes *routes
	route  *route
	fresh  uint64
}

// sender is SendFrame's memory. One goroutine uses it at a time.
type sender struct {
	ports     [artnet.MaxPortAddress + 1]*port
	addresses []uint16
	from      int // where the next frame starts
}

// SendFrame sends a frame: slots[i] are the bytes of port-address addresses[i].
// A universe goes out when it changed, when its repeat is due, when a device
// for it came up, or with first set; but no faster than a DMX512 line can carry
// it, and only where there is a device for it. What is held back by the rate or
// failed goes with a later call.
//
// It keeps nothing of its arguments, takes no lock, and allocates nothing for
// port-addresses it had before. The error is the first of the frame; the
// universes after it are sent all the same.
func (l *Link) SendFrame(addresses []uint16, slots [][]byte, first bool) error {
	return l.sendFrame(time.Now(), addresses, slots, first)
}

func (l *Link) sendFrame(now time.Time, addresses []uint16, slots [][]byte, first bool) error {
	if len(addresses) != len(slots) {
		return fmt.Errorf("artnet link: a frame has %d port-addresses but slots for %d", len(addresses), len(slots))
	}
	l.count.frames.Add(1)
	if !slices.Equal(l.sender.addresses, addresses) {
		if err := l.publish(addresses); err != nil {
			return err
		}
	}
	w, r := *l.current.Load(), l.routes.Load()
	if err := w.SetWriteDeadline(time.Now().Add(sendWithin)); err != nil {
		return l.fault(w.Local(), err)
	}
	var bad error
	tries, lost := 0, 0
	start := l.sender.from % max(len(addresses), 1)
	for k := range addresses {
		i := (start + k) % len(addresses)
		p := l.sender.port(addresses[i])
		if !p.due(now, r, slots[i], first, &l.count) {
			continue
		}
		tries++
		err := l.send(w, now, p, slots[i])
		if err == nil {
			continue
		}
		bad = cmp.Or(bad, err)
		if errors.Is(err, os.ErrDeadlineExceeded) {
			l.sender.from = i // so that nobody is always the last
			break
		}
		if peer.Lost(err) {
			lost++
		}
	}
	if lost > 0 && lost == tries {
		l.signalTrouble()
	}
	return bad
}

// publish takes a new set of port-addresses and tells the poll answers. It
// allocates, once per change.
func (l *Link) publish(addresses []uint16) error {
	list := make([]artnet.PortAddress, len(addresses))
	for i, a := range addresses {
		list[i] = artnet.PortAddress(a)
		if !list[i].Valid() {
			return fmt.Errorf("artnet link: %w: got %d, at most %d", artnet.ErrPortAddress, a, artnet.MaxPortAddress)
		}
	}
	l.sender.addresses = slices.Clone(addresses)
	slices.Sort(list)
	list = slices.Compact(list)
	l.sourced.Store(&list)
	return nil
}

// port is the memory of a port-address that publish has let through.
func (s *sender) port(address uint16) *port {
	a := artnet.PortAddress(address)
	if s.ports[a] == nil {
		s.ports[a] = &port{
			dmx:    artnet.Dmx{PortAddress: a},
			packet: make([]byte, 0, 18+artnet.MaxSlots),
			slots:  make([]byte, 0, artnet.MaxSlots),
			chance: uint32(a) * 0x9e3779b1, // golden section: neighbours start far apart
		}
	}
	return s.ports[a]
}

// spread is the next chance share of repeatSpread. The generator is the linear
// congruential one of Numerical Recipes, chapter 7: 4 bytes a port and good
// enough for this.
func (p *port) spread() time.Duration {
	p.chance = p.chance*1664525 + 1013904223
	return time.Duration(uint64(repeatSpread) * uint64(p.chance) >> 32)
}

// due decides whether the port is sent in this frame.
func (p *port) due(now time.Time, r *routes, slots []byte, first bool, count *counters) bool {
	if p.routes != r {
		p.routes, p.route = r, r.of(p.dmx.PortAddress)
	}
	if p.route == nil {
		return false
	}
	fresh := p.fresh != p.route.fresh || p.sent.IsZero()
	p.fresh = p.route.fresh
	p.owed = p.owed || first || fresh
	repeat := !p.owed && bytes.Equal(slots, p.slots)
	if repeat && now.Sub(p.sent) < p.repeat {
		return false
	}
	if p.clear.Sub(now) > burst {
		count.held.Add(1)
		return false
	}
	if repeat {
		count.repeats.Add(1)
	}
	return true
}

// send sends one universe to every device for it.
func (l *Link) send(w wire, now time.Time, p *port, slots []byte) error {
	p.dmx.Sequence = artnet.NextSequence(p.dmx.Sequence)
	p.dmx.Data = slots
	packet, err := p.dmx.AppendBinary(p.packet[:0])
	p.dmx.Data = nil
	if err != nil {
		return l.fault(w.Local(), err)
	}
	p.packet, p.slots = packet, append(p.slots[:0], slots...)
	p.sent, p.owed, p.repeat = now, false, repeatLeast+p.spread()
	if p.clear.Before(now) {
		p.clear = now
	}
	p.clear = p.clear.Add(frameTime)
	var bad error
	for _, to := range p.route.to {
		if err := write(w, packet, to); err != nil {
			p.owed = true
			bad = cmp.Or(bad, l.fault(to, err))
			continue
		}
		l.count.packets.Add(1)
	}
	return bad
}

// write sends a datagram. When the deadline is over it tries once more, for the
// machine may have been busy elsewhere and the network ready all the time.
func write(w wire, b []byte, to netip.AddrPort) error {
	err := w.WriteToAddrPort(b, to)
	if err == nil || !errors.Is(err, os.ErrDeadlineExceeded) {
		return err
	}
	if err := w.SetWriteDeadline(time.Now().Add(sendWithin)); err != nil {
		return err
	}
	return w.WriteToAddrPort(b, to)
}

// fault counts a failed send and keeps it for reportFaults.
func (l *Link) fault(to netip.AddrPort, err error) error {
	err = fmt.Errorf("artnet link: send to %v: %w", to, err)
	l.count.sendErrors.Add(1)
	l.count.lastError.Store(&err)
	return err
}

func (l *Link) signalTrouble() {
	select {
	case l.trouble <- struct{}{}:
	default: // keepOpen knows already
	}
}
