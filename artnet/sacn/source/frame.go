package source

import (
	"cmp"
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
	carried   int       // streams of current
	due       []*stream // of this frame, to be sent
	owners    []*stream // of the datagrams in batch; nil for synchronization
	batch     *peer.Batch
	data      sacn.Data
	sync      []byte // the synchronization packet
	from      int    // where the next frame starts
	frame     uint64
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
	m.due = m.due[:0]
	var bad error
	start := m.from % max(len(addresses), 1)
	for k := range addresses {
		i := (start + k) % len(addresses)
		p := m.current[i]
		if p == nil || !p.due(now, slots[i], first, options, &s.count) {
			continue
		}
		if err := s.ready(now, p, slots[i], sync, options); err != nil {
			bad = cmp.Or(bad, err)
		}
	}
	levels := len(m.due)
	if len(m.live) > m.carried {
		s.leave(now)
	}
	if len(m.due) == 0 {
		return bad
	}
	return cmp.Or(bad, s.send(levels > 0 && sync != 0))
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
			p = &stream{universe: u, group: groupOf(u), packet: make([]byte, 0, sacn.DataSlotsAt+sacn.MaxSlots)}
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

func groupOf(u sacn.Universe) netip.AddrPort { return netip.AddrPortFrom(u.Group(), sacn.Port) }

// ready makes the packet of a universe.
func (s *Source) ready(now time.Time, p *stream, slots []byte, sync sacn.Universe, options sacn.Options) error {
	if err := p.prepare(&s.sender.data, slots, sync, options); err != nil {
		return s.fault((*s.current.Load()).Local(), err)
	}
	p.number(now)
	p.same++
	p.owed, p.ending = false, 0
	if !p.live {
		p.live = true
		s.sender.live = append(s.sender.live, p)
		s.publish()
	}
	s.sender.due = append(s.sender.due, p)
	return nil
}

// leave readies the end of streams that frames have not had for a while.
func (s *Source) leave(now time.Time) {
	m := &s.sender
	gone := false
	for _, p := range m.live {
		if m.frame-p.seen < leaveAfter || p.clear.Sub(now) > peer.Ahead {
			continue
		}
		if p.ending == 0 {
			p.ending = sacn.Repeats
		}
		p.end(now)
		m.due = append(m.due, p)
		if p.ending == 0 {
			p.live, gone = false, true
		}
	}
	if gone {
		m.live = slices.DeleteFunc(m.live, func(p *stream) bool { return !p.live })
		s.publish()
	}
}

// send sends what is due and, with sync, a synchronization packet after it.
// Datagrams to one receiver stand together, which costs least.
func (s *Source) send(sync bool) error {
	m := &s.sender
	m.batch.Reset()
	m.owners = m.owners[:0]
	if len(s.cfg.To) == 0 {
		for _, p := range m.due {
			s.add(p, p.packet, p.group)
		}
	}
	for _, to := range s.cfg.To {
		for _, p := range m.due {
			s.add(p, p.packet, to)
		}
	}
	if sync {
		m.sync[sacn.SyncSequenceAt]++
		for _, to := range s.syncTo {
			s.add(nil, m.sync, to)
		}
	}
	w := *s.current.Load()
	err := w.SetWriteDeadline(time.Now().Add(sendWithin))
	if err == nil {
		if err = w.Send(m.batch); errors.Is(err, os.ErrDeadlineExceeded) {
			// Once more: the machine may have been busy elsewhere and the network
			// ready all the time.
			if err = w.SetWriteDeadline(time.Now().Add(sendWithin)); err == nil {
				err = w.Send(m.batch)
			}
		}
	}
	return s.settle(w, err)
}

func (s *Source) add(p *stream, b []byte, to netip.AddrPort) {
	s.sender.batch.Add(b, to)
	s.sender.owners = append(s.sender.owners, p)
}

// settle counts what went out, and owes what did not. stopped is what ended
// sending before the end.
func (s *Source) settle(w wire, stopped error) error {
	m := &s.sender
	var bad error
	lost := 0
	for i, p := range m.owners {
		if i >= m.batch.Tried() {
			bad = cmp.Or(bad, s.fault(w.Local(), stopped))
			if p != nil {
				p.owed = true
				m.from++ // so that nobody is always the last
			}
			continue
		}
		if err := m.batch.Err(i); err != nil {
			bad = cmp.Or(bad, s.fault(m.batch.To(i), err))
			if p != nil {
				p.owed = true
			}
			if peer.Lost(err) {
				lost++
			}
			continue
		}
		s.count.sent(p)
	}
	if lost > 0 && lost == len(m.owners) {
		s.signalTrouble()
	}
	return bad
}
