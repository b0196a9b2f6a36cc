package link_test

import (
	"errors"
	"net/netip"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
)

func TestPollsEveryTwoAndAHalfToThreeSeconds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		other := netip.MustParseAddrPort("192.0.2.33:7000")
		_, w := start(t, link.Config{To: []netip.AddrPort{nodeA, other}})
		time.Sleep(time.Minute)
		synctest.Wait()
		polls, to, at := take[*artnet.Poll](t, w)
		rounds := map[netip.AddrPort][]time.Time{}
		for i, p := range polls {
			require.Equal(t, &artnet.Poll{
				Flags: artnet.PollReplyOnChange, DiagPriority: artnet.DiagLow, EstaMan: artnet.PrototypeEsta, Oem: artnet.UnknownOem,
			}, p)
			rounds[to[i]] = append(rounds[to[i]], at[i])
		}
		require.Len(t, rounds, 3, "directed broadcast, and every device named")
		for _, target := range []netip.AddrPort{broadcast, nodeA, other} {
			require.GreaterOrEqual(t, len(rounds[target]), 20, "a minute holds 20 gaps of 3 s")
			for i := 1; i < len(rounds[target]); i++ {
				gap := rounds[target][i].Sub(rounds[target][i-1])
				// Art-Net 4, ArtPoll: a controller polls every 2.5 to 3 s.
				require.GreaterOrEqual(t, gap, 2500*time.Millisecond)
				require.LessOrEqual(t, gap, 3*time.Second)
			}
		}
	})
}

func TestNodeIsFoundLostAndBack(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		frame := func() ([]*artnet.Dmx, []netip.AddrPort) {
			require.NoError(t, l.SendFrame([]uint16{1, 2}, [][]byte{{1, 2}, {3, 4}}, false))
			dmx, to, _ := take[*artnet.Dmx](t, w)
			return dmx, to
		}
		dmx, _ := frame()
		require.Empty(t, dmx, "no subscriber: nothing is sent")

		w.receive(nodeA, reply(t, 1, 1))
		found := l.Nodes()
		require.Len(t, found, 1)
		require.Equal(t, link.NodeInfo{
			Addr: nodeA, Name: "node", Ports: []artnet.PortAddress{1}, Firmware: 7, LastSeen: time.Now(),
			Lines: []link.Line{{ReplyPort: artnet.ReplyPort{Address: 1, Output: true}, BindIndex: 1}},
		}, found[0])
		dmx, to := frame()
		require.Len(t, dmx, 1)
		require.Equal(t, []netip.AddrPort{nodeA}, to)
		require.Equal(t, artnet.PortAddress(1), dmx[0].PortAddress)
		dmx, _ = frame()
		require.Empty(t, dmx, "unchanged")

		// It answers the poll at 2.75 s late, after 2.9 s: still there at 5.75 s,
		// when the standard's 3 s for that poll are over.
		time.Sleep(5650 * time.Millisecond)
		w.receive(nodeA, reply(t, 1, 1))
		time.Sleep(110 * time.Millisecond)
		synctest.Wait()
		require.False(t, l.Nodes()[0].Lost)
		// Silent from now on. The poll at 5.5 s was answered at 5.65 s, the one
		// at 8.25 s is not: lost at 11.25 s.
		time.Sleep(5480 * time.Millisecond)
		synctest.Wait()
		require.False(t, l.Nodes()[0].Lost, "at 11.24 s")
		time.Sleep(20 * time.Millisecond)
		synctest.Wait()
		require.True(t, l.Nodes()[0].Lost, "at 11.26 s")
		require.Equal(t, []artnet.PortAddress{1}, l.Nodes()[0].Ports)
		dmx, _ = frame()
		require.Len(t, dmx, 1, "for a while it gets its light all the same")
		time.Sleep(12 * time.Second)
		synctest.Wait()
		dmx, _ = frame()
		require.Empty(t, dmx)

		w.receive(nodeA, reply(t, 1, 1))
		require.False(t, l.Nodes()[0].Lost)
		dmx, _ = frame()
		require.Len(t, dmx, 1, "back: a full frame at once, though nothing changed")
	})
}

