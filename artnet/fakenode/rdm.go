package fakenode

import (
	"net/netip"

	"linkboy/artnet"
)

// takeTodRequest answers with the table of every port that is asked for. It
// starts no search.
func (n *Node) takeTodRequest(from netip.AddrPort, b []byte) {
	var r artnet.TodRequest
	if err := r.Parse(b); err != nil || r.Command != artnet.TodFull {
		n.count.garbage.Add(1)
		return
	}
	n.count.rdm.Add(1)
	n.heard(from)
	for _, a := range n.cfg.Ports {
		if g := n.gateways[a]; g != nil && r.Asks(a) {
			g.tell()
		}
	}
}

// takeTodControl starts a search of a line from nothing; the other commands
// mean nothing here, as the search in the background is always on.
func (n *Node) takeTodControl(from netip.AddrPort, b []byte) {
	var c artnet.TodControl
	if err := c.Parse(b); err != nil {
		n.count.garbage.Add(1)
		return
	}
	n.count.rdm.Add(1)
	n.heard(from)
	if g := n.gateways[c.PortAddress]; g != nil && c.Command == artnet.TodControlFlush {
		g.forget()
		g.owe(job{from: from, anew: true})
	}
}

// takeRdm passes a message on to its line. Discovery never travels over
// Art-Net.
func (n *Node) takeRdm(from netip.AddrPort, b []byte) {
	var r artnet.Rdm
	if err := r.Parse(b); err != nil || r.Command != artnet.RdmProcess {
		n.count.garbage.Add(1)
		return
	}
	n.count.rdm.Add(1)
	n.heard(from)
	g := n.gateways[r.PortAddress]
	const classAt, discovery = 19, 0x10 // of the message without its START code
	if g == nil || r.Message[classAt]&^1 == discovery {
		n.count.rdmLost.Add(1)
		return
	}
	g.owe(job{from: from, message: append([]byte{0xcc}, r.Message...)})
}

// heard remembers who asked last, for where there is no broadcast.
func (n *Node) heard(from netip.AddrPort) { n.asker.Store(&from) }

// broadcast sends a packet by directed broadcast or, where the network has none,
// to who asked last.
func (n *Node) broadcast(p artnet.Packet) {
	to := n.everyone()
	if !to.IsValid() {
		asker := n.asker.Load()
		if asker == nil {
			return
		}
		to = *asker
	}
	n.send(p, to)
}

// send sends a packet that is no answer to a poll.
func (n *Node) send(p artnet.Packet, to netip.AddrPort) {
	if n.silent.Load() {
		return
	}
	b, err := p.AppendBinary(nil)
	if err == nil {
		err = n.write(b, to)
	}
	if err != nil {
		n.count.sendErrors.Add(1)
		n.cfg.Logger.Warn("cannot send", "packet", p.OpCode(), "to", to, "error", err)
	}
}
