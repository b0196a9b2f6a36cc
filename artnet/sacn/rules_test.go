package sacn_test

import (
	"net/netip"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
)

// with is b with other values at a place; it leaves b alone.
func with(b []byte, at int, values ...byte) []byte {
	b = slices.Clone(b)
	copy(b[at:], values)
	return b
}

// What a receiver takes and discards. Each row names the rule of ANSI
// E1.31-2018 that decides it.
func TestParseRules(t *testing.T) {
	data, full, sync, list := outside.Golden(t, "e131-data"), outside.Golden(t, "e131-data-512-synced"), outside.Golden(t, "e131-sync"), outside.Golden(t, "e131-discovery")
	for _, c := range []struct {
		rule, name string
		in         []byte
		err        error
	}{
		{"5.1", "no preamble size", with(data, 1, 0), sacn.ErrNotACN},
		{"5.2", "a post-amble", with(data, 3, 1), sacn.ErrNotACN},
		{"5.3", "another packet identifier", with(data, 12, '8'), sacn.ErrNotACN},
		{"5.3", "nothing", nil, sacn.ErrNotACN},
		{"5.3", "an Art-Net packet", []byte("Art-Net\x00\x00\x50\x00\x0e\x01\x00\x01\x00\x00\x02\x00\x00"), sacn.ErrNotACN},
		{"5.4", "flags of the root layer", with(data, 16, 0x60), sacn.ErrLength},
		{"5.4", "root layer longer than the datagram", with(data, 17, 0x77), sacn.ErrLength},
		{"5.4", "root layer shorter than a data packet", with(data, 17, 0x10), sacn.ErrLength},
		{"5.4", "bytes after the root layer", append(slices.Clone(data), 1, 2, 3), nil},
		{"5.5", "an unknown root vector", with(data, 21, 5), sacn.ErrVector},
		{"5.5", "the vectors cut off", data[:43], sacn.ErrShort},

		{"6.1", "flags of the framing layer", with(data, 38, 0x50), sacn.ErrLength},
		{"6.1", "framing layer shorter than the root layer says", with(data, 39, 0x5f), sacn.ErrLength},
		{"6.2.1", "an unknown vector of a data packet", with(data, 43, 1), sacn.ErrVector},
		{"6.2.1", "an unknown vector of an extended packet", with(sync, 43, 3), sacn.ErrVector},
		{"6.2.3", "priority 0", with(data, 108, 0), nil},
		{"6.2.3", "priority 200", with(data, 108, 200), nil},
		{"6.2.3", "priority 201", with(data, 108, 201), sacn.ErrPriority},
		{"6.2.4", "sync address 63999", with(data, 109, 0xf9, 0xff), nil},
		{"6.2.4", "sync address 64000", with(data, 109, 0xfa, 0x00), sacn.ErrUniverse},
		{"6.2.6", "option bits without a meaning", with(data, 112, 0x1f), nil},
		{"6.2.7", "universe 0", with(data, 113, 0, 0), sacn.ErrUniverse},
		{"6.2.7", "universe 63999", with(data, 113, 0xf9, 0xff), nil},
		{"6.2.7", "universe 64000", with(data, 113, 0xfa, 0x00), sacn.ErrUniverse},
		{"6.2.7", "data on the discovery universe", with(data, 113, 0xfa, 0xd6), sacn.ErrUniverse},
		{"6.3", "sync address 0 is ignored", with(sync, 45, 0, 0), sacn.ErrUniverse},
		{"6.3", "reserved octets of a sync packet are not tested", with(sync, 47, 9, 9), nil},
		{"6.3", "a sync packet one byte short", sync[:48], sacn.ErrShort},
		{"6.4", "reserved octets of a discovery packet are not tested", with(list, 108, 9, 9, 9, 9), nil},

		{"7.1", "flags of the DMP layer", with(data, 115, 0), sacn.ErrLength},
		{"7.1", "DMP layer longer than the packet", with(data, 116, 0x14), sacn.ErrLength},
		{"7.2", "another DMP vector", with(data, 117, 3), sacn.ErrFormat},
		{"7.3", "another address and data type", with(data, 118, 0xa2), sacn.ErrFormat},
		{"7.4", "a first property address", with(data, 120, 1), sacn.ErrFormat},
		{"7.5", "another address increment", with(data, 122, 2), sacn.ErrFormat},
		{"7.6", "a property too few", with(data, 124, 8), sacn.ErrCount},
		{"7.6", "a property too many", with(data, 124, 10), sacn.ErrCount},
		{"7.6", "no properties", with(data, 124, 0), sacn.ErrCount},
		{"7.6", "513 slots", lengths(append(slices.Clone(full), 0), 16, 38, 115, 123), sacn.ErrCount},
		{"7.7", "a START code and no slots", lengths(data[:126], 16, 38, 115, 123), nil},
		{"7.7", "neither a START code nor slots", data[:125], sacn.ErrShort},
		{"7.7", "an alternate START code is the receiver's choice", with(data, 125, 0xdd), nil},

		{"8.1", "flags of the universe discovery layer", with(list, 112, 0), sacn.ErrLength},
		{"8.2", "another list vector", with(list, 117, 2), sacn.ErrVector},
		{"8.4", "the last page", with(list, 118, 3, 3), nil},
		{"8.4", "a page after the last page", with(list, 118, 4, 3), sacn.ErrPage},
		{"8.5", "no universes", lengths(list[:120], 16, 38, 112, 0), nil},
		{"8.5", "half a universe", lengths(list[:125], 16, 38, 112, 0), sacn.ErrCount},
		{"8.5", "512 universes", lengths(append(list[:120:120], make([]byte, 1024)...), 16, 38, 112, 0), nil},
		{"8.5", "513 universes", lengths(append(list[:120:120], make([]byte, 1026)...), 16, 38, 112, 0), sacn.ErrCount},
	} {
		t.Run(c.rule+" "+c.name, func(t *testing.T) {
			p, err := sacn.Parse(c.in)
			require.ErrorIs(t, err, c.err)
			require.Equal(t, c.err == nil, p != nil)
		})
	}
}

