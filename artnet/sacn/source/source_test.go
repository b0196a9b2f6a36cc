package source_test

import (
	"bytes"
	"errors"
	"net/netip"
	"slices"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/sacn"
	"linkboy/artnet/sacn/source"
)

func TestEveryPacketSaysWhoSends(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{Priority: 120, Sync: 7000})
		frames(t, s, 5, []uint16{1, 2}, [][]byte{{1, 2}, {3, 4}})
		time.Sleep(time.Second)
		packets, _ := w.all(t)
		seen := map[sacn.Kind]int{}
		for _, p := range packets {
			seen[p.Kind()]++
			switch p := p.(type) {
			case *sacn.Data:
				require.Equal(t, bench, p.CID)
				require.Equal(t, "bench source", p.SourceName.String())
				require.Equal(t, uint8(120), p.Priority)
			case *sacn.Sync:
				require.Equal(t, bench, p.CID)
			case *sacn.Discovery:
				require.Equal(t, bench, p.CID)
				require.Equal(t, "bench source", p.SourceName.String())
			}
		}
		require.Len(t, seen, 3, "all kinds: %v", seen)
	})
}

// ANSI E1.31 section 9: 239.255.hi.lo, port 5568; receivers named get unicast.
func TestWhereItGoes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{Sync: 7962})
		frames(t, s, 1, []uint16{1, 291}, [][]byte{{1}, {2}})
		_, sent := w.all(t)
		require.Equal(t, "239.255.0.1:5568", sent[0].to.String())
		require.Equal(t, "239.255.1.35:5568", sent[1].to.String())
		require.Equal(t, "239.255.31.26:5568", sent[2].to.String(), "the group of the sync address")

		s, w = start(t, source.Config{Sync: 7962, To: []netip.AddrPort{netip.MustParseAddrPort("192.0.2.21:0"), netip.MustParseAddrPort("192.0.2.22:9000")}})
		frames(t, s, 1, []uint16{1, 291}, [][]byte{{1}, {2}})
		_, sent = w.all(t)
		var to []string
		for _, p := range sent {
			to = append(to, p.to.String())
		}
		one, two := "192.0.2.21:5568", "192.0.2.22:9000"
		require.Equal(t, []string{one, one, two, two, one, two}, to, "what goes to one receiver stands together, synchronization last")
		require.Equal(t, sent[0].b, sent[2].b, "the same packet, with the same sequence number, to both")
	})
}

// The mapping of Art-Net 4: port-address n is sACN universe n, and 0 has none.
func TestUniverseOfAPortAddress(t *testing.T) {
	for _, c := range []struct {
		port   uint16
		offset int
		want   sacn.Universe
		ok     bool
	}{
		{0, 0, 0, false}, {1, 0, 1, true}, {0x7fff, 0, 32767, true}, {0, 1, 1, true}, {0x7fff, 31232, 63999, true},
		{0x7fff, 31233, 0, false}, {10, -9, 1, true}, {10, -10, 0, false}, {10, 64204, 0, false},
	} {
		got, ok := source.UniverseOf(c.port, c.offset)
		require.Equal(t, c.ok, ok, "%+v", c)
		require.Equal(t, c.want, got, "%+v", c)
	}
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{})
		frames(t, s, 3, []uint16{0, 5}, [][]byte{{1}, {2}})
		data, _ := take[*sacn.Data](t, w)
		require.Len(t, data, 3)
		require.Equal(t, sacn.Universe(5), data[0].Universe)
		require.Equal(t, uint64(1), s.Stats().NoUniverse)
	})
}

func TestSequencePerUniverse(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{})
		slots := [][]byte{{0}, {0}}
		last := map[sacn.Universe]uint8{}
		for i := range 600 {
			slots[0][0]++
			if i%2 == 0 {
				slots[1][0]++
			}
			require.NoError(t, s.SendFrame([]uint16{1, 2}, slots, false))
			time.Sleep(frameGap)
			data, _ := take[*sacn.Data](t, w)
			for _, d := range data {
				if before, ok := last[d.Universe]; ok {
					require.Equal(t, before+1, d.Sequence)
					require.False(t, sacn.Overtaken(before, d.Sequence))
				}
				last[d.Universe] = d.Sequence
			}
		}
		require.Greater(t, s.Stats().Packets, uint64(900), "both went round")
	})
}

