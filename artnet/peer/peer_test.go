package peer_test

import (
	"context"
	"net"
	"net/netip"
	"runtime"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/peer"
)

func at(prefix string) peer.Interface {
	return peer.Interface{Name: prefix, Prefix: netip.MustParsePrefix(prefix), Up: true, CanBroadcast: true}
}

func loopback() peer.Interface {
	i := at("127.0.0.1/8")
	i.CanBroadcast, i.Loopback = false, true
	return i
}

func TestDirectedBroadcast(t *testing.T) {
	// Examples of the Art-Net specification: IP OR NOT mask.
	require.Equal(t, "2.255.255.255", at("2.100.90.80/8").Broadcast().String())
	require.Equal(t, "192.168.0.255", at("192.168.0.1/24").Broadcast().String())
	// And where the mask ends inside a byte: RFC 919 and RFC 4632, worked by hand.
	require.Equal(t, "172.16.7.255", at("172.16.4.9/22").Broadcast().String())
	require.Equal(t, "192.0.2.11", at("192.0.2.9/30").Broadcast().String())
	require.Equal(t, runtime.GOOS == "linux", loopback().Broadcast().IsValid())

	require.False(t, at("192.0.2.9/31").Broadcast().IsValid(), "two hosts on a link, RFC 3021")
	require.False(t, at("192.0.2.9/32").Broadcast().IsValid())
	tunnel := at("10.8.0.2/24")
	tunnel.CanBroadcast = false
	require.False(t, tunnel.Broadcast().IsValid())
}

func TestFind(t *testing.T) {
	all := []peer.Interface{loopback(), at("192.168.0.7/24")}
	i, err := peer.Find(all, netip.MustParseAddr("192.168.0.7"))
	require.NoError(t, err)
	require.Equal(t, all[1], i)

	i, err = peer.Find(all, netip.MustParseAddr("127.0.1.9"))
	require.NoError(t, err)
	require.Equal(t, "127.0.1.9", i.Addr().String())
	require.Equal(t, "127.0.1.9/8", i.Prefix.String())

	_, err = peer.Find(all, netip.MustParseAddr("192.168.0.8"))
	require.ErrorIs(t, err, peer.ErrNoInterface)
	require.ErrorContains(t, err, "use one of 127.0.0.1, 192.168.0.7")
}

func TestPick(t *testing.T) {
	eth := at("192.168.0.7/24")
	eth.Name = "eth1"
	second := at("192.168.9.7/24")
	second.Name = "eth1"
	all := []peer.Interface{loopback(), eth, second}
	for text, want := range map[string]string{
		"": "192.168.0.7", "eth1": "192.168.0.7", "192.168.9.7": "192.168.9.7", "127.0.1.9": "127.0.1.9", "::ffff:192.168.0.7": "192.168.0.7",
	} {
		i, err := peer.Pick(all, text)
		require.NoError(t, err, text)
		require.Equal(t, want, i.Addr().String(), text)
	}
	for _, text := range []string{"eth2", "192.168.0.8"} {
		_, err := peer.Pick(all, text)
		require.ErrorIs(t, err, peer.ErrNoInterface)
		require.ErrorContains(t, err, text)
		require.ErrorContains(t, err, "use one of")
	}
	_, err := peer.Pick(nil, "")
	require.ErrorIs(t, err, peer.ErrNoInterface)
}

func TestChoose(t *testing.T) {
	down := at("2.0.0.9/8")
	down.Up = false
	tunnel := at("10.8.0.2/24")
	tunnel.CanBroadcast = false
	for _, c := range []struct {
		name string
		all  []peer.Interface
		want string
	}{
		{"the primary Art-Net network", []peer.Interface{loopback(), at("192.168.0.7/24"), at("10.0.0.3/8"), at("2.0.0.3/8")}, "2.0.0.3"},
		{"the secondary Art-Net network", []peer.Interface{loopback(), at("192.168.0.7/24"), at("10.0.0.3/8")}, "10.0.0.3"},
		{"a private network before a public one", []peer.Interface{at("203.0.113.5/24"), at("172.16.0.3/16")}, "172.16.0.3"},
		{"a self-assigned address before a public one", []peer.Interface{at("203.0.113.5/24"), at("169.254.3.3/16")}, "169.254.3.3"},
		{"the first of equals", []peer.Interface{at("192.168.0.7/24"), at("192.168.9.7/24")}, "192.168.0.7"},
		{"loopback when all else is down or a tunnel", []peer.Interface{down, tunnel, loopback()}, "127.0.0.1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, ok := peer.Choose(c.all)
			require.True(t, ok)
			require.Equal(t, c.want, got.Addr().String())
		})
	}
	_, ok := peer.Choose(nil)
	require.False(t, ok)
}

// Each poller gets one answer, after its delay, whatever else it asks meanwhile.
func TestAnswersWaitTheirTime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		type answer struct {
			to netip.AddrPort
			at time.Duration
		}
		began := time.Now()
		var mu sync.Mutex
		var got []answer
		delays := []time.Duration{700 * time.Millisecond, 300 * time.Millisecond, 0}
		a := peer.NewAnswers(func() time.Duration {
			d := delays[0]
			delays = delays[1:]
			return d
		}, func(to netip.AddrPort) {
			mu.Lock()
			defer mu.Unlock()
			got = append(got, answer{to, time.Since(began)})
		})
		ctx, cancel := context.WithCancel(t.Context())
		done := make(chan struct{})
		go func() { a.Run(ctx); close(done) }()
		one, two := netip.MustParseAddrPort("192.0.2.1:6454"), netip.MustParseAddrPort("192.0.2.2:6454")
		require.True(t, a.Owe(one))
		synctest.Wait()
		require.True(t, a.Owe(two))
		require.True(t, a.Owe(one), "asked again while owed: the same answer serves")
		time.Sleep(time.Second)
		synctest.Wait()
		require.True(t, a.Owe(one))
		synctest.Wait()
		mu.Lock()
		require.Equal(t, []answer{
			{two, 300 * time.Millisecond}, {one, 700 * time.Millisecond}, {one, time.Second},
		}, got)
		mu.Unlock()
		cancel()
		<-done
	})
}

