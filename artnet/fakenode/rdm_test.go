package fakenode_test

import (
	"bytes"
	"net/netip"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/outside"
	"linkboy/artnet/peer"
	"linkboy/artnet/rdm"
	"linkboy/artnet/rdm/responder"
)

func lampOf(t testing.TB, n uint32) *responder.Responder {
	t.Helper()
	r, err := responder.New(responder.Model{UID: rdm.NewUID(0x7ff1, n), Personalities: []responder.Personality{{Text: "8 bit", Slots: 4}}})
	require.NoError(t, err)
	return r
}

// told reads packets until a whole table of a port has come.
func told(t *testing.T, read func() artnet.Packet) (uids []rdm.UID, blocks int) {
	t.Helper()
	for {
		d, ok := read().(*artnet.TodData)
		if !ok || d.Response == artnet.TodResponseNak {
			continue
		}
		require.Equal(t, uint8(blocks), d.Block)
		require.Equal(t, uint8(1), d.Port)
		blocks++
		for _, u := range d.UIDs {
			uids = append(uids, u)
		}
		if len(uids) == int(d.Total) {
			return uids, blocks
		}
	}
}

// desktop is a controller's sockets on loopback and what a node sends there.
func desktop(t *testing.T, port uint16) (*peer.Sockets, <-chan artnet.Packet) {
	t.Helper()
	all, err := peer.Interfaces()
	require.NoError(t, err)
	at, err := peer.Find(all, netip.MustParseAddr("127.0.1.35"))
	require.NoError(t, err)
	c, err := peer.Open(at, port)
	require.NoError(t, err)
	if !c.HearsBroadcasts() {
		c.Close()
		t.Skip("this system has no broadcasts on loopback")
	}
	packets := make(chan artnet.Packet, 1000)
	var wait sync.WaitGroup
	wait.Go(func() {
		_ = c.Read(func(_ netip.AddrPort, b []byte) {
			if p, err := artnet.Parse(bytes.Clone(b)); err == nil {
				packets <- p
			}
		})
	})
	t.Cleanup(func() {
		c.Close()
		wait.Wait()
	})
	return c, packets
}

// Over real sockets: tables by broadcast and in blocks, a message there and
// back, a search that is asked for.
func TestCarriesRDM(t *testing.T) {
	line := responder.NewLine()
	for k := range uint32(250) {
		line.Plug(lampOf(t, k+1))
	}
	n := listen(t, fakenode.Config{
		Addr: netip.MustParseAddrPort("127.0.1.34:0"), Ports: []artnet.PortAddress{4, 0x105}, Lines: map[artnet.PortAddress]*responder.Line{0x105: line},
		AnswerDelay: func() time.Duration { return 0 },
	})
	c, packets := desktop(t, n.Addr().Port())
	send := func(p artnet.Packet) { require.NoError(t, c.WriteToAddrPort(encode(t, p), n.Addr())) }
	next := func() artnet.Packet {
		select {
		case p := <-packets:
			return p
		case <-time.After(outside.Patience):
			require.FailNow(t, "nothing came")
			return nil
		}
	}
	send(&artnet.Poll{})
	for _, rdmOff := range []bool{true, false} {
		r := next().(*artnet.PollReply)
		require.NotZero(t, r.Status1&artnet.RDMCapable)
		require.Equal(t, rdmOff, r.GoodOutputB[0]&artnet.OutputNoRDM != 0)
	}
	// Asked once a while until the first search is over, as a controller does.
	var uids []rdm.UID
	blocks := 0
	outside.Await(t, "the first search is over", func() bool {
		send(&artnet.TodRequest{Net: 1, Addresses: []uint8{4, 5}})
		d := next().(*artnet.TodData)
		require.Equal(t, artnet.PortAddress(0x105), d.PortAddress)
		require.Equal(t, uint8(2), d.BindIndex, "the page of its port")
		if d.Response == artnet.TodResponseNak {
			return false
		}
		uids, blocks = nil, 1
		for _, u := range d.UIDs {
			uids = append(uids, u)
		}
		for len(uids) < int(d.Total) {
			d = next().(*artnet.TodData)
			blocks++
			for _, u := range d.UIDs {
				uids = append(uids, u)
			}
		}
		return true
	})
	require.Len(t, uids, 250)
	require.Equal(t, 2, blocks)

	m := rdm.Message{Destination: rdm.NewUID(0x7ff1, 7), Source: rdm.NewUID(0x7ff0, 1), Transaction: 9, PortID: 1, Class: rdm.Get, PID: rdm.PIDDeviceInfo}
	b, err := m.AppendWithoutStart(nil)
	require.NoError(t, err)
	send(&artnet.Rdm{PortAddress: 0x105, Message: b})
	got := next().(*artnet.Rdm)
	require.Equal(t, uint8(16), got.FifoMax)
	var answer rdm.Message
	require.NoError(t, answer.ParseWithoutStart(got.Message))
	require.True(t, answer.Answers(&m))

	// Discovery never travels over Art-Net, and no line, no answer: the next
	// packet is that of the search.
	m.Class, m.PID = rdm.Discovery, rdm.PIDDiscMute
	b, err = m.AppendWithoutStart(nil)
	require.NoError(t, err)
	send(&artnet.Rdm{PortAddress: 0x105, Message: b})
	send(&artnet.Rdm{PortAddress: 4, Message: b})
	for _, d := range line.Devices()[:240] {
		line.Unplug(d)
	}
	send(&artnet.TodControl{PortAddress: 0x105, Command: artnet.TodControlFlush})
	uids, _ = told(t, next)
	require.Len(t, uids, 10, "told unasked once the search is over")
	s := n.Stats()
	require.Equal(t, uint64(2), s.RDMLost)
	require.Zero(t, s.Garbage)
}

func TestRDMThatCannotBeRead(t *testing.T) {
	n, err := fakenode.Unplugged(fakenode.Config{Ports: []artnet.PortAddress{1}})
	require.NoError(t, err)
	for _, p := range []artnet.Packet{&artnet.TodRequest{}, &artnet.TodControl{}, &artnet.Rdm{Message: make([]byte, 25)}} {
		b := encode(t, p)
		n.Receive(desk, b[:20])
		n.Receive(desk, b)
	}
	s := n.Stats()
	require.Equal(t, []uint64{3, 3, 1}, []uint64{s.Garbage, s.RDM, s.RDMLost})
}
