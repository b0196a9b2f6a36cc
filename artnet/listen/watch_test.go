//go:build unix

package listen_test

import (
	"context"
	"net"
	"net/netip"
	"slices"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/listen"
	"linkboy/artnet/outside"
	"linkboy/artnet/sacn"
)

// stranger sends E1.31 by multicast on loopback.
type stranger struct {
	t    *testing.T
	conn *net.UDPConn
	port uint16
	cid  sacn.CID
	next uint8
}

func (s *stranger) data(u sacn.Universe, options sacn.Options) {
	s.next++
	name, err := sacn.NewName("next set")
	require.NoError(s.t, err)
	b, err := (&sacn.Data{CID: s.cid, SourceName: name, Universe: u, Priority: 120, Sequence: s.next, Options: options, Slots: []byte{1, 2}}).AppendBinary(nil)
	require.NoError(s.t, err)
	s.to(u.Group(), b)
}

func (s *stranger) list(universes ...sacn.Universe) {
	b, err := (&sacn.Discovery{CID: s.cid, Universes: universes}).AppendBinary(nil)
	require.NoError(s.t, err)
	s.to(sacn.DiscoveryUniverse.Group(), b)
}

func (s *stranger) to(addr netip.Addr, b []byte) {
	_, err := s.conn.WriteToUDPAddrPort(b, netip.AddrPortFrom(addr, s.port))
	require.NoError(s.t, err)
}

// watch watches universes 1..20 until the test ends; ours is the CID of our own source.
func watch(t *testing.T, port int, ours sacn.CID) *listen.Watch {
	t.Helper()
	var universes []sacn.Universe
	for u := range sacn.Universe(20) {
		universes = append(universes, u+1)
	}
	w := listen.NewWatch(listen.WatchConfig{
		Interface: "127.0.0.1", Port: port,
		Universes: func() []sacn.Universe { return universes },
		Ours:      func(c sacn.CID) bool { return c == ours },
		Trouble:   func(err error) { t.Error(err) },
	})
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() { w.Run(ctx); close(done) }()
	t.Cleanup(func() { cancel(); <-done })
	return w
}

// Another source is named with what it sends of ours while it sends: at once on the first
// universes, and on the rest when it says in universe discovery that it sends them (E1.31
// 4.3 and 8). What is our own, not for live output, not ours or ended (6.2.6) is not told.
func TestWatchNamesOtherSources(t *testing.T) {
	port := outside.FreePort(t)
	own := sacn.CID{1}
	w := watch(t, port, own)
	s := &stranger{t: t, conn: multicastSender(t), port: uint16(port), cid: sacn.CID{2}}
	us := &stranger{t: t, conn: s.conn, port: s.port, cid: own}
	heard := func() (all []uint16) {
		for _, o := range w.Others() {
			require.Equal(t, s.cid, o.CID)
			require.Equal(t, "next set", o.Name)
			require.Equal(t, "127.0.0.1", o.Addr.String())
			require.Equal(t, uint8(120), o.Priority)
			all = append(all, o.Universe)
		}
		return all
	}
	sending := func(want []uint16, what string, send func()) {
		t.Helper()
		outside.Await(t, what, func() bool { send(); return slices.Equal(heard(), want) })
	}
	sending([]uint16{3}, "of the first universes, without a list", func() {
		us.data(3, 0)
		s.data(3, 0)
		s.data(4, sacn.Preview)
		s.data(19, 0)
		s.data(30, 0)
	})
	require.Positive(t, w.Others()[0].Rate)
	sending([]uint16{3, 19}, "of a later universe, with a list", func() {
		us.list(18)
		us.data(18, 0)
		s.list(3, 19, 30)
		s.data(3, 0)
		s.data(19, 0)
		s.data(30, 0)
	})
	s.data(3, sacn.Terminated)
	sending([]uint16{19}, "not of what has ended", func() { s.data(19, 0) })
}

// What is sent to this machine alone stays with the program that is there for it.
func TestWatchLeavesUnicast(t *testing.T) {
	port := outside.FreePort(t)
	lc := net.ListenConfig{Control: shared}
	c, err := lc.ListenPacket(t.Context(), "udp4", net.JoinHostPort("0.0.0.0", strconv.Itoa(port)))
	require.NoError(t, err)
	defer c.Close()
	w := watch(t, port, sacn.CID{})
	s := &stranger{t: t, conn: multicastSender(t), port: uint16(port), cid: sacn.CID{2}}
	outside.Await(t, "the watch hears", func() bool { s.data(1, 0); return len(w.Others()) == 1 })
	const sent = 50
	for range sent {
		s.to(netip.MustParseAddr("127.0.0.1"), []byte("for one alone"))
	}
	b := make([]byte, 2048)
	for n := 0; n < sent; {
		require.NoError(t, c.SetReadDeadline(time.Now().Add(outside.Patience)))
		size, _, err := c.ReadFrom(b)
		require.NoError(t, err)
		if string(b[:size]) == "for one alone" {
			n++
		}
	}
}