// ANSI E1.31 section 6.6: three packets of the same levels, then one every 800
// to 1000 ms, its sequence counting on.
func TestUnchangedLevels(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{})
		slots := [][]byte{bytes.Repeat([]byte{7}, 512)}
		frames(t, s, 44*60, []uint16{1}, slots)
		data, sent := take[*sacn.Data](t, w)
		for i := 1; i < len(sent); i++ {
			gap := sent[i].at.Sub(sent[i-1].at)
			if i < sacn.Repeats {
				require.Equal(t, frameGap, gap)
				continue
			}
			require.GreaterOrEqual(t, gap, sacn.KeepAliveLeast)
			require.LessOrEqual(t, gap, sacn.KeepAliveMost)
			require.Equal(t, data[i-1].Sequence+1, data[i].Sequence)
			require.Equal(t, data[0].Slots, data[i].Slots)
		}
		require.InDelta(t, 66, len(sent), 8)

		slots[0][3]++
		frames(t, s, 20, []uint16{1}, slots)
		_, sent = take[*sacn.Data](t, w)
		require.Len(t, sent, sacn.Repeats, "a change is sent at once, and three times")
		require.NoError(t, s.SendFrame([]uint16{1}, slots, true))
		_, sent = take[*sacn.Data](t, w)
		require.Len(t, sent, 1, "the first frame of a cue goes out in any case")
	})
}

// ANSI E1.11: 512 slots take 22.676 ms, so 44 in a second.
func TestNoFasterThanALine(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{})
		slots := [][]byte{{0}}
		for range 10_000 {
			slots[0][0]++
			require.NoError(t, s.SendFrame([]uint16{1}, slots, true))
			time.Sleep(time.Millisecond)
		}
		data, _ := take[*sacn.Data](t, w)
		require.InDelta(t, 441, len(data), 4, "in 10 s")
		require.NotZero(t, s.Stats().Held)
		time.Sleep(50 * time.Millisecond)
		require.NoError(t, s.SendFrame([]uint16{1}, slots, false))
		data, _ = take[*sacn.Data](t, w)
		require.Equal(t, slots[0], data[0].Slots, "what was held back comes with a later frame")
	})
}

// ANSI E1.31 sections 6.2.4 and 6.3.
func TestSyncFollowsAFrameOfSeveralUniverses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{Sync: 7000})
		slots := [][]byte{{1}, {2}, {3}}
		for i := range 300 {
			slots[i%3][0]++
			require.NoError(t, s.SendFrame([]uint16{1, 2, 3}, slots, false))
			packets, _ := w.all(t)
			packets = slices.DeleteFunc(packets, func(p sacn.Packet) bool { return p.Kind() == sacn.KindDiscovery })
			require.NotEmpty(t, packets)
			last := packets[len(packets)-1].(*sacn.Sync)
			require.Equal(t, sacn.Universe(7000), last.Address)
			require.Equal(t, uint8(i+1), last.Sequence, "a count of its own")
			for _, p := range packets[:len(packets)-1] {
				d := p.(*sacn.Data)
				require.Equal(t, sacn.Universe(7000), d.SyncAddress)
				require.Equal(t, sacn.ForceSync, d.Options)
			}
			time.Sleep(frameGap)
		}
		frames(t, s, 44*5, []uint16{1, 2, 3}, slots)
		packets, sent := w.all(t)
		var last time.Time
		for i, p := range packets {
			if p.Kind() != sacn.KindSync {
				continue
			}
			if !last.IsZero() {
				require.LessOrEqual(t, sent[i].at.Sub(last), sacn.KeepAliveMost, "receivers stop waiting after 2.5 s without")
			}
			last = sent[i].at
		}

		s, w = start(t, source.Config{Sync: 7000})
		frames(t, s, 2, []uint16{1}, slots[:1])
		packets, _ = w.all(t)
		require.Len(t, packets, 2)
		require.Zero(t, packets[0].(*sacn.Data).SyncAddress, "one universe needs none")
	})
}

func TestPreviewIsMarked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{})
		slots := [][]byte{{1}}
		require.NoError(t, s.PreviewFrame([]uint16{1}, slots, false))
		time.Sleep(frameGap)
		require.NoError(t, s.SendFrame([]uint16{1}, slots, false))
		time.Sleep(frameGap)
		require.NoError(t, s.PreviewFrame([]uint16{1}, slots, false))
		data, _ := take[*sacn.Data](t, w)
		require.Len(t, data, 3)
		require.Equal(t, []sacn.Options{sacn.Preview, 0, sacn.Preview}, []sacn.Options{data[0].Options, data[1].Options, data[2].Options},
			"a change to and from preview is sent at once")
		_, live := data[0].Levels()
		require.False(t, live)
		require.Equal(t, data[0].Sequence+2, data[2].Sequence)
	})
}