func TestNodeThatWasOnlyBrieflyLostGetsAFullFrame(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		for _, cfg := range []link.Config{{}, {To: []netip.AddrPort{nodeA}}} {
			l, w := start(t, cfg)
			send := func() int {
				require.NoError(t, l.SendFrame([]uint16{1}, [][]byte{{1, 2}}, false))
				dmx, _, _ := take[*artnet.Dmx](t, w)
				return len(dmx)
			}
			w.receive(nodeA, reply(t, 1, 1))
			send()
			time.Sleep(9 * time.Second)
			synctest.Wait()
			require.True(t, l.Nodes()[0].Lost)
			require.Equal(t, 1, send(), "the repeat")
			require.Equal(t, 0, send())
			w.receive(nodeA, reply(t, 1, 1))
			require.Equal(t, 1, send())
		}
	})
}

func TestPagesOfOneNode(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		w.receive(nodeA, reply(t, 1, 3))
		w.receive(nodeA, reply(t, 2, 1, 2))
		w.receive(nodeB, reply(t, 0, 2))
		nodes := l.Nodes()
		require.Len(t, nodes, 2)
		require.Equal(t, []artnet.PortAddress{1, 2, 3}, nodes[0].Ports)
		require.NoError(t, l.SendFrame([]uint16{1, 2, 3, 4}, slices.Repeat([][]byte{{1, 2}}, 4), true))
		dmx, to, _ := take[*artnet.Dmx](t, w)
		var sent []string
		for i, d := range dmx {
			sent = append(sent, d.PortAddress.String()+" "+to[i].String())
			require.Equal(t, uint8(1), d.Sequence, "one count per port-address, whoever it goes to")
		}
		require.Equal(t, []string{"0:0:1 192.0.2.21:6454", "0:0:2 192.0.2.21:6454", "0:0:3 192.0.2.21:6454", "0:0:2 192.0.2.22:6454"}, sent)

		// The second page stops, the first goes on: its ports go after a while.
		for range 10 {
			time.Sleep(2 * time.Second)
			w.receive(nodeA, reply(t, 1, 3))
		}
		require.Equal(t, []artnet.PortAddress{3}, l.Nodes()[0].Ports)
		require.False(t, l.Nodes()[0].Lost)
		// A page that moves to another port-address takes its light along.
		w.receive(nodeA, reply(t, 1, 4))
		take[*artnet.Dmx](t, w)
		require.NoError(t, l.SendFrame([]uint16{3, 4}, [][]byte{{1, 2}, {1, 2}}, false))
		dmx, _, _ = take[*artnet.Dmx](t, w)
		require.Len(t, dmx, 1)
		require.Equal(t, artnet.PortAddress(4), dmx[0].PortAddress)
	})
}

// dmxnet 0.9.0, a widespread open-source node, sends 213 bytes from a port of
// the system's choosing, with the Port bytes swapped and the style of a
// controller.
func TestQuirkyReply(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		b := reply(t, 1, 5)[:213]
		b[14], b[15], b[200] = 0x19, 0x36, byte(artnet.StyleController)
		copy(b[26:44], "a\xff\x1b[31mb\x00")
		w.receive(netip.AddrPortFrom(nodeA.Addr(), 50123), b)
		require.NoError(t, l.SendFrame([]uint16{5}, [][]byte{{1, 2}}, false))
		_, to, _ := take[*artnet.Dmx](t, w)
		require.Equal(t, []netip.AddrPort{nodeA}, to)
		require.Equal(t, "a?[31mb", l.Nodes()[0].Name, "no control characters for terminal or page")
	})
}

