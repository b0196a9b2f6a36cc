package fakenode_test

import (
	"context"
	"net"
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/outside"
)

// listen runs a node on a loopback address with a port of the system's choosing.
func listen(t *testing.T, cfg fakenode.Config) *fakenode.Node {
	t.Helper()
	n, err := fakenode.Listen(cfg)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- n.Run(ctx) }()
	t.Cleanup(func() {
		cancel()
		require.NoError(t, <-done)
		require.NoError(t, n.Close())
	})
	return n
}

func ask(t *testing.T) *net.UDPConn {
	t.Helper()
	c, err := net.ListenUDP("udp4", &net.UDPAddr{IP: net.IPv4(127, 0, 0, 1)})
	require.NoError(t, err)
	t.Cleanup(func() { c.Close() })
	require.NoError(t, c.SetDeadline(time.Now().Add(outside.Patience)))
	return c
}

func read(t *testing.T, c *net.UDPConn) (artnet.Packet, netip.AddrPort) {
	t.Helper()
	b := make([]byte, 1000)
	size, from, err := c.ReadFromUDPAddrPort(b)
	require.NoError(t, err)
	p, err := artnet.Parse(b[:size])
	require.NoError(t, err)
	return p, from
}

func TestAnswersPollsByUnicast(t *testing.T) {
	n := listen(t, fakenode.Config{
		Addr:        netip.MustParseAddrPort("127.0.1.31:0"),
		Ports:       []artnet.PortAddress{4, 5},
		AnswerDelay: func() time.Duration { return 0 },
	})
	c := ask(t)
	poll := func(p artnet.Poll, to netip.AddrPort) {
		_, err := c.WriteToUDPAddrPort(encode(t, &p), to)
		require.NoError(t, err)
	}
	answered := func() (reports []string) {
		for _, want := range []artnet.PortAddress{4, 5} {
			p, from := read(t, c)
			r := p.(*artnet.PollReply)
			require.Equal(t, n.Addr(), from)
			require.Equal(t, n.Addr().Addr(), r.IP)
			require.Equal(t, []artnet.PortAddress{want}, r.Outputs(nil))
			reports = append(reports, r.NodeReport)
		}
		return reports
	}
	poll(artnet.Poll{}, n.Addr())
	require.Equal(t, []string{"#0001 [0001] Running", "#0001 [0002] Running"}, answered())

	// Not in the range that is asked: the next answer is the one to the poll after it.
	poll(artnet.Poll{Flags: artnet.PollTargeted, TargetBottom: 6, TargetTop: 9}, n.Addr())
	poll(artnet.Poll{Flags: artnet.PollTargeted, TargetBottom: 5, TargetTop: 9}, n.Addr())
	require.Equal(t, []string{"#0001 [0003] Running", "#0001 [0004] Running"}, answered())

	n.Silence(true)
	poll(artnet.Poll{}, n.Addr())
	require.NoError(t, c.SetReadDeadline(time.Now().Add(100*time.Millisecond)))
	_, _, err := c.ReadFromUDPAddrPort(make([]byte, 1))
	require.Error(t, err, "silenced")
	n.Silence(false)
	require.NoError(t, c.SetReadDeadline(time.Now().Add(outside.Patience)))
	poll(artnet.Poll{}, n.Addr())
	answered()

	// By broadcast, where the system has one on loopback.
	if n.Discoverable() {
		poll(artnet.Poll{}, netip.AddrPortFrom(netip.MustParseAddr("127.255.255.255"), n.Addr().Port()))
		answered()
	}
}

func TestFrameOverTheNetwork(t *testing.T) {
	frames := make(chan []byte, 10)
	n := listen(t, fakenode.Config{
		Addr:  netip.MustParseAddrPort("127.0.1.32:0"),
		Ports: []artnet.PortAddress{1},
		Output: func(_ artnet.PortAddress, slots []byte, _ uint8) {
			frames <- append([]byte(nil), slots...)
		},
	})
	c := ask(t)
	_, err := c.WriteToUDPAddrPort(dmx(t, 1, 1, 9, 8, 7, 6), n.Addr())
	require.NoError(t, err)
	select {
	case got := <-frames:
		require.Equal(t, []byte{9, 8, 7, 6}, got)
	case <-time.After(outside.Patience):
		t.Fatalf("no frame came in %v", outside.Patience)
	}
}

func TestRunEndsOnClose(t *testing.T) {
	n, err := fakenode.Listen(fakenode.Config{Addr: netip.MustParseAddrPort("127.0.1.33:0")})
	require.NoError(t, err)
	done := make(chan error, 1)
	go func() { done <- n.Run(t.Context()) }()
	require.NoError(t, n.Close())
	require.NoError(t, n.Close())
	select {
	case err := <-done:
		require.NoError(t, err)
	case <-time.After(outside.Patience):
		t.Fatal("Run does not end")
	}
}
