package link

import (
	"fmt"
	"net/netip"
	"slices"
	"time"

	"linkboy/artnet"
)

// receive takes one datagram. It may run in two goroutines at once. The op-code
// decides first, so that what does not concern a controller costs neither
// parsing nor memory, however much of it comes.
func (l *Link) receive(from netip.AddrPort, b []byte) {
	l.count.received.Add(1)
	code, err := artnet.PeekOpCode(b)
	if err != nil {
		l.count.ignore(err)
		return
	}
	switch code {
	case artnet.OpDmx:
		l.takeDmx(from, b)
	case artnet.OpPollReply:
		l.readReply(from, b)
	case artnet.OpPoll:
		l.takePoll(from, b)
	case artnet.OpTimeCode:
		l.takeTimeCode(from, b)
	case artnet.OpTodData, artnet.OpRdm:
		p, err := artnet.Parse(b)
		if err != nil {
			l.count.ignore(err)
			return
		}
		l.takeRDM(from, p)
	default:
		l.count.opCode.Add(1)
	}
}

// takeDmx counts the ArtDmx of others, and remembers who sends to a
// port-address that we send to.
func (l *Link) takeDmx(from netip.AddrPort, b []byte) {
	var d artnet.Dmx
	if err := d.ParseBare(b); err != nil {
		l.count.ignore(err)
		return
	}
	l.count.dmx.Add(1)
	if _, ours := slices.BinarySearch(*l.sourced.Load(), d.PortAddress); !ours || from == l.Local() {
		return
	}
	if !l.sources.heard(time.Now(), from.Addr(), d.PortAddress) {
		l.count.full.Add(1)
	}
}

func (l *Link) takePoll(from netip.AddrPort, b []byte) {
	var p artnet.Poll
	if err := p.Parse(b); err != nil {
		l.count.ignore(err)
		return
	}
	if from == l.Local() {
		l.heardOwnPoll()
	}
	if l.asked(&p) && !l.answers.Owe(from) {
		l.count.full.Add(1)
	}
}

// takeTimeCode hands an ArtTimeCode to who wants it.
func (l *Link) takeTimeCode(from netip.AddrPort, b []byte) {
	if l.cfg.TimeCode == nil {
		l.count.opCode.Add(1)
		return
	}
	var c artnet.TimeCode
	if err := c.Parse(b); err != nil {
		l.count.ignore(err)
		return
	}
	l.cfg.TimeCode(from, &c)
}

// readReply reads an ArtPollReply. Our own answer to our own poll is no device,
// nor can a program on our own address and port be reached.
func (l *Link) readReply(from netip.AddrPort, b []byte) {
	var r artnet.PollReply
	if err := r.Parse(b); err != nil {
		l.count.ignore(err)
		return
	}
	l.mu.Lock()
	own := l.table.place(from) == l.Local()
	l.mu.Unlock()
	if !own {
		l.takeReply(from, &r)
	}
}

func (l *Link) takeReply(from netip.AddrPort, r *artnet.PollReply) {
	l.mu.Lock()
	n, what := l.table.reply(time.Now(), from, r)
	if what == newPorts || what == newNode || what == nodeBack {
		l.routes.Store(l.table.routes())
	}
	l.mu.Unlock()
	switch what {
	case tableFull:
		l.count.full.Add(1)
	case newNode:
		l.cfg.Logger.Info("found a node", "node", n.Name, "addr", n.Addr, "ports", fmt.Sprint(n.Ports))
	case nodeBack:
		l.cfg.Logger.Info("a node answers again", "node", n.Name, "addr", n.Addr)
	case newPorts:
		// A node tells its ports a page at a time, so this comes in runs.
		l.cfg.Logger.Debug("a node has other ports", "node", n.Name, "addr", n.Addr, "ports", fmt.Sprint(n.Ports))
	}
}
