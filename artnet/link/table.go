package link

import (
	"maps"
	"net/netip"
	"slices"
	"time"

	"linkboy/artnet"
)

// Times of discovery. The standard: a controller polls every 2.5 to 3 s, and a
// device without an ArtPollReply within 3 s of the poll is disconnected.
const (
	pollEvery   = 2750 * time.Millisecond
	replyWithin = 3 * time.Second
	// keepFor is how long a device that stopped answering still gets its
	// universes. It shows as lost long before; but an answer lost on a bad
	// radio link must not stop the light in the middle of a take.
	keepFor = 12 * time.Second
)

// nodesMost bounds the table against invented senders.
const nodesMost = 1024

// table holds what the devices said. It knows no clock and no socket.
type table struct {
	port uint16
	to   []netip.AddrPort
	// broadcast sends every universe to everyone, and none to one device.
	broadcast bool
	aim       map[artnet.PortAddress]Target // port-addresses that go where they are told
	named     []netip.AddrPort              // the devices of to and aim, each once
	known     map[netip.AddrPort]*node
	// fresh counts, per port-address, how often a device for it came up: the
	// next frame must then be sent in full. freshTo is the same for named
	// devices and broadcast, and counts in every port-address.
	fresh   map[artnet.PortAddress]uint64
	freshTo uint64
}

func newTable(port uint16, to []netip.AddrPort) table {
	return table{port: port, to: to, named: to, known: make(map[netip.AddrPort]*node), fresh: make(map[artnet.PortAddress]uint64)}
}

// place is where a device that answered from an address takes frames: on the
// Art-Net port there, whatever port it sends from and whatever its reply says,
// both of which devices get wrong; save one named in to with a port of its own.
func (t *table) place(from netip.AddrPort) netip.AddrPort {
	if slices.Contains(t.named, from) {
		return from
	}
	return netip.AddrPortFrom(from.Addr(), t.port)
}

// news is what a reply changed.
type news uint8

const (
	nothingNew news = iota
	newPorts        // a known device puts out something else
	newNode
	nodeBack
	tableFull
)

// reply takes an ArtPollReply that came at now. Anything but nothingNew and
// tableFull asks for new routes.
func (t *table) reply(now time.Time, from netip.AddrPort, r *artnet.PollReply) (NodeInfo, news) {
	at := t.place(from)
	n, what := t.known[at], nothingNew
	switch {
	case n == nil && len(t.known) >= nodesMost:
		return NodeInfo{}, tableFull
	case n == nil:
		n, what = &node{pages: make(map[uint8]page)}, newNode
		t.known[at] = n
	case n.info.Lost:
		what = nodeBack
	}
	index := max(r.BindIndex, 1) // 0 is an old way to say root
	outputs := r.Outputs(nil)
	if had := n.pages[index]; what == nothingNew && !slices.Equal(had.outputs, outputs) {
		what = newPorts
	}
	if what == nodeBack {
		t.refresh(at, n.outputs())
	}
	if what != nothingNew {
		t.refresh(at, outputs)
	}
	n.pages[index] = page{outputs: outputs, lines: linesOf(index, r), seen: now}
	n.macs.heard(now, r.MAC)
	n.info.LastSeen, n.info.Lost = now, false
	n.describe(at, index, r)
	return n.info, what
}

// refresh asks for full frames for the device at an address.
func (t *table) refresh(at netip.AddrPort, outputs []artnet.PortAddress) {
	for _, a := range outputs {
		t.fresh[a]++
	}
	if len(outputs) > 0 && (t.broadcast || slices.Contains(t.named, at)) {
		t.freshTo++
	}
}

// expire is called at now, replyWithin after the poll at asked: devices not
// heard of since that poll are lost, and returned. Pages not heard of for
// keepFor are dropped, and so are lost devices that answer from another address,
// which changes the routes.
func (t *table) expire(now, asked time.Time) (lost []NodeInfo, dropped bool) {
	for at, n := range t.known {
		missed := n.info.LastSeen.Before(asked)
		if missed && t.moved(n, asked) {
			delete(t.known, at)
			dropped = true
			continue
		}
		if missed && !n.info.Lost {
			n.info.Lost = true
			lost = append(lost, n.info)
		}
		before := len(n.pages)
		maps.DeleteFunc(n.pages, func(_ uint8, p page) bool { return now.Sub(p.seen) > keepFor })
		if len(n.pages) < before {
			dropped = true
			if !n.info.Lost {
				n.info.Ports, n.info.Lines = n.outputs(), n.lines() // a lost device still shows what it had
			}
		}
	}
	return lost, dropped
}

// moved reports whether a device with the same MAC and name answers from
// another address.
func (t *table) moved(lost *node, asked time.Time) bool {
	for _, n := range t.known {
		if n != lost && !n.info.LastSeen.Before(asked) && n.info.MAC != [6]byte{} && n.info.MAC == lost.info.MAC && n.info.Name == lost.info.Name {
			return true
		}
	}
	return false
}

// nodes lists the devices as of now.
func (t *table) nodes(now time.Time) []NodeInfo {
	all := make([]NodeInfo, 0, len(t.known))
	for _, n := range t.known {
		info := n.info // its lists are made anew when they change
		info.Twin = n.macs.twin(now)
		all = append(all, info)
	}
	slices.SortFunc(all, func(a, b NodeInfo) int { return a.Addr.Compare(b.Addr) })
	return all
}

// routes is where every port-address goes as things stand.
func (t *table) routes() *routes {
	r := &routes{by: make(map[artnet.PortAddress]*route), doubt: make(map[netip.AddrPort]bool)}
	for _, to := range t.named {
		r.doubt[to] = t.known[to] == nil
	}
	for at, n := range t.known {
		if n.info.Lost {
			r.doubt[at] = true
		}
	}
	if len(t.to) > 0 || t.broadcast {
		r.all, r.broadcast = &route{to: t.to, fresh: t.freshTo}, t.broadcast
		return r
	}
	for at, n := range t.known {
		for _, a := range n.outputs() {
			if r.by[a] == nil {
				r.by[a] = &route{fresh: t.fresh[a] + t.freshTo}
			}
			r.by[a].to = append(r.by[a].to, at)
		}
	}
	for a, to := range t.aim {
		r.by[a] = &route{to: slices.Clone(to.To), broadcast: to.Broadcast, fresh: t.fresh[a] + t.freshTo}
		r.some = r.some || to.Broadcast
	}
	for _, to := range r.by {
		slices.SortFunc(to.to, netip.AddrPort.Compare)
	}
	return r
}

// routes maps port-addresses to devices. It is never changed once made.
type routes struct {
	all       *route // set: every port-address goes there
	broadcast bool   // and to the broadcast address
	some      bool   // some of by go to the broadcast address
	by        map[artnet.PortAddress]*route
	doubt     map[netip.AddrPort]bool // devices that may not be there
}

type route struct {
	to        []netip.AddrPort
	broadcast bool   // to the broadcast address instead
	fresh     uint64 // another number than last time: send in full
}

// of is the route of a port-address, nil when nobody wants it.
func (r *routes) of(a artnet.PortAddress) *route {
	if r.all != nil {
		return r.all
	}
	return r.by[a]
}
