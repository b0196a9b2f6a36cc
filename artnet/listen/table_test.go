package listen_test

import (
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/listen"
	"linkboy/artnet/sacn"
)

// The senders' addresses are those for documentation, RFC 5737.
var (
	one = netip.MustParseAddr("192.0.2.1")
	two = netip.MustParseAddr("192.0.2.2")
	cid = sacn.CID{15: 1}
)

// bench is a Table and its clock.
type bench struct {
	*listen.Table
	t   testing.TB
	now time.Time
}

func newBench(t testing.TB) *bench {
	return &bench{listen.NewTable(), t, time.Unix(1e9, 0)}
}

func (b *bench) pass(d time.Duration) { b.now = b.now.Add(d) }

func (b *bench) bytes(p interface{ AppendBinary([]byte) ([]byte, error) }) []byte {
	b.t.Helper()
	out, err := p.AppendBinary(nil)
	require.NoError(b.t, err)
	return out
}

func (b *bench) dmx(from netip.Addr, d artnet.Dmx) {
	b.t.Helper()
	b.TakeArtNet(b.now, from, b.bytes(&d))
}

// data takes a data packet; what it does not say is source cid, universe 1 and
// priority 100.
func (b *bench) data(d sacn.Data) {
	b.t.Helper()
	if d.CID == (sacn.CID{}) {
		d.CID = cid
	}
	if d.Universe == 0 {
		d.Universe = 1
	}
	if d.Priority == 0 {
		d.Priority = sacn.DefaultPriority
	}
	b.TakeSACN(b.now, one, b.bytes(&d))
}

func (b *bench) look() []listen.Stream { return b.Look(b.now) }

// only is the one stream there is.
func (b *bench) only() listen.Stream {
	b.t.Helper()
	all := b.look()
	require.Len(b.t, all, 1)
	return all[0]
}

func TestStreamOfE131(t *testing.T) {
	b := newBench(t)
	name, err := sacn.NewName("their desk")
	require.NoError(t, err)
	for i := range 89 {
		b.data(sacn.Data{SourceName: name, Universe: 291, Priority: 120, Sequence: uint8(i), Slots: []byte{1, 2, 3, byte(i)}})
		b.pass(time.Second / 44)
	}
	s := b.only()
	require.InDelta(t, 44, s.Rate, 0.5)
	s.Rate = 0
	require.Equal(t, listen.Stream{
		Protocol: listen.SACN, Universe: 291, Addr: one, Name: "their desk", CID: cid, Priority: 120, Counts: true, Packets: 89,
		Slots: []byte{1, 2, 3, 88}, Changed: []listen.Range{{First: 1, Values: []byte{1, 2, 3, 88}}}, LastSeen: b.now.Add(-time.Second / 44),
	}, s)
	b.data(sacn.Data{SourceName: name, Universe: 291, Priority: 120, Sequence: 89, Slots: []byte{1, 9, 3, 88, 5, 6}})
	require.Equal(t, []listen.Range{{2, []byte{9}}, {5, []byte{5, 6}}}, b.only().Changed)
	require.Empty(t, b.only().Changed, "since the last look")
}

func TestHighestPriorityCounts(t *testing.T) {
	b := newBench(t)
	low, high, equal := sacn.CID{15: 1}, sacn.CID{15: 2}, sacn.CID{15: 3}
	counts := func() map[sacn.CID]bool {
		got := map[sacn.CID]bool{}
		for _, s := range b.look() {
			got[s.CID] = s.Counts
		}
		return got
	}
	var n uint8
	send := func(c sacn.CID, priority uint8, o sacn.Options) {
		n++
		b.data(sacn.Data{CID: c, Priority: priority, Options: o, Sequence: n, Slots: []byte{1}})
	}
	send(low, 100, 0)
	require.Equal(t, map[sacn.CID]bool{low: true}, counts())
	send(high, 150, 0)
	send(equal, 150, 0)
	require.Equal(t, map[sacn.CID]bool{low: false, high: true, equal: true}, counts(), "equal ones are told side by side")
	send(high, 150, sacn.Preview)
	send(equal, 150, sacn.Terminated)
	require.Equal(t, map[sacn.CID]bool{low: true, high: false, equal: false}, counts(), "neither preview nor what has ended counts")
	send(high, 200, 0)
	require.Equal(t, map[sacn.CID]bool{low: false, high: true, equal: false}, counts())
	b.pass(sacn.DataLossTimeout)
	send(low, 1, 0)
	require.Equal(t, map[sacn.CID]bool{low: true, high: false, equal: false}, counts(), "lost: the next takes over")
}

