package link

import (
	"cmp"
	"errors"
	"fmt"
	"net/netip"
	"os"
	"time"

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
	if s.batch.Len() == 0 {
		return // all that is due went aside
	}
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

// syncs reports whether the frame ends in an ArtSync: where Config.Sync or Aim
// asks for it and there is more than one universe to keep together. Once begun it
// goes on, because a node that had one puts out nothing without the next until
// 4 s are over.
func (l *Link) syncs(w wire) bool {
	return (l.sync.Load() && l.sender.plan.ports > 1 || l.sender.synced) && w.Broadcast().IsValid()
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
	l.count.faults.Add(err)
	return err
}

func (l *Link) signalTrouble() {
	select {
	case l.trouble <- struct{}{}:
	default: // keepOpen knows already
	}
}