func TestAnswersPolls(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{Name: "linkboy on the wall", Firmware: 0x0102})
		// Seven universes in three sub-nets: pages of at most four with one sub-net.
		addresses := []uint16{0x123, 1, 2, 3, 4, 5, 0x11}
		require.NoError(t, l.SendFrame(addresses, slices.Repeat([][]byte{{0, 0}}, len(addresses)), true))
		controller := netip.MustParseAddrPort("192.0.2.50:6454")
		poll, err := (&artnet.Poll{}).AppendBinary(nil)
		require.NoError(t, err)
		asked := time.Now()
		w.receive(controller, poll)
		w.receive(self, poll) // the standard: a controller answers its own poll too
		time.Sleep(time.Second)
		synctest.Wait()
		replies, to, at := take[*artnet.PollReply](t, w)
		require.Len(t, replies, 2*4)
		var pages [][]artnet.PortAddress
		counts := map[string]bool{}
		for i, r := range replies {
			require.LessOrEqual(t, at[i].Sub(asked), time.Second)
			counts[r.NodeReport] = true
			require.Equal(t, artnet.StyleController, r.Style)
			require.Equal(t, self.Addr(), r.IP)
			require.Equal(t, self.Addr(), r.BindIP)
			require.Equal(t, [6]byte{2, 0, 0, 0, 0x5e, 7}, r.MAC)
			require.Equal(t, uint16(artnet.Port), r.Port)
			require.Equal(t, uint16(0x0102), r.Version)
			require.Equal(t, uint16(0x00ff), r.Oem)
			require.Equal(t, uint16(0x7ff0), r.EstaMan)
			require.Equal(t, "linkboy on the wa", r.ShortName)
			require.Equal(t, "linkboy on the wall", r.LongName)
			require.Empty(t, r.Outputs(nil), "else others would stream to us")
			if to[i] == controller {
				pages = append(pages, r.Inputs(nil))
				require.Equal(t, len(pages), int(r.BindIndex))
				require.Len(t, pages[len(pages)-1], int(r.NumPorts))
			}
		}
		require.Len(t, counts, 8, "the count in NodeReport goes up with every reply")
		require.Equal(t, [][]artnet.PortAddress{{1, 2, 3, 4}, {5}, {0x11}, {0x123}}, pages)
		require.Equal(t, uint64(8), l.Stats().Replies)

		targeted := func(bottom, top artnet.PortAddress) int {
			b, err := (&artnet.Poll{Flags: artnet.PollTargeted, TargetBottom: bottom, TargetTop: top}).AppendBinary(nil)
			require.NoError(t, err)
			w.receive(controller, b)
			time.Sleep(time.Second)
			synctest.Wait()
			replies, _, _ := take[*artnet.PollReply](t, w)
			return len(replies)
		}
		require.Zero(t, targeted(6, 0x10))
		require.Equal(t, 4, targeted(6, 0x11))

		// Our own answer comes back to us; it is no device.
		own, err := replies[0].AppendBinary(nil)
		require.NoError(t, err)
		w.receive(self, own)
		require.Empty(t, l.Nodes())
	})
}

func TestControllerWithoutUniversesAnswersOnePage(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		_, w := start(t, link.Config{AnswerDelay: func() time.Duration { return 0 }})
		w.receive(nodeB, []byte("Art-Net\x00\x00\x20\x00\x0e\x00\x00"))
		replies, to, _ := take[*artnet.PollReply](t, w)
		require.Len(t, replies, 1)
		require.Equal(t, []netip.AddrPort{nodeB}, to)
		require.Zero(t, replies[0].NumPorts)
		require.Equal(t, uint8(1), replies[0].BindIndex)
	})
}

func TestGarbageIsCountedAndIgnored(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		dmx := func(d artnet.Dmx) []byte {
			b, err := d.AppendBinary(nil)
			require.NoError(t, err)
			return b
		}
		odd := dmx(artnet.Dmx{Data: []byte{1, 2, 3, 4}})
		odd[17] = 3
		old := dmx(artnet.Dmx{Data: []byte{1, 2}})
		old[11] = 13
		for _, b := range [][]byte{
			nil, []byte("hello"), make([]byte, 2000), // not Art-Net
			[]byte("Art-Net\x00\x00"), reply(t, 1, 1)[:206], // short
			old, // version
			[]byte("Art-Net\x00\x00\x97\x00\x0e\x00\x00\x00\x00\x00\x00\x00"), []byte("Art-Net\x00\x00\x52\x00\x0e\x00\x00"), // not for us
			odd,                                 // malformed
			dmx(artnet.Dmx{Data: []byte{1, 2}}), // another controller's
		} {
			w.receive(nodeA, b)
		}
		require.Equal(t, link.Ignored{NotArtNet: 3, Short: 2, Version: 1, OpCode: 2, Malformed: 1, Dmx: 1}, l.Stats().Ignored)
		require.Equal(t, uint64(10), l.Stats().Received)
		require.Empty(t, l.Nodes())
		w.receive(nodeA, reply(t, 1, 1))
		require.Len(t, l.Nodes(), 1, "and it goes on")
	})
}

func TestInventedNodesDoNotFillTheMemory(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		b := reply(t, 1, 1)
		for i := range 1500 {
			w.receive(netip.AddrPortFrom(netip.AddrFrom4([4]byte{10, 0, byte(i >> 8), byte(i)}), 6454), b)
		}
		require.Len(t, l.Nodes(), 1024)
		require.Equal(t, uint64(1500-1024), l.Stats().Ignored.Full)
	})
}

