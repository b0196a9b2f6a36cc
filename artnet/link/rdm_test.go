package link_test

import (
	"errors"
	"net/netip"
	"sync"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/link"
)

func wireBytes(t *testing.T, p artnet.Packet) []byte {
	t.Helper()
	b, err := p.AppendBinary(nil)
	require.NoError(t, err)
	return b
}

// RDM packets go to who handles them, from where the node is reached; what there
// is no room for is counted, and nobody waits.
func TestHandsOverRDM(t *testing.T) {
	tod := wireBytes(t, &artnet.TodData{Port: 1, BindIndex: 1, PortAddress: 3, Total: 1, UIDs: [][6]byte{{1, 2, 3, 4, 5, 6}}})
	message := wireBytes(t, &artnet.Rdm{PortAddress: 3, Message: make([]byte, 30)})
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{})
		w.receive(nodeA, tod)
		require.Equal(t, uint64(1), l.Stats().Ignored.OpCode, "nobody handles it")
	})
	synctest.Test(t, func(t *testing.T) {
		var mu sync.Mutex
		var from []netip.AddrPort
		var got []artnet.Packet
		room := true
		l, w := start(t, link.Config{RDM: func(at netip.AddrPort, p artnet.Packet) bool {
			mu.Lock()
			defer mu.Unlock()
			from, got = append(from, at), append(got, p)
			return room
		}})
		w.receive(netip.AddrPortFrom(nodeA.Addr(), 50000), tod) // nodes get their port wrong
		w.receive(nodeB, message)
		require.Equal(t, []netip.AddrPort{nodeA, nodeB}, from)
		require.Equal(t, [6]byte{1, 2, 3, 4, 5, 6}, got[0].(*artnet.TodData).UIDs[0])
		require.Equal(t, artnet.PortAddress(3), got[1].(*artnet.Rdm).PortAddress)
		room = false
		w.receive(nodeA, tod)
		require.Equal(t, uint64(1), l.Stats().Ignored.Full)
		w.receive(nodeA, wireBytes(t, &artnet.TodRequest{Addresses: []uint8{1}}))
		require.Equal(t, uint64(1), l.Stats().Ignored.OpCode, "asked of nodes")
		require.False(t, l.FoundTaken())
	})
}

func TestSendsRDM(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l, w := start(t, link.Config{To: []netip.AddrPort{nodeB}})
		require.NoError(t, l.SendRDM(nodeA, &artnet.TodControl{PortAddress: 3, Command: artnet.TodControlFlush}))
		controls, to, _ := take[*artnet.TodControl](t, w)
		require.Equal(t, artnet.PortAddress(3), controls[0].PortAddress)
		require.Equal(t, []netip.AddrPort{nodeA}, to)
		require.NoError(t, l.SendRDM(netip.AddrPort{}, &artnet.TodRequest{Addresses: []uint8{1}}))
		_, to, _ = take[*artnet.TodRequest](t, w)
		require.Equal(t, []netip.AddrPort{broadcast, nodeB}, to, "by directed broadcast, and to who may not hear it")
		require.ErrorIs(t, l.SendRDM(nodeA, &artnet.Rdm{}), artnet.ErrCount)
		gone := errors.New("gone")
		w.failWith(func(netip.AddrPort) error { return gone })
		require.ErrorIs(t, l.SendRDM(nodeA, &artnet.TodControl{}), gone)
		require.ErrorIs(t, l.SendRDM(netip.AddrPort{}, &artnet.TodControl{}), gone)
		w.failWith(nil)
	})
}
