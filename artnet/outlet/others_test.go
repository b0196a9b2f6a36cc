//go:build unix

package outlet_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/outlet"
	"linkboy/artnet/outside"
)

// Two shows that send one universe over sACN hear each other and not themselves, with the
// port-addresses that the universe stands for here.
func TestShowsHearEachOther(t *testing.T) {
	send := func(show string, priority, offset int, port artnet.PortAddress) *outlet.Outlet {
		o := outlet.New(outlet.Config{Interface: "127.0.0.1", Show: show, Name: show})
		o.Use([]outlet.Output{{Over: outlet.SACN, Priority: priority, Offset: offset}}, ports(port))
		run(t, o)
		return o
	}
	day, night := send("day", 100, 0, 41), send("night", 120, 40, 1)
	frames := func() {
		_ = day.SendFrame([]uint16{41}, [][]byte{make([]byte, 512)}, false)
		_ = night.SendFrame([]uint16{1}, [][]byte{make([]byte, 512)}, false)
	}
	outside.Await(t, "each hears the other", func() bool {
		frames()
		return len(day.Streams()) > 0 && len(night.Streams()) > 0
	})
	got := day.Streams()
	require.Len(t, got, 1)
	require.Equal(t, outlet.Stream{
		Addr: got[0].Addr, Name: "night", Universe: 41, Ports: ports(41), Rate: got[0].Rate, Priority: 120, Sent: true, Ours: 100,
	}, got[0])
	require.True(t, got[0].Addr.IsLoopback())
	got = night.Streams()
	require.Len(t, got, 1)
	require.Equal(t, []any{"day", uint16(41), ports(1)}, []any{got[0].Name, got[0].Universe, got[0].Ports})
}
