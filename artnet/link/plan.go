package link

import (
	"errors"
	"fmt"
	"net/netip"
	"slices"

	"linkboy/artnet"
)

// plan is what goes where: each device's port-addresses, device by device, so
// that a batch can carry what one device takes as one message. It is made
// anew when the frame has other port-addresses or the routes changed, in time
// proportional to their number (see BenchmarkPlan), and keeps its memory.
type plan struct {
	routes    *routes
	broadcast netip.AddrPort
	all       [1]netip.AddrPort // the broadcast address, when all go there
	entries   []entry
	nodes     []planNode
	index     map[netip.AddrPort]int32 // of nodes
	ports     int                      // port-addresses that somebody wants
}

// planNode is a device and its entries.
type planNode struct {
	to        netip.AddrPort
	from, end int32
	lane      int // for peer.Sockets.SendAside; 0 is a device that is there
}

// entry is one universe to one device.
type entry struct {
	port *port
	slot int32 // where it stands in a frame
	node int32
}

func newPlan() plan { return plan{index: make(map[netip.AddrPort]int32)} }

var errNoBroadcast = errors.New("this interface has no broadcast address")

// arrange makes the plan for s.addresses unless it stands.
func (s *sender) arrange(r *routes, broadcast netip.AddrPort) error {
	p := &s.plan
	if p.routes == r && p.broadcast == broadcast {
		return nil
	}
	if (r.broadcast || r.some) && !broadcast.IsValid() {
		return fmt.Errorf("%w; name the devices instead", errNoBroadcast)
	}
	p.routes, p.broadcast, p.all[0] = r, broadcast, broadcast
	p.nodes, p.ports = p.nodes[:0], 0
	clear(p.index)
	for i, a := range s.addresses {
		port := s.port(a)
		port.index, port.route = i, r.of(artnet.PortAddress(a))
	}
	n, lanes := int32(0), 0
	s.each(func(_ int, _ *port, to netip.AddrPort) {
		i, known := p.index[to]
		if !known {
			i = int32(len(p.nodes))
			p.index[to] = i
			node := planNode{to: to}
			if r.doubt[to] {
				lanes++
				node.lane = lanes
			}
			p.nodes = append(p.nodes, node)
		}
		p.nodes[i].end++
		n++
	})
	p.entries = slices.Grow(p.entries[:0], int(n))[:n]
	at := int32(0)
	for i := range p.nodes {
		p.nodes[i].from, at = at, at+p.nodes[i].end
		p.nodes[i].end = p.nodes[i].from
	}
	s.each(func(slot int, port *port, to netip.AddrPort) {
		i := p.index[to]
		p.entries[p.nodes[i].end] = entry{port: port, slot: int32(slot), node: i}
		p.nodes[i].end++
	})
	return nil
}

// each calls do with every universe that somebody wants and with where it goes.
func (s *sender) each(do func(slot int, p *port, to netip.AddrPort)) {
	s.plan.ports = 0
	for i, a := range s.addresses {
		p := s.ports[a]
		if p.route == nil || p.index != i { // nobody wants it, or it comes again
			continue
		}
		s.plan.ports++
		to := p.route.to
		if s.plan.routes.broadcast || p.route.broadcast {
			to = s.plan.all[:]
		}
		for _, t := range to {
			do(i, p, t)
		}
	}
}

// port is the memory of a port-address that publish has let through.
func (s *sender) port(address uint16) *port {
	if s.ports[address] == nil {
		s.ports[address] = newPort(artnet.PortAddress(address))
	}
	return s.ports[address]
}