// lengths is b with its lengths put right: of three layers, and the number of
// properties if it has a place.
func lengths(b []byte, root, framing, inner, count int) []byte {
	b = slices.Clone(b)
	for _, at := range []int{root, framing, inner} {
		b[at], b[at+1] = 0x70|byte((len(b)-at)>>8), byte(len(b)-at)
	}
	if count > 0 {
		n := len(b) - 125
		b[count], b[count+1] = byte(n>>8), byte(n)
	}
	return b
}

func TestAppendRefuses(t *testing.T) {
	ok := sacn.Data{Priority: 100, Universe: 1}
	for _, c := range []struct {
		rule, name string
		packet     sacn.Packet
		err        error
	}{
		{"6.2.7", "universe 0", &sacn.Data{}, sacn.ErrUniverse},
		{"6.2.7", "universe 64000", &sacn.Data{Universe: 64000}, sacn.ErrUniverse},
		{"6.2.4", "sync address 64214", &sacn.Data{Universe: 1, SyncAddress: sacn.DiscoveryUniverse}, sacn.ErrUniverse},
		{"6.2.3", "priority 201", &sacn.Data{Universe: 1, Priority: 201}, sacn.ErrPriority},
		{"7.6", "513 slots", &sacn.Data{Universe: 1, Slots: make([]byte, 513)}, sacn.ErrCount},
		{"7.7", "512 slots", &sacn.Data{Universe: 1, Slots: make([]byte, 512)}, nil},
		{"7.7", "no slots", &ok, nil},
		{"6.3", "sync address 0", &sacn.Sync{}, sacn.ErrUniverse},
		{"8.5", "513 universes", &sacn.Discovery{Universes: make([]sacn.Universe, 513)}, sacn.ErrCount},
		{"8.5", "universe 0 in a list", &sacn.Discovery{Universes: []sacn.Universe{0}}, sacn.ErrUniverse},
		{"8.5", "a list that descends", &sacn.Discovery{Universes: []sacn.Universe{2, 1}}, sacn.ErrUniverse},
		{"8.5", "a universe twice", &sacn.Discovery{Universes: []sacn.Universe{2, 2}}, sacn.ErrUniverse},
		{"8.4", "page 1 of one", &sacn.Discovery{Page: 1}, sacn.ErrPage},
	} {
		t.Run(c.rule+" "+c.name, func(t *testing.T) {
			b, err := c.packet.AppendBinary([]byte("kept"))
			require.ErrorIs(t, err, c.err)
			require.True(t, strings.HasPrefix(string(b), "kept"))
			require.Equal(t, c.err != nil, len(b) == 4)
		})
	}
}