func TestAnswersRefuseAFlood(t *testing.T) {
	a := peer.NewAnswers(nil, func(netip.AddrPort) {})
	took := 0
	for i := range 1000 {
		if a.Owe(netip.AddrPortFrom(netip.AddrFrom4([4]byte{192, 0, 2, 1}), uint16(i))) {
			took++
		}
	}
	require.Equal(t, 64, took)
}

func TestRandomDelayIsWithinASecond(t *testing.T) {
	// The standard: a device waits a random 0..1 s before it answers.
	var least, most time.Duration = time.Hour, 0
	for range 2000 {
		d := peer.RandomDelay()
		least, most = min(least, d), max(most, d)
	}
	require.GreaterOrEqual(t, least, time.Duration(0))
	require.Less(t, least, 100*time.Millisecond)
	require.Less(t, most, time.Second)
	require.Greater(t, most, 900*time.Millisecond)
}

// open takes an address of the loopback network with a free port.
func open(t *testing.T, addr string, port uint16) *peer.Sockets {
	t.Helper()
	all, err := peer.Interfaces()
	require.NoError(t, err)
	i, err := peer.Find(all, netip.MustParseAddr(addr))
	require.NoError(t, err)
	s, err := peer.Open(i, port)
	if peer.Absent(err) {
		t.Skipf("this system has no %s: %v", addr, err)
	}
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, s.Close()) })
	return s
}

type datagram struct {
	from netip.AddrPort
	text string
}

func listen(t *testing.T, s *peer.Sockets) <-chan datagram {
	t.Helper()
	in, done := make(chan datagram, 16), make(chan error, 1)
	go func() {
		done <- s.Read(func(from netip.AddrPort, b []byte) { in <- datagram{from, string(b)} })
	}()
	t.Cleanup(func() {
		require.NoError(t, s.Close())
		require.NoError(t, <-done)
	})
	return in
}

func next(t *testing.T, in <-chan datagram) datagram {
	t.Helper()
	select {
	case d := <-in:
		return d
	case <-time.After(5 * time.Second):
		t.Fatal("no datagram came in 5 s")
		return datagram{}
	}
}

func TestUnicastAndBroadcastOnLoopback(t *testing.T) {
	a := open(t, "127.0.1.1", 0)
	port := a.Local().Port()
	b := open(t, "127.0.1.2", port)
	if !b.HearsBroadcasts() {
		t.Skipf("this system has no broadcasts on loopback: %v", b.Deaf())
	}
	inA, inB := listen(t, a), listen(t, b)

	require.NoError(t, a.SetWriteDeadline(time.Now().Add(5*time.Second)))
	require.NoError(t, a.WriteToAddrPort([]byte("to one"), b.Local()))
	require.Equal(t, datagram{a.Local(), "to one"}, next(t, inB))

	b2 := b.Broadcast()
	require.Equal(t, netip.AddrPortFrom(netip.MustParseAddr("127.255.255.255"), port), b2)
	require.NoError(t, b.WriteToAddrPort([]byte("to all"), b2))
	require.Equal(t, datagram{b.Local(), "to all"}, next(t, inB), "a device hears its own broadcast")
	// a's broadcast socket was tried on a port of its own choosing, the same one.
	require.Equal(t, datagram{b.Local(), "to all"}, next(t, inA))
}

func TestSharedAddressIsNoticed(t *testing.T) {
	a := open(t, "127.0.1.3", 0)
	require.False(t, a.Shared())
	b := open(t, "127.0.1.3", a.Local().Port())
	require.True(t, b.Shared())
}

func TestClosedSockets(t *testing.T) {
	s := open(t, "127.0.1.4", 0)
	require.NoError(t, s.Close())
	require.NoError(t, s.Close())
	require.NoError(t, s.Read(func(netip.AddrPort, []byte) {}))
	require.ErrorIs(t, s.WriteToAddrPort([]byte("x"), s.Local()), net.ErrClosed)
}

// The sockets aside share the address and hear nothing, also when the socket
// that hears was there first.
func TestSocketsAsideOnlySend(t *testing.T) {
	s, err := peer.Open(loopback(), 0)
	require.NoError(t, err)
	defer s.Close()
	got := make(chan string, 64)
	go func() { _ = s.Read(func(_ netip.AddrPort, b []byte) { got <- string(b) }) }()
	node := udp(t)
	b := peer.NewBatch(1)
	for lane := range 40 {
		_, err := node.WriteToUDPAddrPort([]byte("in"), s.Local())
		require.NoError(t, err)
		require.Equal(t, "in", <-got)
		b.Reset()
		b.Add([]byte("out"), addrOf(node))
		require.NoError(t, s.SendAside(b, lane))
		buf := make([]byte, 9)
		n, from, err := node.ReadFromUDPAddrPort(buf)
		require.NoError(t, err)
		require.Equal(t, "out", string(buf[:n]))
		require.Equal(t, s.Local(), netip.AddrPortFrom(from.Addr().Unmap(), from.Port()))
	}
}