// ANSI E1.31 section 6.2.6: three packets with Stream_Terminated.
func TestUniverseThatIsLeft(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{})
		frames(t, s, 10, []uint16{1, 2}, [][]byte{{1}, {2}})
		require.Equal(t, []sacn.Universe{1, 2}, s.Universes())
		w.all(t)
		// Frames of the old and the new location take turns, as when it is dark.
		for range 3 {
			require.NoError(t, s.SendFrame([]uint16{1}, [][]byte{{0}}, true))
			require.NoError(t, s.SendFrame([]uint16{2, 3}, [][]byte{{9}, {8}}, false))
			time.Sleep(frameGap)
		}
		data, _ := take[*sacn.Data](t, w)
		for _, d := range data {
			require.Zero(t, d.Options, "not ended while frames of it come: %v", d)
		}
		frames(t, s, 20, []uint16{2, 3}, [][]byte{{9}, {8}})
		data, sent := take[*sacn.Data](t, w)
		var ends []time.Time
		for i, d := range data {
			if d.Universe != 1 {
				require.Zero(t, d.Options)
				continue
			}
			require.Equal(t, sacn.Terminated, d.Options)
			ends = append(ends, sent[i].at)
		}
		require.Len(t, ends, 3)
		require.Equal(t, frameGap, ends[1].Sub(ends[0]), "one a frame")
		require.Equal(t, []sacn.Universe{2, 3}, s.Universes())

		last := data[slices.IndexFunc(data, func(d *sacn.Data) bool { return d.Universe == 1 })].Sequence + 2
		frames(t, s, 1, []uint16{1}, [][]byte{{5}})
		data, _ = take[*sacn.Data](t, w)
		require.Equal(t, last+1, data[0].Sequence, "when it comes back its numbers go on")
		require.Zero(t, data[0].Options)
	})
}

func TestCloseEndsEveryUniverse(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{Sync: 7000})
		frames(t, s, 3, []uint16{1, 2}, [][]byte{{1}, {2}})
		w.all(t)
		require.NoError(t, s.Close())
		packets, sent := w.all(t)
		require.Len(t, packets, 6)
		for i, p := range packets {
			d := p.(*sacn.Data)
			require.NotZero(t, d.Options&sacn.Terminated)
			require.Zero(t, d.SyncAddress, "nothing would release it")
			require.Equal(t, sacn.Universe(i%2+1), d.Universe)
		}
		require.Greater(t, sent[2].at.Sub(sent[0].at), 22*time.Millisecond, "no faster than a line")
		require.ErrorContains(t, s.SendFrame([]uint16{1}, [][]byte{{1}}, true), "closed")
		require.Empty(t, s.Universes())
		require.NoError(t, s.Close())
	})
}

// ANSI E1.31 sections 6.4 and 8: a list every 10 s to universe 64214, at most
// one more in between.
func TestUniverseDiscovery(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{Sync: 7000})
		began := time.Now()
		lists := func() (all [][]sacn.Universe, at []time.Duration) {
			packets, sent := take[*sacn.Discovery](t, w)
			for i, p := range packets {
				require.Equal(t, "239.255.250.214:5568", sent[i].to.String())
				all, at = append(all, p.Universes), append(at, sent[i].at.Sub(began))
			}
			return all, at
		}
		time.Sleep(25 * time.Second)
		all, _ := lists()
		require.Empty(t, all, "a source that sends nothing lists nothing")

		slots := [][]byte{{1}, {2}, {3}}
		frames(t, s, 44, []uint16{3, 1}, slots[:2])
		frames(t, s, 44, []uint16{3, 1, 2}, slots)
		frames(t, s, 44*20, []uint16{3, 1}, slots[:2])
		all, at := lists()
		require.Equal(t, []sacn.Universe{1, 3, 7000}, all[0])
		require.InDelta(t, 25.5, at[0].Seconds(), 0.01, "soon after they began")
		require.Equal(t, []sacn.Universe{1, 3, 7000}, all[1])
		require.Equal(t, 30*time.Second, at[1], "and every 10 s, whatever came and went in between")
		require.Equal(t, 40*time.Second, at[2])
		require.Len(t, all, 3)

		time.Sleep(30 * time.Second) // a dry run: no frames
		all, at = lists()
		require.Equal(t, [][]sacn.Universe{nil}, all, "it is told once that nothing is sent any more")
		require.Equal(t, []time.Duration{50 * time.Second}, at)
	})
}

