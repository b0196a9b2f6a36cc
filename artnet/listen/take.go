package listen

import (
	"net/netip"
	"time"

	"linkboy/artnet"
	"linkboy/artnet/sacn"
)

// TakeArtNet takes a datagram that came at now to the Art-Net port.
func (t *Table) TakeArtNet(now time.Time, from netip.Addr, b []byte) {
	t.mu.Lock()
	defer t.mu.Unlock()
	code, err := artnet.PeekOpCode(b)
	switch {
	case err != nil:
		t.counts.Bad++
	case code == artnet.OpDmx:
		t.takeDmx(now, from, b)
	case code == artnet.OpPollReply:
		t.takeReply(from, b)
	case code == artnet.OpPoll:
		t.counts.ArtPoll++
	case code == artnet.OpSync:
		t.counts.ArtSync++
	default:
		t.counts.ArtOther++
	}
}

func (t *Table) takeDmx(now time.Time, from netip.Addr, b []byte) {
	d := &t.dmx
	defer func() { d.Data = nil }() // a part of b
	if d.ParseBare(b) != nil {
		t.counts.Bad++
		return
	}
	t.counts.ArtDmx++
	k := key{protocol: ArtNet, universe: uint16(d.PortAddress)}
	ip := from.As4()
	copy(k.source[:], ip[:])
	k.source[16] = d.Physical
	s := t.stream(now, k, from)
	if s == nil {
		return
	}
	s.Physical = d.Physical
	if s.started && artnet.Overtaken(s.sequence, d.Sequence) {
		s.Disorder++
		return
	}
	s.took(now, d.Sequence)
	// A short packet changes only its slots.
	s.size = max(s.size, copy(s.slots[:], d.Data))
}

func (t *Table) takeReply(from netip.Addr, b []byte) {
	var r artnet.PollReply
	if r.Parse(b) != nil {
		t.counts.Bad++
		return
	}
	t.counts.ArtPollReply++
	if _, known := t.names[from]; known || len(t.names) < most {
		t.names[from] = artnet.Printable(r.ShortName)
	}
}

// TakeSACN takes a datagram that came at now to the port of E1.31.
func (t *Table) TakeSACN(now time.Time, from netip.Addr, b []byte) {
	t.mu.Lock()
	defer t.mu.Unlock()
	kind, err := sacn.PeekKind(b)
	switch {
	case err != nil:
		t.counts.Bad++
	case kind == sacn.KindData:
		t.takeData(now, from, b)
	case kind == sacn.KindSync:
		t.takeSync(now, b)
	default:
		t.takeDiscovery(now, from, b)
	}
}

func (t *Table) takeData(now time.Time, from netip.Addr, b []byte) {
	d := &t.data
	defer func() { d.Slots = nil }() // a part of b
	if d.Parse(b) != nil {
		t.counts.Bad++
		return
	}
	t.counts.SACNData++
	k := key{protocol: SACN, universe: uint16(d.Universe)}
	copy(k.source[:], d.CID[:])
	s := t.stream(now, k, from)
	if s == nil {
		return
	}
	if s.started && sacn.Overtaken(s.sequence, d.Sequence) {
		s.Disorder++
		return
	}
	s.Addr, s.CID = from, d.CID
	if d.Options&sacn.Terminated != 0 {
		s.State, s.started = Ended, false
		return // its slots mean nothing
	}
	s.took(now, d.Sequence)
	if s.name != d.SourceName {
		s.name, s.Name = d.SourceName, artnet.Printable(d.SourceName.String())
	}
	s.Priority, s.Sync, s.Preview = d.Priority, d.SyncAddress, d.Options&sacn.Preview != 0
	if d.StartCode != sacn.StartCodeLevels {
		s.Others++
		return
	}
	if !s.Preview {
		s.size = copy(s.slots[:], d.Slots)
	}
}

// took counts a packet that is in order.
func (s *stream) took(now time.Time, sequence uint8) {
	s.State, s.sequence, s.started, s.LastSeen = Live, sequence, true, now
	s.Packets++
	s.rate.Add(now)
}

func (t *Table) takeSync(now time.Time, b []byte) {
	var y sacn.Sync
	if y.Parse(b) != nil {
		t.counts.Bad++
		return
	}
	t.counts.SACNSync++
	k := syncKey{y.CID, y.Address}
	if _, known := t.syncs[k]; known || len(t.syncs) < most {
		t.syncs[k] = now
	}
}

func (t *Table) takeDiscovery(now time.Time, from netip.Addr, b []byte) {
	var d sacn.Discovery
	if d.Parse(b) != nil {
		t.counts.Bad++
		return
	}
	t.counts.SACNDiscovery++
	l := t.lists[d.CID]
	if l == nil {
		if len(t.lists) >= most {
			t.counts.Full++
			return
		}
		l = &list{pages: map[uint8][]sacn.Universe{}}
		t.lists[d.CID] = l
	}
	l.name, l.addr, l.seen = artnet.Printable(d.SourceName.String()), from, now
	l.pages[d.Page] = d.Universes
	for page := range l.pages {
		if page > d.LastPage {
			delete(l.pages, page) // the list has become shorter
		}
	}
}