var errNetworkGone = errors.New("network gone")

func TestReopensWithBackOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var mu sync.Mutex // guards the three below
		var tries []time.Time
		var gone bool
		var wires []*fakeWire
		l, err := link.OpenWire(link.Config{To: []netip.AddrPort{nodeA}}, func() (link.Wire, error) {
			mu.Lock()
			defer mu.Unlock()
			tries = append(tries, time.Now())
			if gone {
				return nil, errNetworkGone
			}
			wires = append(wires, newFakeWire())
			return wires[len(wires)-1], nil
		})
		require.NoError(t, err)
		run(t, l)

		mu.Lock()
		gone = true
		mu.Unlock()
		failed := time.Now()
		wires[0].broken <- errNetworkGone
		time.Sleep(time.Minute)
		synctest.Wait()
		mu.Lock()
		waits := []time.Duration{}
		for _, at := range tries[1:] {
			waits = append(waits, at.Sub(failed))
			failed = at
		}
		require.Equal(t, []time.Duration{500 * time.Millisecond, time.Second, 2 * time.Second, 4 * time.Second, 8 * time.Second}, waits[:5])
		require.LessOrEqual(t, slices.Max(waits), 8*time.Second, "it never gives up")

		gone = false
		mu.Unlock()
		time.Sleep(8 * time.Second)
		synctest.Wait()
		mu.Lock()
		defer mu.Unlock()
		require.Len(t, wires, 2)
		require.Equal(t, uint64(1), l.Stats().Reopened)
		require.NoError(t, l.SendFrame([]uint16{1}, [][]byte{{1, 2}}, true))
		dmx, _, _ := take[*artnet.Dmx](t, wires[1])
		require.Len(t, dmx, 1, "frames go over the new sockets")
		wires[1].receive(nodeA, reply(t, 1, 1))
		require.Len(t, l.Nodes(), 1, "and answers are read from them")
		select {
		case <-wires[0].closed:
		default:
			t.Fatal("the old sockets are still open")
		}
	})
}

func TestRunAndClose(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := newFakeWire()
		l, err := link.OpenWire(link.Config{}, func() (link.Wire, error) { return w, nil })
		require.NoError(t, err)
		done := make(chan error, 1)
		go func() { done <- l.Run(t.Context()) }()
		synctest.Wait()
		require.ErrorContains(t, l.Run(t.Context()), "called twice")
		require.NoError(t, l.Close())
		require.NoError(t, <-done)
		require.NoError(t, l.Close())
		<-w.closed
		require.Error(t, l.SendFrame([]uint16{1}, [][]byte{{1, 2}, {1, 2}}, false))
	})
}

func TestConfigIsChecked(t *testing.T) {
	for _, c := range []struct {
		cfg  link.Config
		want string
	}{
		{link.Config{Port: 70000}, "need 1..65535"},
		{link.Config{Bind: netip.IPv6Loopback()}, "needs an IPv4 address"},
		{link.Config{To: []netip.AddrPort{netip.MustParseAddrPort("[::1]:6454")}}, "need the IPv4 address of a device"},
		{link.Config{To: []netip.AddrPort{netip.MustParseAddrPort("0.0.0.0:6454")}}, "need the IPv4 address of a device"},
		{link.Config{To: []netip.AddrPort{netip.MustParseAddrPort("255.255.255.255:0")}}, "never broadcasts to everyone"},
		{link.Config{Bind: netip.MustParseAddr("198.51.100.77")}, "no network interface has this address; use one of"},
	} {
		_, err := link.Open(c.cfg)
		require.ErrorContains(t, err, c.want)
	}
}

func TestTimeCodeIsHandedOver(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var heard []string
		_, w := start(t, link.Config{TimeCode: func(from netip.AddrPort, c *artnet.TimeCode) {
			heard = append(heard, from.String()+" "+c.String())
		}})
		b, err := (&artnet.TimeCode{Hours: 1, Seconds: 12, Frames: 8}).AppendBinary(nil)
		require.NoError(t, err)
		w.receive(nodeA, b)
		require.Equal(t, []string{"192.0.2.21:6454 01:00:12:08"}, heard)
	})
}
