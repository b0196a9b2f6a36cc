package fakenode_test

import (
	"net/netip"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
)

// Documentation addresses, RFC 5737.
var (
	desk  = netip.MustParseAddrPort("192.0.2.10:6454")
	other = netip.MustParseAddrPort("192.0.2.11:6454")
)

func encode(t testing.TB, p artnet.Packet) []byte {
	t.Helper()
	b, err := p.AppendBinary(nil)
	require.NoError(t, err)
	return b
}

func dmx(t testing.TB, sequence uint8, port artnet.PortAddress, slots ...byte) []byte {
	t.Helper()
	return encode(t, &artnet.Dmx{Sequence: sequence, PortAddress: port, Data: slots})
}

// put is a frame that a node put out.
type put struct {
	port     artnet.PortAddress
	sequence uint8
	slots    string
}

// unplugged runs f in a synctest bubble with a node on ports 1, 2 and 3.
func unplugged(t *testing.T, f func(t *testing.T, n *fakenode.Node, out *[]put)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		var out []put
		n, err := fakenode.Unplugged(fakenode.Config{
			Ports: []artnet.PortAddress{3, 1, 2, 2},
			Output: func(p artnet.PortAddress, slots []byte, sequence uint8) {
				out = append(out, put{p, sequence, string(slots)})
			},
		})
		require.NoError(t, err)
		f(t, n, &out)
	})
}

func TestKeepsTheLastFrameOfEachPort(t *testing.T) {
	unplugged(t, func(t *testing.T, n *fakenode.Node, out *[]put) {
		_, _, _, ok := n.Frame(1)
		require.False(t, ok, "no data yet")
		n.Receive(desk, dmx(t, 1, 1, 10, 20, 30, 40))
		n.Receive(desk, dmx(t, 1, 2, 5, 6))
		time.Sleep(time.Second)
		n.Receive(desk, dmx(t, 2, 1, 11, 21))
		slots, sequence, at, ok := n.Frame(1)
		require.True(t, ok)
		require.Equal(t, []byte{11, 21, 30, 40}, slots, "a short packet changes only its slots, the rest hold")
		require.Equal(t, uint8(2), sequence)
		require.Equal(t, time.Now(), at)
		slots[0] = 99
		slots, _, _, _ = n.Frame(1)
		require.Equal(t, byte(11), slots[0], "Frame gives a copy")
		slots, _, _, _ = n.Frame(2)
		require.Equal(t, []byte{5, 6}, slots)
		_, _, _, ok = n.Frame(9)
		require.False(t, ok)
		n.Receive(desk, dmx(t, 1, 9, 1, 2))
		require.Equal(t, fakenode.Stats{Received: 4, Frames: 3, OtherPort: 1}, n.Stats())
		require.Equal(t, []put{{1, 1, "\x0a\x14\x1e\x28"}, {2, 1, "\x05\x06"}, {1, 2, "\x0b\x15\x1e\x28"}}, *out)
	})
}

func TestDropsWhatWasOvertaken(t *testing.T) {
	unplugged(t, func(t *testing.T, n *fakenode.Node, out *[]put) {
		for _, s := range []uint8{254, 255, 1, 255, 1, 2, 239, 238, 0, 7} {
			n.Receive(desk, dmx(t, s, 1, s, s))
		}
		var taken []uint8
		for _, p := range *out {
			taken = append(taken, p.sequence)
		}
		// ANSI E1.31 section 6.7: dropped when -20 < diff <= 0. From 2, 239 is 19
		// behind and 238 is 20 behind, a sender that started again.
		require.Equal(t, []uint8{254, 255, 1, 2, 238, 0, 7}, taken)
		require.Equal(t, uint64(3), n.Stats().Overtaken)

		// The sequence is counted per port-address.
		n.Receive(desk, dmx(t, 3, 2, 1, 1))
		_, _, _, ok := n.Frame(2)
		require.True(t, ok)

		// After 2.5 s of silence a source may start again anywhere.
		time.Sleep(2500 * time.Millisecond)
		n.Receive(desk, dmx(t, 1, 1, 42, 42))
		slots, _, _, _ := n.Frame(1)
		require.Equal(t, []byte{42, 42}, slots)
	})
}

