package fakenode

import (
	"errors"
	"net/netip"
	"sync/atomic"
	"time"

	"linkboy/artnet"
)

// Stats counts what a node did since it was made.
type Stats struct {
	Received     uint64 // datagrams of any kind, heard while not silenced
	Frames       uint64 // ArtDmx taken for one of its ports
	Overtaken    uint64 // dropped: a newer one came before
	SecondSource uint64 // dropped: another source has the port
	OtherPort    uint64 // ArtDmx for a port-address that is not here
	Syncs        uint64 // ArtSync that put out what was awaited
	SyncsIgnored uint64 // ArtSync of another sender than the ArtDmx
	Polls        uint64
	RDM          uint64 // ArtTodRequest, ArtTodControl and ArtRdm
	RDMLost      uint64 // of these, what no line here could take
	Replies      uint64 // ArtPollReply pages sent
	Malformed    uint64 // ArtDmx with a bad Length
	Garbage      uint64 // anything else that could not be read
	Unhandled    uint64 // packets that mean nothing to a node
	SendErrors   uint64
}

type counters struct {
	received, frames, overtaken, second, other, syncs, syncsIgnored atomic.Uint64
	polls, malformed, garbage, unhandled, sendErrors                atomic.Uint64
	rdm, rdmLost                                                    atomic.Uint64
}

// Stats may be called from any goroutine.
func (n *Node) Stats() Stats {
	c := &n.count
	return Stats{
		Received:     c.received.Load(),
		Frames:       c.frames.Load(),
		Overtaken:    c.overtaken.Load(),
		SecondSource: c.second.Load(),
		OtherPort:    c.other.Load(),
		Syncs:        c.syncs.Load(),
		SyncsIgnored: c.syncsIgnored.Load(),
		Polls:        c.polls.Load(),
		RDM:          c.rdm.Load(),
		RDMLost:      c.rdmLost.Load(),
		Replies:      n.replies.Load(),
		Malformed:    c.malformed.Load(),
		Garbage:      c.garbage.Load(),
		Unhandled:    c.unhandled.Load(),
		SendErrors:   c.sendErrors.Load(),
	}
}

// receive takes one datagram that came at now. ArtDmx makes nothing.
func (n *Node) receive(now time.Time, from netip.AddrPort, b []byte) {
	if n.silent.Load() {
		return
	}
	n.count.received.Add(1)
	code, err := artnet.PeekOpCode(b)
	switch {
	case err != nil:
		n.count.garbage.Add(1)
	case code == artnet.OpDmx:
		n.takeDmx(now, from.Addr(), b)
	case code == artnet.OpSync:
		n.takeSync(now, from.Addr(), b)
	case code == artnet.OpPoll:
		n.takePoll(from, b)
	case code == artnet.OpTodRequest:
		n.takeTodRequest(from, b)
	case code == artnet.OpTodControl:
		n.takeTodControl(from, b)
	case code == artnet.OpRdm:
		n.takeRdm(from, b)
	default:
		n.count.unhandled.Add(1)
	}
}

func (n *Node) takeDmx(now time.Time, from netip.Addr, b []byte) {
	n.mu.Lock()
	defer n.mu.Unlock()
	if err := n.dmx.Parse(b); errors.Is(err, artnet.ErrLength) {
		n.count.malformed.Add(1)
		return
	} else if err != nil {
		n.count.garbage.Add(1)
		return
	}
	defer func() { n.dmx.Data = nil }() // a part of b
	p := n.ports[n.dmx.PortAddress]
	if p == nil {
		n.count.other.Add(1)
		return
	}
	switch p.take(now, source{from, n.dmx.Physical}, &n.dmx) {
	case overtaken:
		n.count.overtaken.Add(1)
		return
	case secondSource:
		n.count.second.Add(1)
		return
	}
	n.count.frames.Add(1)
	n.sync.sender = from
	switch {
	case n.sync.on(now):
		p.wait, n.sync.waiting = true, true
	case n.sync.waiting: // for an ArtSync that never came
		p.wait = true
		n.putWaiting(now)
	default:
		n.put(now, p)
	}
}

func (n *Node) takeSync(now time.Time, from netip.Addr, b []byte) {
	if err := new(artnet.Sync).Parse(b); err != nil {
		n.count.garbage.Add(1)
		return
	}
	n.mu.Lock()
	defer n.mu.Unlock()
	if from != n.sync.sender {
		n.count.syncsIgnored.Add(1)
		return
	}
	n.count.syncs.Add(1)
	n.sync.last = now
	n.putWaiting(now)
}

// putWaiting puts out every frame that awaits an ArtSync, in port order.
func (n *Node) putWaiting(now time.Time) {
	for _, a := range n.cfg.Ports {
		if p := n.ports[a]; p.wait {
			n.put(now, p)
		}
	}
	n.sync.waiting = false
}

func (n *Node) put(now time.Time, p *port) {
	p.put(now)
	if n.cfg.Output != nil {
		n.cfg.Output(p.address, p.out, p.outSequence)
	}
}

func (n *Node) takePoll(from netip.AddrPort, b []byte) {
	var p artnet.Poll
	if err := p.Parse(b); err != nil {
		n.count.garbage.Add(1)
		return
	}
	n.count.polls.Add(1)
	for _, a := range n.cfg.Ports {
		if p.Asks(a) {
			n.answers.Owe(from)
			return
		}
	}
	if len(n.cfg.Ports) == 0 && p.Flags&artnet.PollTargeted == 0 {
		n.answers.Owe(from)
	}
}