// ANSI E1.31 section 6.7: discarded when -20 < received - last <= 0 in signed 8
// bits. The rows are the standard's inequality worked out by hand.
func TestOvertaken(t *testing.T) {
	for _, c := range []struct {
		last, got uint8
		discarded bool
	}{
		{10, 11, false}, {10, 10, true}, {10, 9, true}, {30, 11, true}, {30, 10, false}, {255, 0, false}, {0, 255, true}, {5, 60, false},
		{0, 0, true}, {0, 1, false}, {10, 246, false}, {10, 247, true}, {128, 0, false}, {0, 128, false}, {0, 127, false},
	} {
		require.Equal(t, c.discarded, sacn.Overtaken(c.last, c.got), "%d after %d", c.got, c.last)
	}
	for last := range 256 {
		discarded := 0
		for got := range 256 {
			if sacn.Overtaken(uint8(last), uint8(got)) {
				discarded++
			}
		}
		require.Equal(t, 20, discarded, "the window is as wide everywhere: a duplicate and 19 behind, after %d", last)
	}
}

// ANSI E1.31 sections 6.2.6, 7.7 and 11: what may drive live output.
func TestLevels(t *testing.T) {
	slots := []byte{1, 2}
	for _, c := range []struct {
		name string
		d    sacn.Data
		live bool
	}{
		{"plain", sacn.Data{Slots: slots}, true},
		{"synchronized", sacn.Data{Slots: slots, SyncAddress: 1, Options: sacn.ForceSync}, true},
		{"preview", sacn.Data{Slots: slots, Options: sacn.Preview}, false},
		{"terminated", sacn.Data{Slots: slots, Options: sacn.Terminated}, false},
		{"alternate START code", sacn.Data{Slots: slots, StartCode: 0xdd}, false},
	} {
		got, ok := c.d.Levels()
		require.Equal(t, c.live, ok, c.name)
		if ok {
			require.Equal(t, slots, got, c.name)
		} else {
			require.Nil(t, got, c.name)
		}
	}
}

// ANSI E1.31 section 9; the addresses are worked out by hand from its table,
// 64214 is the group 239.255.250.214 of universe discovery.
func TestGroups(t *testing.T) {
	for u, want := range map[sacn.Universe][2]string{
		1:                      {"239.255.0.1", "ff18::8300:1"},
		291:                    {"239.255.1.35", "ff18::8300:123"},
		63999:                  {"239.255.249.255", "ff18::8300:f9ff"},
		sacn.DiscoveryUniverse: {"239.255.250.214", "ff18::8300:fad6"},
	} {
		require.Equal(t, netip.MustParseAddr(want[0]), u.Group())
		require.Equal(t, netip.MustParseAddr(want[1]), u.Group6())
		require.True(t, u.Group().IsMulticast())
	}
	require.False(t, sacn.Universe(0).Valid())
	require.True(t, sacn.MaxUniverse.Valid())
	require.False(t, sacn.DiscoveryUniverse.Valid())
}

// The constants of ANSI E1.31 Appendix A.
func TestConstants(t *testing.T) {
	require.Equal(t, 5568, sacn.Port)
	require.Equal(t, 2500*time.Millisecond, sacn.DataLossTimeout)
	require.Equal(t, 10*time.Second, sacn.DiscoveryInterval)
	require.Equal(t, sacn.Universe(64214), sacn.DiscoveryUniverse)
	require.Equal(t, uint8(100), uint8(sacn.DefaultPriority))
}

