package source

import (
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"net/netip"
	"os"
	"slices"
	"time"

	"linkboy/artnet/peer"
	"linkboy/artnet/sacn"
)

const (
	// sendWithin bounds the time a frame may wait for a network that does not
	// take it, about a frame. What is left over goes with the next one.
	sendWithin = 20 * time.Millisecond
	// leaveAfter is how many frames in a row a universe must be missing from to
	// have been left. When a location changes, frames of the old and of the new
	// one take turns for a while.
	leaveAfter = 4
)

// sender is SendFrame's memory. One goroutine uses it at a time.
type sender struct {
	streams   map[uint16]*stream
	addresses []uint16  // of the last frame
	current   []*stream // of the last frame; nil for an address without a universe
	live      []*stream
	carried   int // streams of current
	data      sacn.Data
	sync      []byte // the synchronization packet
	from      int    // where the next frame starts
	frame     uint64
}

// result is how sending went.
type result struct {
	err         error
	tries, lost int
	late        bool // the time is up
}

// SendFrame sends a frame: slots[i] are the bytes of port-address addresses[i].
// The package comment says what goes out when. It keeps nothing of its
// arguments, takes no lock, and allocates nothing for universes it had before.
// The error is the first of the frame; the universes after it are sent all the
// same.
func (s *Source) SendFrame(addresses []uint16, slots [][]byte, first bool) error {
	return s.sendFrame(time.Now(), addresses, slots, first, 0)
}

// PreviewFrame is SendFrame with Preview_Data set: receivers show such data and
// must not put it out. Those that do not know the bit do.
func (s *Source) PreviewFrame(addresses []uint16, slots [][]byte, first bool) error {
	return s.sendFrame(time.Now(), addresses, slots, first, sacn.Preview)
}

func (s *Source) sendFrame(now time.Time, addresses []uint16, slots [][]byte, first bool, options sacn.Options) error {
	if len(addresses) != len(slots) {
		return fmt.Errorf("sACN source: a frame has %d port-addresses but slots for %d", len(addresses), len(slots))
	}
	if !s.use.CompareAndSwap(idle, sending) {
		return errClosed
	}
	defer s.use.Store(idle)
	s.count.frames.Add(1)
	s.lastFrame.Store(now.UnixNano())
	m := &s.sender
	m.frame++
	if !slices.Equal(m.addresses, addresses) {
		s.take(addresses)
	}
	for _, p := range m.current {
		if p != nil {
			p.seen = m.frame
		}
	}
	sync := sacn.Universe(0)
	if m.carried > 1 && s.cfg.Sync != 0 {
		sync, options = s.cfg.Sync, options|sacn.ForceSync
	}
	w := *s.current.Load()
	if err := w.SetWriteDeadline(time.Now().Add(sendWithin)); err != nil {
		return s.fault(w.Local(), err)
	}
	var r result
	sent := 0
	start := m.from % max(len(addresses), 1)
	for k := range addresses {
		i := (start + k) % len(addresses)
		p := m.current[i]
		if p == nil || !p.due(now, slots[i], first, options, &s.count) {
			continue
		}
		sent++
		s.sendLevels(w, now, p, slots[i], sync, options, &r)
		if r.late {
			m.from = i // so that nobody is always the last
			break
		}
	}
	if sent > 0 && sync != 0 {
		s.sendSync(w, &r)
	}
	if len(m.live) > m.carried {
		s.leave(w, now, &r)
	}
	if r.lost > 0 && r.lost == r.tries {
		s.signalTrouble()
	}
	return r.err
}

// take finds the streams of a new set of port-addresses. It allocates for
// those it has never had.
func (s *Source) take(addresses []uint16) {
	m := &s.sender
	m.addresses = append(m.addresses[:0], addresses...)
	m.current, m.carried = m.current[:0], 0
	for _, a := range addresses {
		p := m.streams[a]
		if u, ok := s.cfg.universe(a); ok && p == nil {
			to := s.cfg.To
			if len(to) == 0 {
				to = []netip.AddrPort{netip.AddrPortFrom(u.Group(), sacn.Port)}
			}
			p = &stream{universe: u, to: to, packet: make([]byte, 0, sacn.DataSlotsAt+sacn.MaxSlots)}
			m.streams[a] = p
		}
		if p == nil {
			s.count.noUniverse.Add(1)
		} else {
			m.carried++
		}
		m.current = append(m.current, p)
	}
}

func (s *Source) sendLevels(w wire, now time.Time, p *stream, slots []byte, sync sacn.Universe, options sacn.Options, r *result) {
	if err := p.prepare(&s.sender.data, slots, sync, options); err != nil {
		r.err = cmp.Or(r.err, s.fault(w.Local(), err))
		return
	}
	p.number(now)
	p.same++
	p.owed, p.ending = false, 0
	if !p.live {
		p.live = true
		s.sender.live = append(s.sender.live, p)
		s.publish()
	}
	n := r.write(s, w, p.packet, p.to)
	s.count.packets.Add(uint64(n))
	p.owed = n < len(p.to)
}

// write sends a packet to every receiver of it and says to how many it went.
func (r *result) write(s *Source, w wire, b []byte, to []netip.AddrPort) (sent int) {
	for _, at := range to {
		r.tries++
		err := w.WriteToAddrPort(b, at)
		if errors.Is(err, os.ErrDeadlineExceeded) {
			// Once more: the machine may have been busy elsewhere and the network
			// ready all the time.
			if err = w.SetWriteDeadline(time.Now().Add(sendWithin)); err == nil {
				err = w.WriteToAddrPort(b, at)
			}
		}
		switch {
		case err == nil:
			sent++
			continue
		case errors.Is(err, os.ErrDeadlineExceeded):
			r.late = true
		case peer.Lost(err):
			r.lost++
		}
		r.err = cmp.Or(r.err, s.fault(at, err))
	}
	return sent
}

func (s *Source) sendSync(w wire, r *result) {
	s.sender.sync[sacn.SyncSequenceAt]++
	n := r.write(s, w, s.sender.sync, s.syncTo)
	s.count.syncs.Add(uint64(n))
}

// leave sends the end of streams that frames have not had for a while.
func (s *Source) leave(w wire, now time.Time, r *result) {
	m := &s.sender
	gone := false
	for _, p := range m.live {
		if m.frame-p.seen < leaveAfter || p.clear.Sub(now) > burst {
			continue
		}
		if p.ending == 0 {
			p.ending = sacn.Repeats
		}
		s.sendEnd(w, now, p, r)
		if p.ending == 0 {
			p.live, gone = false, true
		}
	}
	if gone {
		m.live = slices.DeleteFunc(m.live, func(p *stream) bool { return !p.live })
		s.publish()
	}
}

// sendEnd sends one packet with Stream_Terminated, whose slots mean nothing.
func (s *Source) sendEnd(w wire, now time.Time, p *stream, r *result) {
	binary.BigEndian.PutUint16(p.packet[sacn.DataSyncAt:], 0) // it needs no synchronization packet
	p.packet[sacn.DataOptionsAt] |= uint8(sacn.Terminated)
	p.number(now)
	p.ending--
	s.count.ends.Add(uint64(r.write(s, w, p.packet, p.to)))
}