func TestPreviewIsSaidAndChangesNothing(t *testing.T) {
	b := newBench(t)
	b.data(sacn.Data{Sequence: 1, Slots: []byte{7, 7}})
	b.data(sacn.Data{Sequence: 2, Slots: []byte{9, 9}, Options: sacn.Preview})
	s := b.only()
	require.True(t, s.Preview)
	require.False(t, s.Counts)
	require.Equal(t, []byte{7, 7}, s.Slots)
	b.data(sacn.Data{Sequence: 3, Slots: []byte{8, 8}})
	require.Equal(t, []byte{8, 8}, b.only().Slots)
}

func TestTerminated(t *testing.T) {
	b := newBench(t)
	b.data(sacn.Data{Sequence: 1, Slots: []byte{7, 7}})
	for i := range uint8(3) { // three times, section 6.2.6
		b.data(sacn.Data{Sequence: 2 + i, Slots: []byte{0, 0}, Options: sacn.Terminated})
		s := b.only()
		require.Equal(t, listen.Ended, s.State)
		require.Equal(t, []byte{7, 7}, s.Slots, "its slots mean nothing")
		require.Zero(t, s.Rate)
	}
	b.data(sacn.Data{Sequence: 4, Slots: []byte{8}}) // it starts again, wherever it counts
	require.Equal(t, listen.Live, b.only().State)
	b.data(sacn.Data{Sequence: 5, Options: sacn.Terminated})
	b.pass(time.Minute)
	require.Empty(t, b.look(), "listed for a while, then forgotten")
}

func TestSynchronizationIsSaid(t *testing.T) {
	b := newBench(t)
	b.data(sacn.Data{SyncAddress: 7000, Slots: []byte{7}})
	s := b.only()
	require.Equal(t, sacn.Universe(7000), s.Sync)
	require.False(t, s.Synced, "no sync packet yet")
	require.Equal(t, []byte{7}, s.Slots)
	b.TakeSACN(b.now, one, b.bytes(&sacn.Sync{CID: cid, Address: 7000}))
	b.TakeSACN(b.now, two, b.bytes(&sacn.Sync{CID: sacn.CID{1}, Address: 1}))
	require.True(t, b.only().Synced)
	b.pass(sacn.DataLossTimeout)
	b.data(sacn.Data{Sequence: 1, SyncAddress: 7000, Slots: []byte{8}})
	require.False(t, b.only().Synced, "2.5 s without sync packets")
	require.Equal(t, uint64(2), b.Counts().SACNSync)
}

func TestDataLoss(t *testing.T) {
	b := newBench(t)
	b.data(sacn.Data{Universe: 1, Sequence: 50, Slots: []byte{7}})
	b.data(sacn.Data{Universe: 2, Sequence: 50, Slots: []byte{7}})
	b.pass(2 * time.Second)
	b.data(sacn.Data{Universe: 2, Sequence: 51, Slots: []byte{7}})
	b.pass(500*time.Millisecond - 1)
	require.Equal(t, listen.Live, b.look()[0].State)
	b.pass(1)
	all := b.look()
	require.Equal(t, listen.Stopped, all[0].State, "2.5 s, on this universe")
	require.Equal(t, listen.Live, all[1].State, "the same source goes on there")
	require.Equal(t, []byte{7}, all[0].Slots)
	b.data(sacn.Data{Universe: 1, Sequence: 49, Slots: []byte{8}})
	require.Equal(t, []byte{8}, b.look()[0].Slots, "back, with any number")
}

// The rows are the worked table of the facts on E1.31 section 6.7.2: discarded
// when -20 < difference <= 0.
func TestSequenceOfE131(t *testing.T) {
	for _, c := range []struct {
		last, got uint8
		taken     bool
	}{
		{10, 11, true}, {10, 10, false}, {10, 9, false}, {30, 11, false}, {30, 10, true}, {255, 0, true}, {0, 255, false}, {5, 60, true},
	} {
		b := newBench(t)
		b.data(sacn.Data{Sequence: c.last, Slots: []byte{1}})
		b.data(sacn.Data{Sequence: c.got, Slots: []byte{2}})
		s := b.only()
		if c.taken {
			require.Equal(t, []byte{2}, s.Slots, "%d after %d", c.got, c.last)
			require.Zero(t, s.Disorder)
		} else {
			require.Equal(t, []byte{1}, s.Slots, "%d after %d", c.got, c.last)
			require.Equal(t, uint64(1), s.Disorder)
		}
	}
}

