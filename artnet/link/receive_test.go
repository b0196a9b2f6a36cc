package link_test

import (
	"net/netip"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
)

var (
	other = netip.MustParseAddrPort("192.0.2.77:6454") // another controller
	nodeC = netip.MustParseAddrPort("192.0.2.40:6454")
)

func encode(t testing.TB, p artnet.Packet) []byte {
	t.Helper()
	b, err := p.AppendBinary(nil)
	require.NoError(t, err)
	return b
}

// The time after which a controller counts as stopped is ours: Art-Net 4,
// ArtDmx, has unchanged data repeated every 4 s at the latest.
func TestAnotherControllerIsNamed(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		require.NoError(t, l.SendFrame([]uint16{1, 0x123}, [][]byte{{1, 2}, {3, 4}}, false))
		theirs := encode(t, &artnet.Dmx{PortAddress: 0x123, Data: []byte{9, 9}})
		elsewhere := encode(t, &artnet.Dmx{PortAddress: 2, Data: []byte{9, 9}})
		for range 3 * 40 {
			w.receive(other, theirs)
			w.receive(other, elsewhere) // no port-address of ours
			w.receive(self, theirs)     // our own, heard by broadcast
			time.Sleep(25 * time.Millisecond)
		}
		last := time.Now().Add(-25 * time.Millisecond)
		got := l.Sources()
		require.Len(t, got, 1)
		require.InDelta(t, 40, got[0].Rate, 1)
		got[0].Rate = 0
		require.Equal(t, []link.Source{{Addr: other.Addr(), PortAddress: 0x123, LastSeen: last}}, got)

		r, err := (&artnet.PollReply{ShortName: "their desk", Style: artnet.StyleController}).AppendBinary(nil)
		require.NoError(t, err)
		w.receive(other, r)
		require.Equal(t, "their desk", l.Sources()[0].Name, "it answered a poll")

		time.Sleep(time.Until(last.Add(5*time.Second)) - time.Nanosecond)
		require.Len(t, l.Sources(), 1)
		time.Sleep(time.Nanosecond)
		require.Empty(t, l.Sources(), "forgotten")
		require.Equal(t, uint64(3*3*40), l.Stats().Ignored.Dmx)
	})
}

func TestASingleFrameOfAnotherControllerIsSeen(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		require.NoError(t, l.SendFrame([]uint16{1}, [][]byte{{1, 2}}, false))
		w.receive(other, encode(t, &artnet.Dmx{PortAddress: 1, Data: []byte{9, 9}}))
		require.Len(t, l.Sources(), 1)
		require.Equal(t, 1.0, l.Sources()[0].Rate, "one in the second that it is measured over")
	})
}

func TestInventedControllersDoNotFillTheMemory(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		require.NoError(t, l.SendFrame([]uint16{1}, [][]byte{{1, 2}}, false))
		b := encode(t, &artnet.Dmx{PortAddress: 1, Data: []byte{9, 9}})
		for i := range 1500 {
			w.receive(netip.AddrPortFrom(netip.AddrFrom4([4]byte{10, 0, byte(i >> 8), byte(i)}), 6454), b)
		}
		require.Len(t, l.Sources(), 1024)
		require.Equal(t, uint64(1500-1024), l.Stats().Ignored.Full)
		time.Sleep(5 * time.Second)
		w.receive(other, b)
		require.Len(t, l.Sources(), 1, "there is room again")
	})
}

// A second program with our address takes the nodes' answers (the system gives
// a unicast datagram to one socket only): while it polls, silence means nothing.
func TestNodesAreNotLostToAProgramThatSharesTheAddress(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		poll := encode(t, &artnet.Poll{})
		w.receive(nodeA, reply(t, 1, 1))
		w.receive(self, poll) // our own round comes back by broadcast
		require.False(t, l.Shared())
		time.Sleep(10 * time.Millisecond) // so that each poll below comes after ours went out
		for range 10 {                    // half a minute without an answer
			time.Sleep(2750 * time.Millisecond)
			w.receive(self, poll) // ours
			w.receive(self, poll) // the other program's
			require.True(t, l.Shared())
			require.False(t, l.Nodes()[0].Lost)
		}
		require.NoError(t, l.SendFrame([]uint16{1}, [][]byte{{1, 2}}, true))
		dmx, _, _ := take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 1, "and it keeps its light")

		// The other program ends; the node is really gone.
		for range 5 {
			time.Sleep(2750 * time.Millisecond)
			w.receive(self, poll)
		}
		require.False(t, l.Shared())
		require.True(t, l.Nodes()[0].Lost)
	})
}