func TestPortTimesOutAndHolds(t *testing.T) {
	unplugged(t, func(t *testing.T, n *fakenode.Node, _ *[]put) {
		n.Receive(desk, dmx(t, 1, 1, 7, 8))
		require.Equal(t, [4]uint8{artnet.OutputActive}, n.Describe()[0].GoodOutputA)
		require.Zero(t, n.Describe()[1].GoodOutputA)
		time.Sleep(6*time.Second - time.Nanosecond)
		_, _, _, ok := n.Frame(1)
		require.True(t, ok)
		time.Sleep(time.Nanosecond)
		slots, sequence, _, ok := n.Frame(1)
		require.False(t, ok, "the standard's indicators time out after 6 s")
		require.Equal(t, []byte{7, 8}, slots, "the output holds")
		require.Equal(t, uint8(1), sequence)
		require.Zero(t, n.Describe()[0].GoodOutputA)
		n.Receive(desk, dmx(t, 2, 1, 7, 8))
		_, _, _, ok = n.Frame(1)
		require.True(t, ok)
	})
}

func TestSecondSourceWaitsUntilTheFirstIsGone(t *testing.T) {
	unplugged(t, func(t *testing.T, n *fakenode.Node, _ *[]put) {
		first := func() byte {
			slots, _, _, _ := n.Frame(1)
			return slots[0]
		}
		n.Receive(desk, dmx(t, 1, 1, 10, 0))
		n.Receive(other, dmx(t, 9, 1, 20, 0))
		n.Receive(desk, encode(t, &artnet.Dmx{Sequence: 2, Physical: 1, PortAddress: 1, Data: []byte{30, 0}}))
		require.Equal(t, byte(10), first(), "told apart by IP address and by Physical")
		require.Equal(t, uint64(2), n.Stats().SecondSource)
		n.Receive(other, dmx(t, 1, 2, 20, 0))
		require.Equal(t, uint64(2), n.Stats().SecondSource, "another port is another matter")
		time.Sleep(10*time.Second - time.Nanosecond)
		n.Receive(other, dmx(t, 10, 1, 21, 0))
		require.Equal(t, byte(10), first(), "a source that stops is held for 10 s")
		time.Sleep(time.Nanosecond)
		n.Receive(other, dmx(t, 11, 1, 22, 0))
		require.Equal(t, byte(22), first())
	})
}

// Art-Net 4, ArtSync: the first one switches to buffering, each further one
// puts out what is buffered, 4 s without one ends it; it counts only from the
// sender of the latest ArtDmx.
func TestArtSync(t *testing.T) {
	sync := encode(t, &artnet.Sync{})
	unplugged(t, func(t *testing.T, n *fakenode.Node, out *[]put) {
		n.Receive(desk, sync)
		require.Equal(t, uint64(1), n.Stats().SyncsIgnored, "no ArtDmx yet")
		n.Receive(desk, dmx(t, 1, 1, 1, 1))
		require.Len(t, *out, 1, "unsynchronised: at once")
		n.Receive(other, sync)
		n.Receive(desk, dmx(t, 2, 1, 2, 2))
		require.Len(t, *out, 2, "the ArtSync of somebody else means nothing")

		n.Receive(desk, sync)
		n.Receive(desk, dmx(t, 1, 3, 9, 9))
		n.Receive(desk, dmx(t, 3, 1, 3, 3))
		n.Receive(desk, dmx(t, 4, 1, 4, 4))
		require.Len(t, *out, 2, "buffered")
		slots, _, _, _ := n.Frame(1)
		require.Equal(t, []byte{2, 2}, slots)
		n.Receive(desk, sync)
		require.Equal(t, []put{{1, 4, "\x04\x04"}, {3, 1, "\x09\x09"}}, (*out)[2:], "all together")
		n.Receive(desk, sync)
		require.Len(t, *out, 4, "nothing new")

		n.Receive(desk, dmx(t, 2, 3, 8, 8))
		time.Sleep(4*time.Second - time.Nanosecond)
		n.Receive(desk, dmx(t, 5, 1, 5, 5))
		require.Len(t, *out, 4, "still synchronised")
		time.Sleep(time.Nanosecond)
		n.Receive(desk, dmx(t, 6, 1, 6, 6))
		require.Equal(t, []put{{1, 6, "\x06\x06"}, {3, 2, "\x08\x08"}}, (*out)[4:], "no longer; what was buffered goes too")
		n.Receive(desk, dmx(t, 7, 1, 7, 7))
		require.Len(t, *out, 7)
		require.Equal(t, uint64(3), n.Stats().Syncs)
		require.Equal(t, uint64(2), n.Stats().SyncsIgnored)
	})
}