func TestSequenceIsKeptBySourceAndUniverse(t *testing.T) {
	b := newBench(t)
	b.data(sacn.Data{Universe: 1, Sequence: 10, Slots: []byte{1}})
	b.data(sacn.Data{Universe: 2, Sequence: 9, Slots: []byte{1}})
	b.data(sacn.Data{CID: sacn.CID{9}, Universe: 1, Sequence: 8, Slots: []byte{1}})
	all := b.look()
	require.Len(t, all, 3)
	for _, s := range all {
		require.Zero(t, s.Disorder)
		require.Equal(t, uint64(1), s.Packets)
	}
}

func TestOtherStartCodes(t *testing.T) {
	b := newBench(t)
	b.data(sacn.Data{Sequence: 1, StartCode: 0xdd, Slots: []byte{200, 200}})
	s := b.only()
	require.Empty(t, s.Slots)
	require.False(t, s.Counts, "no levels came yet")
	b.data(sacn.Data{Sequence: 2, Slots: []byte{7, 7}})
	b.data(sacn.Data{Sequence: 3, StartCode: 0x17, Slots: []byte{1, 1}})
	s = b.only()
	require.Equal(t, []byte{7, 7}, s.Slots)
	require.Equal(t, uint64(2), s.Others)
	require.True(t, s.Counts)
}

func TestUniverseDiscovery(t *testing.T) {
	b := newBench(t)
	name, err := sacn.NewName("their desk")
	require.NoError(t, err)
	send := func(universes ...sacn.Universe) {
		pages, err := sacn.DiscoveryPages(cid, name, universes)
		require.NoError(t, err)
		for _, p := range pages {
			b.TakeSACN(b.now, one, b.bytes(&p))
		}
	}
	var many []sacn.Universe
	for u := range sacn.Universe(600) {
		many = append(many, u+1)
	}
	send(many...)
	require.Equal(t, []listen.List{{CID: cid, Name: "their desk", Addr: one, Universes: many, LastSeen: b.now}}, b.Lists(b.now))
	b.pass(sacn.DiscoveryInterval)
	send(3, 7)
	require.Equal(t, []sacn.Universe{3, 7}, b.Lists(b.now)[0].Universes, "the second page is gone")
	b.pass(2*sacn.DiscoveryInterval - 1)
	require.Len(t, b.Lists(b.now), 1)
	b.pass(1)
	require.Empty(t, b.Lists(b.now))
}

func TestSequenceOfArtNet(t *testing.T) {
	b := newBench(t)
	for _, s := range []uint8{254, 255, 1, 255, 1, 2, 239, 238, 0, 7} {
		b.dmx(one, artnet.Dmx{Sequence: s, PortAddress: 1, Data: []byte{s, 0}})
	}
	s := b.only()
	require.Equal(t, uint64(3), s.Disorder, "255 and 1 again, and 239 which is 19 behind 2; 0 counts nothing")
	require.Equal(t, uint64(7), s.Packets)
	require.Equal(t, []byte{7, 0}, s.Slots)
	b.dmx(one, artnet.Dmx{Sequence: 3, PortAddress: 2, Data: []byte{1, 0}})
	require.Zero(t, b.look()[1].Disorder, "counted per port-address")
}

func TestShortPacketHoldsTheRest(t *testing.T) {
	b := newBench(t)
	b.dmx(one, artnet.Dmx{PortAddress: 1, Data: []byte{1, 2, 3, 4}})
	b.dmx(one, artnet.Dmx{PortAddress: 1, Data: []byte{9, 9}})
	require.Equal(t, []byte{9, 9, 3, 4}, b.only().Slots)
}

func TestSourcesOfArtNet(t *testing.T) {
	b := newBench(t)
	b.dmx(two, artnet.Dmx{PortAddress: 1, Data: []byte{1, 1}})
	b.dmx(one, artnet.Dmx{PortAddress: 1, Physical: 1, Data: []byte{2, 2}})
	b.dmx(one, artnet.Dmx{PortAddress: 1, Data: []byte{3, 3}})
	b.TakeArtNet(b.now, two, b.bytes(&artnet.PollReply{ShortName: "hut\x1b"}))
	all := b.look()
	require.Len(t, all, 3)
	require.Equal(t, []byte{3, 3}, all[0].Slots)
	require.Equal(t, []byte{2, 2}, all[1].Slots)
	require.Equal(t, uint8(1), all[1].Physical)
	require.Equal(t, "hut", all[2].Name, "it told its name; no control characters")
	for _, s := range all {
		require.True(t, s.Counts)
	}
}

