package link

import (
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

const (
	// sendWithin bounds the time a frame may wait for a network that does not
	// take it, about a frame. What is left over goes with the next one.
	sendWithin = 20 * time.Millisecond
	// steadyFor is how long after a datagram went out the network still counts
	// as there: a frame of nothing but one bad node's universe says little.
	steadyFor = time.Second
)

// sender is SendFrame's memory. One goroutine uses it at a time: SendFrame's,
// or between two frames the pacer's.
type sender struct {
	ports     [artnet.MaxPortAddress + 1]*port
	addresses []uint16
	plan      plan
	frame     uint64 // counts frames, for port.decided
	from      int    // the entry of plan where the next frame starts

	batch  *peer.Batch
	jobs   []int32 // entries of plan that the frame has, node by node
	spans  []span  // of jobs, one a node
	queued []int32 // the entry of each datagram of batch
	sync   []byte  // an ArtSync
	synced bool    // an ArtSync went out, and nodes may wait for the next

	sent    int       // datagrams of this frame that went out
	lost    int       // that failed because the network is gone
	tried   int       // that did either
	stopped bool      // the rest was not tried
	bad     error     // the first of this frame; SendFrame returns it
	worked  time.Time // when a datagram last went out
}

// span is a node's part of a frame, at most share a round.
type span struct {
	to    netip.AddrPort
	from  int // of jobs
	at    int // jobs before it were queued
	end   int
	share int
	lane  int
}

func newSender() sender {
	s := sender{batch: peer.NewBatch(64), plan: newPlan()}
	s.sync, _ = new(artnet.Sync).AppendBinary(nil) // its error is always nil
	return s
}

// SendFrame sends a frame: slots[i] are the bytes of port-address addresses[i].
// A universe goes out when it changed, when its repeat is due, when a device
// for it came up, or with first set; but no faster than a DMX512 line can carry
// it, and only where there is a device for it. What is held back by the rate or
// failed goes with a later call. Of a port-address named twice the last counts.
//
// It keeps nothing of its arguments, takes no lock, and allocates nothing for
// port-addresses and devices it had before. Up to Config.InARow datagrams to
// each device are sent when it returns; see pacer for the rest. The error is
// the first of the frame, or of what was left of the last; the datagrams after
// it are sent all the same.
func (l *Link) SendFrame(addresses []uint16, slots [][]byte, first bool) error {
	return l.sendFrame(time.Now(), addresses, slots, first)
}

func (l *Link) sendFrame(now time.Time, addresses []uint16, slots [][]byte, first bool) error {
	if len(addresses) != len(slots) {
		return fmt.Errorf("artnet link: a frame has %d port-addresses but slots for %d", len(addresses), len(slots))
	}
	l.count.frames.Add(1)
	l.pacer.takeBack()
	s := &l.sender
	w, r := *l.current.Load(), l.routes.Load()
	if !slices.Equal(s.addresses, addresses) {
		if err := l.publish(addresses); err != nil {
			return err
		}
		s.plan.routes = nil
	}
	if err := s.arrange(r, w.Broadcast()); err != nil {
		return l.fault(w.Local(), err)
	}
	l.collect(now, slots, first)
	rounds := s.share(l.cfg.InARow)
	if rounds > 0 {
		l.sendRound(rounds == 1)
	}
	bad := s.bad
	s.bad = nil
	if rounds > 1 && !s.stopped {
		l.pacer.lend(rounds - 1) // s is not ours from here on
	} else {
		l.finish()
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

// collect encodes what is due and lists it node by node, starting where the
// last frame stopped, so that nobody is always the last.
func (l *Link) collect(now time.Time, slots [][]byte, first bool) {
	s := &l.sender
	s.frame++
	s.jobs, s.spans = s.jobs[:0], s.spans[:0]
	s.sent, s.lost, s.tried, s.stopped = 0, 0, 0, false
	if len(s.plan.entries) == 0 {
		return
	}
	s.from %= len(s.plan.entries)
	start := int(s.plan.entries[s.from].node)
	for k := range s.plan.nodes {
		n := s.plan.nodes[(start+k)%len(s.plan.nodes)]
		begin := len(s.jobs)
		if k == 0 {
			l.decide(now, slots, first, int32(s.from), n.end)
			l.decide(now, slots, first, n.from, int32(s.from))
		} else {
			l.decide(now, slots, first, n.from, n.end)
		}
		if end := len(s.jobs); end > begin {
			s.spans = append(s.spans, span{to: n.to, from: begin, at: begin, end: end, lane: n.lane})
		}
	}
}

// decide lists those of entries from..end that are due, and encodes each when
// its first entry comes.
func (l *Link) decide(now time.Time, slots [][]byte, first bool, from, end int32) {
	s := &l.sender
	for i := from; i < end; i++ {
		p, data := s.plan.entries[i].port, slots[s.plan.entries[i].slot]
		if p.decided != s.frame {
			p.decided, p.going = s.frame, p.due(now, data, first, &l.count)
			if p.going {
				if err := p.encode(now, data); err != nil {
					p.going = false
					s.bad = cmp.Or(s.bad, l.fault((*l.current.Load()).Local(), err))
				}
			}
		}
		if p.going {
			s.jobs = append(s.jobs, i)
		}
	}
}

// sendRound sends every node's next share, and after the last one the ArtSync.
func (l *Link) sendRound(last bool) {
	s, w := &l.sender, *l.current.Load()
	s.clear()
	for i := range s.spans {
		if n := &s.spans[i]; n.lane > 0 {
			s.queue(n)
			l.flush(w, n.lane)
			l.settle()
			s.clear()
		}
	}
	for i := range s.spans {
		if n := &s.spans[i]; n.lane == 0 {
			s.queue(n)
		}
	}
	if last && l.syncs(w) {
		s.batch.Add(s.sync, w.Broadcast())
	}
	l.flush(w, 0)
	l.settle()
}

// clear empties the batch.
func (s *sender) clear() {
	s.batch.Reset()
	s.queued = s.queued[:0]
}

// queue puts the node's next share in the batch.
func (s *sender) queue(n *span) {
	end := min(n.at+n.share, n.end)
	for _, e := range s.jobs[n.at:end] {
		s.batch.Add(s.plan.entries[e].port.packet, n.to)
		s.queued = append(s.queued, e)
	}
	n.at = end
}

// flush sends the batch, on a lane other than 0 aside. When the deadline is over it tries once more, for the
// machine may have been busy elsewhere and the network ready all the time; and
// again as long as that helps and sendWithin is not over.
func (l *Link) flush(w wire, lane int) {
	s, began := &l.sender, time.Now()
	for again := false; ; again = true {
		before := s.batch.Tried()
		err := w.SetWriteDeadline(time.Now().Add(sendWithin))
		switch {
		case err != nil:
		case lane > 0:
			err = w.SendAside(s.batch, lane)
		default:
			err = w.Send(s.batch)
		}
		if err == nil {
			return
		}
		helped := s.batch.Tried() > before && time.Since(began) < sendWithin
		if errors.Is(err, os.ErrDeadlineExceeded) && (!again || helped) {
			continue
		}
		l.halt(err)
		return
	}
}

// halt ends the frame because of an error that is not of one datagram.
func (l *Link) halt(err error) {
	s := &l.sender
	s.stopped = true
	s.bad = cmp.Or(s.bad, l.fault(s.batch.To(s.batch.Tried()), err))
}

// settle notes what became of the batch's datagrams.
func (l *Link) settle() {
	s := &l.sender
	tried, sent := s.batch.Tried(), 0
	for i, e := range s.queued {
		p := s.plan.entries[e].port
		if i >= tried {
			p.owed = true
			continue
		}
		p.tried = true
		if err := s.batch.Err(i); err != nil {
			p.owed = true
			l.failed(i, err)
			continue
		}
		sent++
	}
	s.tried, s.sent = s.tried+tried, s.sent+sent
	l.count.packets.Add(uint64(sent))
	switch n := len(s.queued); {
	case tried < n:
		s.from = int(s.queued[tried])
	case tried > n && s.batch.Err(n) != nil:
		l.failed(n, s.batch.Err(n))
	case tried > n:
		s.synced = true
		l.count.syncs.Add(1)
	}
}

// failed notes the error of datagram i of the batch.
func (l *Link) failed(i int, err error) {
	s := &l.sender
	if peer.Lost(err) {
		s.lost++
	}
	s.bad = cmp.Or(s.bad, l.fault(s.batch.To(i), err))
}

// finish ends the frame: what was not tried is owed, and when nothing at all
// went out the network may be gone.
func (l *Link) finish() {
	s := &l.sender
	if s.stopped {
		for _, e := range s.jobs {
			if p := s.plan.entries[e].port; !p.tried {
				p.undo()
			}
		}
		for _, n := range s.spans { // rounds that never came
			for _, e := range s.jobs[n.at:n.end] {
				s.plan.entries[e].port.owed = true
			}
		}
	}
	if s.sent > 0 {
		s.worked = time.Now()
	}
	if s.lost > 0 && s.lost == s.tried && time.Since(s.worked) > steadyFor {
		l.signalTrouble()
	}
}

// syncs reports whether the frame ends in an ArtSync: where Config.Sync asks
// for it and there is more than one universe to keep together. Once begun it
// goes on, because a node that had one puts out nothing without the next until
// 4 s are over.
func (l *Link) syncs(w wire) bool {
	return l.cfg.Sync && (l.sender.plan.ports > 1 || l.sender.synced) && w.Broadcast().IsValid()
}

// write sends a datagram that is no frame's. When the deadline is over it tries
// once more, as flush does.
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