func TestDiscoveryPages(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, w := start(t, source.Config{})
		var all []sacn.Universe
		for u := sacn.Universe(1); u <= 1100; u++ {
			all = append(all, u)
		}
		s.SendListOf(all)
		pages, _ := take[*sacn.Discovery](t, w)
		require.Len(t, pages, 3)
		require.Equal(t, uint8(2), pages[2].Page)
		require.Equal(t, uint8(2), pages[0].LastPage)
		require.Len(t, pages[2].Universes, 1100-2*512)
	})
}

// One receiver that cannot be reached costs the others nothing, and gets what it
// missed.
func TestFaultsOfOneReceiver(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		bad, good := netip.MustParseAddrPort("192.0.2.21:5568"), netip.MustParseAddrPort("192.0.2.22:5568")
		s, w := start(t, source.Config{To: []netip.AddrPort{bad, good}})
		w.failWith(func(to netip.AddrPort) error {
			if to == bad {
				return syscall.EHOSTUNREACH
			}
			return nil
		})
		for range 44 {
			require.ErrorIs(t, s.SendFrame([]uint16{1, 2}, [][]byte{{1}, {2}}, false), syscall.EHOSTUNREACH)
			time.Sleep(frameGap)
		}
		_, sent := w.all(t)
		require.GreaterOrEqual(t, len(sent), 80, "owed to one, so sent every frame")
		w.failWith(nil)
		frames(t, s, 3, []uint16{1, 2}, [][]byte{{1}, {2}})
		_, sent = w.all(t)
		require.Equal(t, bad, sent[0].to)
		require.Equal(t, uint64(88), s.Stats().SendErrors)
		require.Zero(t, s.Stats().Reopened)
	})
}

// When the interface is gone the socket is opened anew until it is back, and
// the numbers go on.
func TestInterfaceGoesAndReturns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		wires := []*fakeWire{{}, {}}
		tries := 0
		s, err := source.OpenWire(config(source.Config{}), func() (source.Wire, error) {
			tries++
			switch tries {
			case 1:
				return wires[0], nil
			case 2, 3:
				return nil, errors.New("no such interface")
			}
			return wires[1], nil
		})
		require.NoError(t, err)
		run(t, s)
		frames(t, s, 3, []uint16{1}, [][]byte{{1}})
		wires[0].failWith(func(netip.AddrPort) error { return syscall.ENETUNREACH })
		slots := [][]byte{{2}}
		for range 44 * 5 {
			_ = s.SendFrame([]uint16{1}, slots, false)
			time.Sleep(frameGap)
		}
		require.Equal(t, uint64(1), s.Stats().Reopened)
		require.Contains(t, s.Stats().LastError, "network is unreachable")
		data, _ := take[*sacn.Data](t, wires[1])
		require.NotEmpty(t, data)
		require.Equal(t, slots[0], data[0].Slots, "what was owed goes out at once")
		require.True(t, wires[0].closed)
	})
}

func TestConfigRefuses(t *testing.T) {
	for what, cfg := range map[string]source.Config{
		"bad priority":             {CID: bench, Priority: 201},
		"priority: got -1":         {CID: bench, Priority: -1},
		"identifier: it has none":  {},
		"bad source name":          {CID: bench, Name: strings.Repeat("n", 64)},
		"synchronization address":  {CID: bench, Sync: 64000},
		"TTL 256":                  {CID: bench, TTL: 256},
		"IPv4 address of a receiv": {CID: bench, To: []netip.AddrPort{netip.MustParseAddrPort("[::1]:5568")}},
		"send to 239.255.0.1":      {CID: bench, To: []netip.AddrPort{netip.MustParseAddrPort("239.255.0.1:5568")}},
	} {
		_, err := source.OpenWire(cfg, func() (source.Wire, error) { return &fakeWire{}, nil })
		require.ErrorContains(t, err, what)
	}
	_, err := source.Open(source.Config{CID: bench, Interface: "nowhere9"})
	require.ErrorContains(t, err, "nowhere9")
	require.ErrorContains(t, err, "use one of")
}

// RFC 4122: version 5, the same for the same name.
func TestNewCID(t *testing.T) {
	a := source.NewCID("show", "eth1")
	require.Equal(t, a, source.NewCID("show", "eth1"))
	require.Equal(t, byte(5), a[6]>>4)
	require.NotEqual(t, a, source.NewCID("show", "eth2"))
	require.NotEqual(t, source.NewCID("a", "b"), source.NewCID("a\nb"), "parts do not run into each other")
}
