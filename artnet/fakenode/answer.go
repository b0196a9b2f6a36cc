package fakenode

import (
	"net/netip"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/peer"
)

// firmware is the version the node shows.
const firmware = 1

// answer tells the controller at to what the node is: one page per port, the
// form that Art-Net 4 prefers.
func (n *Node) answer(to netip.AddrPort) {
	if n.silent.Load() {
		return
	}
	var packet []byte
	for _, r := range n.describe(time.Now(), n.sockets.Local(), n.sockets.Interface()) {
		r.NodeReport = artnet.NodeReport(1, n.replies.Add(1), "Running")
		var err error
		if packet, err = r.AppendBinary(packet[:0]); err == nil {
			err = n.sockets.WriteToAddrPort(packet, to)
		}
		if err != nil {
			n.count.sendErrors.Add(1)
			n.cfg.Logger.Warn("cannot answer a poll", "to", to, "error", err)
			return
		}
	}
}

// describe is the node's ArtPollReply pages as of now.
func (n *Node) describe(now time.Time, local netip.AddrPort, at peer.Interface) []artnet.PollReply {
	root := artnet.PollReply{
		IP:          local.Addr(),
		Port:        local.Port(),
		Version:     firmware,
		Oem:         artnet.UnknownOem,
		Status1:     artnet.IndicatorsNormal | artnet.AddressLocal,
		EstaMan:     artnet.PrototypeEsta,
		ShortName:   n.cfg.Name,
		LongName:    n.cfg.Name + " (software)",
		Style:       artnet.StyleNode,
		MAC:         at.MAC,
		BindIP:      local.Addr(),
		BindIndex:   1,
		Status2:     artnet.Address15Bit,
		GoodOutputB: [4]uint8{artnet.OutputNoRDM | artnet.OutputContinue},
		RefreshRate: 44,
	}
	if len(n.gateways) > 0 {
		root.Status1 |= artnet.RDMCapable
	}
	if len(n.cfg.Ports) == 0 {
		return []artnet.PollReply{root}
	}
	n.mu.Lock()
	defer n.mu.Unlock()
	pages := make([]artnet.PollReply, len(n.cfg.Ports))
	for i, a := range n.cfg.Ports {
		p := root
		p.BindIndex = uint8(i + 1)
		p.NumPorts = 1
		p.NetSwitch, p.SubSwitch = a.Net(), a.Sub()
		p.PortTypes[0] = artnet.PortOutput
		p.SwOut[0] = a.Universe()
		if n.gateways[a] != nil {
			p.GoodOutputB[0] &^= artnet.OutputNoRDM
		}
		if n.ports[a].live(now, n.cfg.Timeout) {
			p.GoodOutputA[0] = artnet.OutputActive
		}
		pages[i] = p
	}
	return pages
}