func TestDiscoveryPages(t *testing.T) {
	// 6.4: a source that sends nothing may say so; its list is one empty page.
	pages, err := sacn.DiscoveryPages(bench, name(t, "n"), nil)
	require.NoError(t, err)
	require.Equal(t, []sacn.Discovery{{CID: bench, SourceName: name(t, "n")}}, pages)

	// 8.5: ascending, 512 a page; 8.3, 8.4: pages from 0, the same last page on all.
	all := []sacn.Universe{63999, 7, 7}
	for u := sacn.Universe(1200); u >= 1; u-- {
		all = append(all, u)
	}
	kept := slices.Clone(all)
	pages, err = sacn.DiscoveryPages(bench, name(t, "n"), all)
	require.NoError(t, err)
	require.Equal(t, kept, all, "the list asked for stays as it was")
	require.Len(t, pages, 3)
	var got []sacn.Universe
	for i, p := range pages {
		require.Equal(t, uint8(i), p.Page)
		require.Equal(t, uint8(2), p.LastPage)
		b, err := p.AppendBinary(nil)
		require.NoError(t, err)
		require.LessOrEqual(t, len(b), 1144, "the largest packet of 6.4")
		var back sacn.Discovery
		require.NoError(t, back.Parse(b))
		require.Equal(t, p, back)
		got = append(got, p.Universes...)
	}
	require.Len(t, got, 1201)
	require.True(t, slices.IsSorted(got))
	require.Equal(t, sacn.Universe(63999), got[1200])

	_, err = sacn.DiscoveryPages(bench, name(t, "n"), []sacn.Universe{1, 64000})
	require.ErrorIs(t, err, sacn.ErrUniverse)

	every := make([]sacn.Universe, sacn.MaxUniverse)
	for i := range every {
		every[i] = sacn.Universe(i + 1)
	}
	pages, err = sacn.DiscoveryPages(bench, name(t, "n"), every)
	require.NoError(t, err)
	require.Len(t, pages, 125)
	require.Equal(t, uint8(124), pages[0].LastPage)
}

func TestDiscoveryListIsPutInOrder(t *testing.T) {
	in := with(outside.Golden(t, "e131-discovery"), 120, 0, 9, 0, 0, 0, 4) // 9, no universe, 4
	var d sacn.Discovery
	require.NoError(t, d.Parse(in))
	require.Equal(t, []sacn.Universe{4, 9}, d.Universes)
}

func TestParseLeavesNothingOfTheLastPacket(t *testing.T) {
	var d sacn.Data
	require.NoError(t, d.Parse(outside.Golden(t, "e131-data-512-synced")))
	require.NoError(t, d.Parse(outside.Golden(t, "e131-data")))
	require.Equal(t, goldenPackets(t)["e131-data"], &d)
	before := d
	require.Error(t, d.Parse(with(outside.Golden(t, "e131-data-terminated"), 108, 255)))
	require.Equal(t, before, d, "a refused packet changes nothing")

	var list sacn.Discovery
	full := append(outside.Golden(t, "e131-discovery")[:120:120], make([]byte, 1024)...)
	for i := range 512 {
		full[120+2*i], full[121+2*i] = byte((i+1)>>8), byte(i+1)
	}
	require.NoError(t, list.Parse(lengths(full, 16, 38, 112, 0)))
	require.NoError(t, list.Parse(outside.Golden(t, "e131-discovery")))
	require.Equal(t, goldenPackets(t)["e131-discovery"], &list)
}

func TestDataAliasesItsInput(t *testing.T) {
	in := outside.Golden(t, "e131-data")
	var d sacn.Data
	require.NoError(t, d.Parse(in))
	in[126] = 7
	require.Equal(t, byte(7), d.Slots[0])
	in[44], in[22] = 'X', 0
	require.Equal(t, "bench source", d.SourceName.String())
	require.Equal(t, bench, d.CID)
	require.Equal(t, len(d.Slots), cap(d.Slots), "appending to Slots writes elsewhere")
}