func TestArtNetStops(t *testing.T) {
	b := newBench(t)
	b.dmx(one, artnet.Dmx{Sequence: 5, PortAddress: 1, Data: []byte{1, 1}})
	b.pass(6*time.Second - 1)
	require.Equal(t, listen.Live, b.only().State)
	b.pass(1)
	s := b.only()
	require.Equal(t, listen.Stopped, s.State)
	require.False(t, s.Counts)
	b.dmx(one, artnet.Dmx{Sequence: 4, PortAddress: 1, Data: []byte{2, 2}})
	require.Equal(t, listen.Live, b.only().State)
	require.Equal(t, []byte{2, 2}, b.only().Slots, "it may start again anywhere")
}

func TestEverythingIsCounted(t *testing.T) {
	b := newBench(t)
	require.False(t, b.Counts().Any())
	b.dmx(one, artnet.Dmx{Data: []byte{1, 1}})
	for _, p := range []artnet.Packet{&artnet.Sync{}, &artnet.Poll{}, &artnet.PollReply{}, &artnet.TimeCode{}} {
		b.TakeArtNet(b.now, one, b.bytes(p))
	}
	odd := b.bytes(&artnet.Dmx{Data: []byte{1, 1}})
	odd[17] = 3
	for _, bad := range [][]byte{nil, []byte("x"), odd} {
		b.TakeArtNet(b.now, one, bad)
	}
	b.data(sacn.Data{})
	b.TakeSACN(b.now, one, b.bytes(&sacn.Sync{Address: 1}))
	b.TakeSACN(b.now, one, b.bytes(&sacn.Discovery{}))
	long := b.bytes(&sacn.Data{Universe: 1})
	long[17]++ // the root layer's length
	for _, bad := range [][]byte{nil, []byte("Art-Net\x00"), long} {
		b.TakeSACN(b.now, one, bad)
	}
	require.Equal(t, listen.Counts{ArtDmx: 1, ArtSync: 1, ArtPoll: 1, ArtPollReply: 1, ArtOther: 1, SACNData: 1, SACNSync: 1, SACNDiscovery: 1, Bad: 6}, b.Counts())
}

func TestInventedSourcesDoNotFillTheMemory(t *testing.T) {
	b := newBench(t)
	for i := range 5000 {
		b.data(sacn.Data{CID: sacn.CID{byte(i >> 8), byte(i), 1}, Slots: []byte{1}})
	}
	require.Len(t, b.look(), 4096)
	require.Equal(t, uint64(5000-4096), b.Counts().Full)
	b.pass(time.Hour)
	b.data(sacn.Data{CID: sacn.CID{9, 9, 9}, Slots: []byte{1}})
	require.Len(t, b.look(), 1)
}

// Any bytes may come: nothing panics, and what is listed is within the
// standards' bounds.
func FuzzTake(f *testing.F) {
	b := newBench(f)
	f.Add(b.bytes(&artnet.Dmx{PortAddress: 1, Data: []byte{1, 2}}), b.bytes(&sacn.Data{Universe: 1, Slots: []byte{1, 2}}))
	f.Add(b.bytes(&artnet.PollReply{ShortName: "x"}), b.bytes(&sacn.Discovery{Universes: []sacn.Universe{1, 2}}))
	f.Add([]byte("Art-Net\x00\x00\x50"), b.bytes(&sacn.Sync{Address: 3}))
	f.Fuzz(func(t *testing.T, one1, two2 []byte) {
		b := newBench(t)
		for range 2 {
			b.TakeArtNet(b.now, one, one1)
			b.TakeSACN(b.now, two, two2)
		}
		c := b.Counts()
		require.Equal(t, uint64(4), c.ArtDmx+c.ArtSync+c.ArtPoll+c.ArtPollReply+c.ArtOther+c.SACNData+c.SACNSync+c.SACNDiscovery+c.Bad+c.Full)
		for _, s := range b.look() {
			require.LessOrEqual(t, len(s.Slots), 512)
			require.LessOrEqual(t, s.Priority, uint8(sacn.MaxPriority))
			if s.Protocol == listen.ArtNet {
				require.True(t, artnet.PortAddress(s.Universe).Valid())
			} else {
				require.True(t, sacn.Universe(s.Universe).Valid())
			}
			for _, r := range s.Changed {
				require.Equal(t, s.Slots[r.First-1:r.First-1+len(r.Values)], r.Values)
			}
		}
		b.pass(time.Hour)
		require.Empty(t, b.look())
	})
}
