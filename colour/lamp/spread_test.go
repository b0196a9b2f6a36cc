package lamp_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/lamp"
)

// The beam angle is what the bytes say, in 8 and in 16 bits; bytes that are missing count
// as 0, the least of the range.
func TestSpreadDeg(t *testing.T) {
	p := &lamp.Param{Name: lamp.Spread, Unit: "deg", Min: 15, Max: 60, Safe: 30}
	m := &lamp.Mode{Footprint: 3, Channels: []lamp.Channel{{Offset: 1, Bits: 16, Emitter: -1, Cell: -1, Param: p}}}
	require.Same(t, p, m.Zoom())
	require.Equal(t, 60.0, m.SpreadDeg([]byte{9, 255, 255}))
	require.InDelta(t, 37.5, m.SpreadDeg([]byte{9, 128, 0}), 0.001)
	require.Equal(t, 15.0, m.SpreadDeg(nil))
	require.InDelta(t, 30, m.Sent(p, p.Share(30)), 45.0/65535)
	m.Channels[0].Bits = 8
	require.Equal(t, 15+45*85.0/255, m.Sent(p, p.Share(30.05)))
	for _, other := range []lamp.Param{{Name: lamp.Spread, Unit: "%", Max: 100}, {Name: "tilt", Unit: "deg", Max: 100}} {
		m.Channels[0].Param = &other
		require.Nil(t, m.Zoom())
		require.Zero(t, m.SpreadDeg([]byte{9, 255, 255}))
	}
}
