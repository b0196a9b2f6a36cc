package listen

import (
	"cmp"
	"net/netip"
	"slices"
	"sync"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/sacn"
)

// most bounds the streams, names and lists that are kept, against invented
// senders.
const most = 4096

// Counts are the datagrams that came, by kind.
type Counts struct {
	ArtDmx, ArtSync, ArtPoll, ArtPollReply, ArtOther uint64
	SACNData, SACNSync, SACNDiscovery                uint64
	Bad                                              uint64 // neither, or against the standard
	Full                                             uint64 // not kept, for want of room
}

// Any reports whether anything came at all.
func (c Counts) Any() bool { return c != Counts{} }

// List is what a source of E1.31 says it sends, universe discovery.
type List struct {
	CID       sacn.CID
	Name      string
	Addr      netip.Addr
	Universes []sacn.Universe // ascending
	LastSeen  time.Time
}

// Table keeps what has arrived. It may be used from any goroutine; a known
// source costs no memory.
type Table struct {
	mu      sync.Mutex
	streams map[key]*stream
	names   map[netip.Addr]string // of Art-Net devices
	lists   map[sacn.CID]*list
	syncs   map[syncKey]time.Time // last sync packet
	counts  Counts
	dmx     artnet.Dmx // for parsing
	data    sacn.Data
}

type syncKey struct {
	source  sacn.CID
	address sacn.Universe
}

// list collects the pages of a List.
type list struct {
	name  string
	addr  netip.Addr
	seen  time.Time
	pages map[uint8][]sacn.Universe
}

// NewTable is an empty Table.
func NewTable() *Table {
	return &Table{
		streams: map[key]*stream{}, names: map[netip.Addr]string{},
		lists: map[sacn.CID]*list{}, syncs: map[syncKey]time.Time{},
	}
}

// stream is the stream of a key, made when it is new; nil without room.
func (t *Table) stream(now time.Time, k key, from netip.Addr) *stream {
	s := t.streams[k]
	if s == nil {
		if len(t.streams) >= most {
			t.forget(now)
		}
		if len(t.streams) >= most {
			t.counts.Full++
			return nil
		}
		s = &stream{Stream: Stream{Protocol: k.protocol, Universe: k.universe, Addr: from}}
		s.LastSeen = now
		t.streams[k] = s
	}
	s.settle(now)
	return s
}

// forget drops what stopped long ago.
func (t *Table) forget(now time.Time) {
	for k, s := range t.streams {
		s.settle(now)
		if s.State != Live && now.Sub(s.LastSeen) >= keepFor {
			delete(t.streams, k)
		}
	}
	for cid, l := range t.lists {
		if now.Sub(l.seen) >= 2*sacn.DiscoveryInterval {
			delete(t.lists, cid)
		}
	}
	for k, at := range t.syncs {
		if now.Sub(at) >= sacn.DataLossTimeout {
			delete(t.syncs, k)
		}
	}
}

// Look lists the streams as of now, by protocol, universe and source, with what
// changed since the last look.
func (t *Table) Look(now time.Time) []Stream {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.forget(now)
	highest := t.priorities()
	all := make([]Stream, 0, len(t.streams))
	for _, s := range t.streams {
		out := s.Stream
		out.Rate = s.rate.PerSecond(now)
		if s.State != Live {
			out.Rate = 0
		}
		out.Changed = s.changed()
		out.Slots = slices.Clone(s.slots[:s.size])
		if s.Protocol == ArtNet {
			out.Name = t.names[s.Addr]
		}
		_, out.Synced = t.syncs[syncKey{s.CID, s.Sync}]
		out.Synced = out.Synced && s.Sync != 0
		out.Counts = s.drives() && (s.Protocol == ArtNet || s.Priority >= highest[s.Universe])
		all = append(all, out)
	}
	slices.SortFunc(all, func(a, b Stream) int {
		return cmp.Or(cmp.Compare(a.Protocol, b.Protocol), cmp.Compare(a.Universe, b.Universe), a.Addr.Compare(b.Addr),
			slices.Compare(a.CID[:], b.CID[:]), cmp.Compare(a.Physical, b.Physical))
	})
	return all
}

// priorities is the highest priority that drives each universe of E1.31.
func (t *Table) priorities() map[uint16]uint8 {
	highest := map[uint16]uint8{}
	for _, s := range t.streams {
		if s.Protocol == SACN && s.drives() {
			highest[s.Universe] = max(highest[s.Universe], s.Priority)
		}
	}
	return highest
}

// Counts is what has come so far.
func (t *Table) Counts() Counts {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.counts
}

// Lists are what sources of E1.31 say they send, by name.
func (t *Table) Lists(now time.Time) []List {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.forget(now)
	all := make([]List, 0, len(t.lists))
	for cid, l := range t.lists {
		out := List{CID: cid, Name: l.name, Addr: l.addr, LastSeen: l.seen}
		for _, page := range l.pages {
			out.Universes = append(out.Universes, page...)
		}
		slices.Sort(out.Universes)
		out.Universes = slices.Compact(out.Universes)
		all = append(all, out)
	}
	slices.SortFunc(all, func(a, b List) int { return cmp.Or(cmp.Compare(a.Name, b.Name), slices.Compare(a.CID[:], b.CID[:])) })
	return all
}
