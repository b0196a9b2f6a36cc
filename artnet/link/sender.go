package link

import (
	"cmp"
	"fmt"
	"net/netip"
	"slices"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/peer"
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
// each device are sent when it returns; see pacer for the rest. It waits only
// for a network that takes nothing, about 40 ms at most (see flush), and as
// much again when the last frame is still on its way there. The error is
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
	l.takeBack()
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
