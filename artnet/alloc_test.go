//go:build !race

package artnet_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet"
	"linkboy/artnet/outside"
)

// The race detector allocates, so these budgets hold only without it.
func TestAllocs(t *testing.T) {
	buf := make([]byte, 0, 600)
	dmx := artnet.Dmx{Sequence: 1, PortAddress: 1, Data: ramp(512)}
	reply := goldenPackets[2].packet.(*artnet.PollReply)
	wire := outside.Golden(t, "artdmx-512")
	poll, replyWire := outside.Golden(t, "artpoll"), outside.Golden(t, "artpollreply-node")
	rdmWire, todWire := outside.Golden(t, "artrdm-nack"), outside.Golden(t, "arttoddata")
	var into artnet.Dmx
	var intoPoll artnet.Poll
	for _, c := range []struct {
		name string
		most float64
		do   func()
	}{
		{"append ArtDmx", 0, func() { buf, _ = dmx.AppendBinary(buf[:0]) }},
		{"append ArtPollReply", 0, func() { buf, _ = reply.AppendBinary(buf[:0]) }},
		{"parse into a used ArtDmx", 0, func() { _ = into.Parse(wire) }},
		{"parse into a used ArtPoll", 0, func() { _ = intoPoll.Parse(poll) }},
		{"parse any ArtDmx: the packet", 1, func() { _, _ = artnet.Parse(wire) }},
		{"parse any ArtPollReply: the packet and its texts", 4, func() { _, _ = artnet.Parse(replyWire) }},
		{"parse any ArtRdm: the packet", 1, func() { _, _ = artnet.Parse(rdmWire) }},
		{"parse any ArtTodData: the packet and its UIDs", 3, func() { _, _ = artnet.Parse(todWire) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.LessOrEqual(t, testing.AllocsPerRun(100, c.do), c.most)
		})
	}
}

// Every kind of packet goes into a buffer with room, and the kinds without texts
// into a used packet, without making anything.
func TestAllocsOfEveryKind(t *testing.T) {
	buf := make([]byte, 0, 1300)
	for _, g := range goldenPackets {
		t.Run("append "+g.file, func(t *testing.T) {
			require.Zero(t, testing.AllocsPerRun(100, func() { buf, _ = g.packet.AppendBinary(buf[:0]) }))
		})
		switch g.packet.(type) {
		case *artnet.PollReply, *artnet.DiagData:
			continue // texts
		}
		t.Run("parse into a used "+g.file, func(t *testing.T) {
			wire := outside.Golden(t, g.file)
			used, err := artnet.Parse(wire)
			require.NoError(t, err)
			p := used.(interface{ Parse([]byte) error })
			require.Zero(t, testing.AllocsPerRun(100, func() { _ = p.Parse(wire) }))
		})
	}
}