func TestCountsWhatItCannotUse(t *testing.T) {
	unplugged(t, func(t *testing.T, n *fakenode.Node, out *[]put) {
		odd := dmx(t, 1, 1, 1, 2, 3, 4)
		odd[17] = 3
		old := dmx(t, 1, 1, 1, 2)
		old[11] = 13
		for _, b := range [][]byte{
			odd, dmx(t, 1, 1, 1, 2)[:19], // malformed
			old, nil, []byte("hello"), []byte("Art-Net\x00\x00\x20\x00\x0e"), []byte("Art-Net\x00\x00\x52\x00\x0d"), // garbage
			encode(t, &artnet.PollReply{}), []byte("Art-Net\x00\x00\x97\x00\x0e"), // not for a node
		} {
			n.Receive(desk, b)
		}
		require.Equal(t, fakenode.Stats{Received: 9, Malformed: 2, Garbage: 5, Unhandled: 2}, n.Stats())
		require.Empty(t, *out)
		n.Silence(true)
		n.Receive(desk, dmx(t, 1, 1, 1, 2))
		require.Equal(t, uint64(9), n.Stats().Received, "silenced: deaf as well")
		n.Silence(false)
		n.Receive(desk, dmx(t, 1, 1, 1, 2))
		require.Len(t, *out, 1)
	})
}

func TestDescribesItself(t *testing.T) {
	n, err := fakenode.Unplugged(fakenode.Config{Name: "wall", Ports: []artnet.PortAddress{0x7fff, 0x123}})
	require.NoError(t, err)
	pages := n.Describe()
	require.Len(t, pages, 2, "one port a page, the form that Art-Net 4 prefers")
	for i, want := range []artnet.PortAddress{0x123, 0x7fff} {
		p := pages[i]
		require.Equal(t, []artnet.PortAddress{want}, p.Outputs(nil))
		require.Equal(t, uint8(i+1), p.BindIndex)
		require.Equal(t, uint16(1), p.NumPorts)
		require.Equal(t, artnet.StyleNode, p.Style)
		require.Equal(t, "127.0.0.2", p.IP.String())
		require.Equal(t, "wall", p.ShortName)
		require.Equal(t, "wall (software)", p.LongName)
		require.Equal(t, uint8(artnet.Address15Bit), p.Status2)
		_, err := p.AppendBinary(nil)
		require.NoError(t, err)
	}
	n, err = fakenode.Unplugged(fakenode.Config{})
	require.NoError(t, err)
	require.Len(t, n.Describe(), 1, "no ports: a page that says so")
	require.Zero(t, n.Describe()[0].NumPorts)
}

func TestConfigIsChecked(t *testing.T) {
	ports := make([]artnet.PortAddress, 256)
	for i := range ports {
		ports[i] = artnet.PortAddress(i)
	}
	for _, c := range []struct {
		cfg  fakenode.Config
		want string
	}{
		{fakenode.Config{Name: strings.Repeat("x", 18)}, "at most 17 fit"},
		{fakenode.Config{Ports: ports}, "at most 255 on one node"},
		{fakenode.Config{Ports: []artnet.PortAddress{0x8000}}, "bad port-address"},
		{fakenode.Config{Addr: netip.MustParseAddrPort("198.51.100.9:6454")}, "no network interface has this address"},
	} {
		_, err := fakenode.Listen(c.cfg)
		require.ErrorContains(t, err, c.want)
	}
}

func FuzzReceive(f *testing.F) {
	f.Add(dmx(f, 1, 1, 1, 2), dmx(f, 2, 1, 3, 4))
	f.Add(encode(f, &artnet.Sync{}), encode(f, &artnet.Poll{}))
	f.Add(dmx(f, 1, 1, 1, 2, 3, 4)[:20], []byte("Art-Net\x00\x00\x50\x00\x0e\x01\x00\x01\x00\xff\xff"))
	f.Fuzz(func(t *testing.T, one, two []byte) {
		n, err := fakenode.Unplugged(fakenode.Config{Ports: []artnet.PortAddress{1}})
		require.NoError(t, err)
		n.Receive(desk, one)
		n.Receive(desk, two)
		slots, _, _, ok := n.Frame(1)
		require.Equal(t, ok, n.Stats().Frames > 0)
		require.LessOrEqual(t, len(slots), artnet.MaxSlots)
		s := n.Stats()
		require.Equal(t, s.Received, s.Frames+s.Overtaken+s.SecondSource+s.OtherPort+s.Syncs+s.SyncsIgnored+s.Polls+s.RDM+s.Malformed+s.Garbage+s.Unhandled,
			"everything received is counted once")
	})
}