func TestName(t *testing.T) {
	// 6.2.2: 64 bytes of UTF-8 with a NUL at the end.
	for _, text := range []string{"", "stage left", "Bühne", strings.Repeat("x", 63)} {
		require.Equal(t, text, name(t, text).String())
	}
	for _, text := range []string{strings.Repeat("x", 64), "a\x00b", "\xff"} {
		_, err := sacn.NewName(text)
		require.ErrorIs(t, err, sacn.ErrName, "%q", text)
	}
	in := outside.Golden(t, "e131-data")
	copy(in[44:108], strings.Repeat("y", 64))
	var d sacn.Data
	require.NoError(t, d.Parse(in))
	require.Equal(t, strings.Repeat("y", 63), d.SourceName.String(), "a name without its NUL loses its last byte")
	copy(in[44:108], "ab\x00rubbish")
	require.NoError(t, d.Parse(in))
	require.Equal(t, name(t, "ab"), d.SourceName, "what follows the NUL is dropped")
	copy(in[44:108], "a\xffb\x00")
	require.NoError(t, d.Parse(in))
	require.Equal(t, "a\ufffdb", d.SourceName.String())
}

// Documentation of Python's module uuid: uuid5(NAMESPACE_DNS, "python.org").
func TestNameCID(t *testing.T) {
	dns, err := sacn.ParseCID("6ba7b810-9dad-11d1-80b4-00c04fd430c8") // RFC 4122, appendix C
	require.NoError(t, err)
	require.Equal(t, "886313e1-3b8a-5372-9b90-0c9aee199e5d", sacn.NameCID(dns, "python.org").String())
	require.Equal(t, "6ba7b810-9dad-11d1-80b4-00c04fd430c8", dns.String(), "the name space is left as it was")
}

func TestCID(t *testing.T) {
	// RFC 4122 section 3: the string form; section 4.4: version 4 and variant.
	const text = "0f1e2d3c-4b5a-4978-a6b5-c4d3e2f10203"
	require.Equal(t, text, bench.String())
	got, err := sacn.ParseCID(strings.ToUpper(text))
	require.NoError(t, err)
	require.Equal(t, bench, got)
	for _, bad := range []string{"", text[1:], strings.ReplaceAll(text, "-", "0"), "x" + text[1:], text + "0", "0f1e2d3c4-b5a-4978-a6b5-c4d3e2f10203"} {
		_, err := sacn.ParseCID(bad)
		require.ErrorIs(t, err, sacn.ErrCID, "%q", bad)
	}
	a, b := sacn.RandomCID(), sacn.RandomCID()
	require.NotEqual(t, a, b)
	for range 100 {
		c := sacn.RandomCID()
		require.Equal(t, byte(0x40), c[6]&0xf0)
		require.Equal(t, byte(0x80), c[8]&0xc0)
	}
}

func TestWords(t *testing.T) {
	for file, want := range map[string]string{
		"e131-data":            `E1.31 data universe 291 from "bench source", priority 100, sync 0, sequence 1, options none, START code 0x00, 8 slots`,
		"e131-data-terminated": `E1.31 data universe 291 from "bench source", priority 100, sync 0, sequence 2, options terminated, START code 0x00, 8 slots`,
		"e131-sync":            `E1.31 synchronization of address 7962, sequence 42`,
		"e131-discovery":       `E1.31 universe discovery of "bench source", page 0 of 0..0: [1 2 291]`,
	} {
		p, err := sacn.Parse(outside.Golden(t, file))
		require.NoError(t, err)
		require.Equal(t, want, p.(interface{ String() string }).String())
	}
	require.Equal(t, "preview, force sync", (sacn.Preview | sacn.ForceSync).String())
	require.Equal(t, "kind 9", sacn.Kind(9).String())
	_, err := sacn.Parse(outside.Golden(t, "e131-sync")[:48])
	require.ErrorContains(t, err, "got 48 bytes, need 49")
	require.ErrorContains(t, new(sacn.Data).Parse(outside.Golden(t, "e131-sync")), "got synchronization, need data")
}