// pageOf is an ArtPollReply of a device with a MAC.
func pageOf(t *testing.T, name string, mac byte, ports ...artnet.PortAddress) []byte {
	t.Helper()
	b := reply(t, 1, ports...)
	copy(b[26:44], name+"\x00") // ShortName
	copy(b[201:207], []byte{2, 0, 0, 0, 0, mac})
	return b
}

func TestTwoDevicesWithOneAddress(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		one, two := pageOf(t, "one", 1, 1), pageOf(t, "two", 2, 2)
		w.receive(nodeA, one)
		w.receive(nodeA, two)
		require.Zero(t, l.Nodes()[0].Twin, "put in its place: no twin")
		w.receive(nodeA, one)
		require.Equal(t, [6]byte{2, 0, 0, 0, 0, 2}, l.Nodes()[0].Twin)
		require.Equal(t, [6]byte{2, 0, 0, 0, 0, 1}, l.Nodes()[0].MAC)
		w.receive(nodeA, two)
		require.Equal(t, [6]byte{2, 0, 0, 0, 0, 1}, l.Nodes()[0].Twin)
		for range 4 {
			time.Sleep(2750 * time.Millisecond)
			w.receive(nodeA, two)
		}
		require.Zero(t, l.Nodes()[0].Twin, "one of them is gone")
	})
}

func TestNodeThatChangesItsAddressTakesItsLightAlong(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		page := pageOf(t, "hut", 7, 1)
		w.receive(nodeA, page)
		w.receive(nodeC, pageOf(t, "hut", 8, 1)) // same name, another device
		time.Sleep(2800 * time.Millisecond)
		for range 3 {
			w.receive(nodeB, page)
			w.receive(nodeC, pageOf(t, "hut", 8, 1))
			time.Sleep(2750 * time.Millisecond)
		}
		synctest.Wait()
		var addrs []netip.AddrPort
		for _, n := range l.Nodes() {
			require.False(t, n.Lost)
			addrs = append(addrs, n.Addr)
		}
		require.Equal(t, []netip.AddrPort{nodeB, nodeC}, addrs, "the old address is neither lost nor served")
		require.NoError(t, l.SendFrame([]uint16{1}, [][]byte{{1, 2}}, true))
		_, to, _ := take[*artnet.Dmx](t, w)
		require.Equal(t, addrs, to)
	})
}

// What a device says about itself, by the fields of ArtPollReply, Art-Net 4.
func TestNodeTableShowsWhatADeviceSays(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		r := artnet.PollReply{
			IP: nodeA.Addr(), Version: 0x0203, Oem: 0x1234, EstaMan: 0x7ff1, ShortName: "wall", LongName: "wall, left of the door",
			Status1: artnet.IndicatorsLocate | artnet.AddressLocal, NodeReport: artnet.NodeReport(0xd, 7, "short"),
			NumPorts: 2, PortTypes: [4]uint8{artnet.PortOutput, artnet.PortInput}, SwOut: [4]uint8{3}, SwIn: [4]uint8{0, 4},
			GoodOutputA: [4]uint8{artnet.OutputActive | artnet.OutputMerging}, GoodInput: [4]uint8{0, artnet.InputReceived},
			MAC: [6]byte{2, 0, 0, 0, 0x5e, 9}, BindIP: nodeB.Addr(), BindIndex: 1, Status2: artnet.Address15Bit,
		}
		w.receive(nodeA, encode(t, &r))
		require.Equal(t, link.NodeInfo{
			Addr: nodeA, Name: "wall", LongName: "wall, left of the door", Report: "#000d [0007] short", Ports: []artnet.PortAddress{3},
			Lines: []link.Line{
				{ReplyPort: artnet.ReplyPort{Address: 3, Output: true, Active: true, Merging: true}, BindIndex: 1},
				{ReplyPort: artnet.ReplyPort{Address: 4, Active: true}, BindIndex: 1},
			},
			Firmware: 0x0203, Esta: 0x7ff1, Oem: 0x1234, MAC: [6]byte{2, 0, 0, 0, 0x5e, 9}, BindIP: nodeB.Addr(),
			Status: []string{"port-address set at the device"}, Indicators: artnet.IndicatorsLocating, LastSeen: time.Now(),
		}, l.Nodes()[0])
	})
}
