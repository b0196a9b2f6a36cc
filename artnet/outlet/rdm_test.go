package outlet_test

import (
	"net/netip"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/fakenode"
	"linkboy/artnet/outlet"
	"linkboy/artnet/outside"
	"linkboy/artnet/rdm/responder"
)

// RDM goes by the interface of the node, and by every one where it is for all;
// what comes back is handed on.
func TestCarriesRDM(t *testing.T) {
	port := outside.FreePort(t)
	node, err := fakenode.Listen(fakenode.Config{
		Addr: netip.AddrPortFrom(netip.MustParseAddr("127.0.1.72"), uint16(port)), Ports: ports(1),
		Lines:       map[artnet.PortAddress]*responder.Line{1: responder.NewLine()},
		AnswerDelay: func() time.Duration { return 0 },
	})
	require.NoError(t, err)
	if !node.Discoverable() {
		require.NoError(t, node.Close())
		t.Skip("this system has no broadcasts on loopback")
	}
	done := make(chan error, 1)
	go func() { done <- node.Run(t.Context()) }()
	t.Cleanup(func() { require.NoError(t, <-done) })
	tables := make(chan netip.AddrPort, 100)
	o := outlet.New(outlet.Config{Interface: "127.0.1.71", Port: port, Show: t.Name(), RDM: func(from netip.AddrPort, p artnet.Packet) bool {
		if _, ok := p.(*artnet.TodData); ok {
			tables <- from
		}
		return true
	}})
	ask := &artnet.TodRequest{Addresses: []uint8{1}}
	require.ErrorContains(t, o.SendRDM(netip.AddrPort{}, ask), "no way out over Art-Net is open")
	o.Use([]outlet.Output{{}}, ports(1))
	require.NoError(t, o.Open())
	run(t, o)
	outside.Await(t, "the node answers", func() bool { return len(o.Nodes()) == 1 })
	for _, to := range []netip.AddrPort{{}, node.Addr()} {
		require.NoError(t, o.SendRDM(to, ask))
		select {
		case from := <-tables:
			require.Equal(t, node.Addr(), from)
		case <-time.After(outside.Patience):
			require.FailNow(t, "no table came")
		}
	}
	require.ErrorContains(t, o.SendRDM(netip.MustParseAddrPort("127.0.1.79:6454"), ask), "no node at 127.0.1.79:6454 has answered")
}
