package outlet

import (
	"net/netip"
	"slices"

	"linkboy/artnet"
	"linkboy/artnet/listen"
	"linkboy/artnet/sacn"
	"linkboy/artnet/sacn/source"
)

// stand is how a universe of sACN stands to what is sent here.
type stand struct {
	ports    []artnet.PortAddress // that nodes would put out of it
	priority uint8                // what we send it with, the highest
	sent     bool                 // we send it too
}

// stands are the universes of the location, each as sACN numbers it: those that go out
// over sACN by their output's offset, those over Art-Net as Art-Net 4 does, one for one.
func (p *plan) stands(outputs []Output) {
	p.universes = map[sacn.Universe]stand{}
	for i := range outputs {
		out := &outputs[i]
		offset := 0
		if out.Over == SACN {
			offset = out.Offset
		}
		for _, port := range out.carries(p.ports) {
			u, ok := source.UniverseOf(uint16(port), offset)
			if !ok {
				continue
			}
			s := p.universes[u]
			if !slices.Contains(s.ports, port) {
				s.ports = append(s.ports, port)
			}
			if out.Over == SACN && !(s.sent && s.priority > uint8(out.Priority)) {
				s.sent, s.priority = true, uint8(out.Priority)
			}
			p.universes[u] = s
		}
	}
	for u := range p.universes {
		p.numbers = append(p.numbers, u)
	}
	slices.Sort(p.numbers)
}

// newWatch hears other sACN sources of the universes of the location.
func (o *Outlet) newWatch() *listen.Watch {
	return listen.NewWatch(listen.WatchConfig{
		Interface: o.cfg.Interface, Port: o.cfg.SACNPort,
		Universes: func() []sacn.Universe { return o.plan.Load().numbers },
		Ours: func(cid sacn.CID) bool {
			_, ours := o.cids.Load(cid)
			return ours
		},
		Trouble: func(err error) { o.log.Warn("other sACN sources cannot be heard", "error", err) },
	})
}

// Stream is what another source of sACN sends on a universe of the location.
type Stream struct {
	Addr     netip.Addr
	Name     string
	Universe uint16
	Ports    []artnet.PortAddress // that it stands for here
	Rate     float64              // packets a second
	Priority uint8
	Sent     bool  // the location sends the universe over sACN as well
	Ours     uint8 // and with this priority
}

// Streams lists the other sACN sources that send universes of the location by multicast,
// by universe.
func (o *Outlet) Streams() []Stream {
	var all []Stream
	p := o.plan.Load()
	for _, s := range o.watch.Others() {
		at, here := p.universes[sacn.Universe(s.Universe)]
		if !here { // the location has changed since
			continue
		}
		all = append(all, Stream{
			Addr: s.Addr, Name: s.Name, Universe: s.Universe, Rate: s.Rate, Priority: s.Priority,
			Ports: at.ports, Sent: at.sent, Ours: at.priority,
		})
	}
	return all
}
