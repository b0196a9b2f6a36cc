package transport_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/transport"
)

// small is a map with a bit of everything: grey or coloured, hidden texels, darkness.
func small(t testing.TB, coloured bool) *transport.Map {
	floor := plate(t, vec{}, vec{X: 3}, vec{Y: 2}, 0.3)
	if coloured {
		floor.Finish = transport.Finish{R: 0.5, G: 0.3, B: 0.1}
	}
	p := &transport.Place{
		Pieces: append([]transport.Piece{floor}, crate(t, vec{X: 1, Y: 1}, vec{X: 0.7, Y: 0.7, Z: 0.5}, 0.4)...),
		Sources: []transport.Source{
			{Centre: vec{X: 2.5, Y: 0.3, Z: 0.05}, Along: vec{X: 0.5}},
			{Centre: vec{X: 1, Y: 1, Z: -2}, Along: vec{X: 0.1}}, // under the floor: dark
		},
	}
	return compute(t, p, transport.Options{Texels: 600, Rays: 32})
}

// What is decoded is what was encoded, within half a step of a fourteenth stop up or
// down and less on the mean; and a second time round it is exactly the same.
func TestEncodedMapKeepsTheLight(t *testing.T) {
	for _, coloured := range []bool{false, true} {
		m := small(t, coloured)
		b, err := m.AppendBinary(nil)
		require.NoError(t, err)
		got, err := transport.Parse(b)
		require.NoError(t, err)
		require.Equal(t, m.Atlas, got.Atlas)
		require.Equal(t, m.Hidden, got.Hidden)
		require.Equal(t, m.Channels, got.Channels)
		sum, wrong := 0.0, 0.0
		for c := range m.Lux {
			top := float32(0)
			for _, v := range m.Lux[c] {
				top = max(top, v)
			}
			for i, v := range m.Lux[c] {
				if v < top/(1<<16) {
					continue
				}
				off := math.Log2(float64(got.Lux[c][i] / v))
				require.Less(t, math.Abs(off), 1.0/14+1e-6)
				sum, wrong = sum+1, wrong+off
			}
		}
		require.Positive(t, sum)
		require.InDelta(t, 0, wrong/sum, 0.005, "no bias")
		for k := range got.Grids[0].Nu * got.Grids[0].Nv {
			require.Zero(t, got.Lux[0][k*got.Sources+1], "the floor over a source under it stays dark")
		}
	}
}

func TestParseRefuses(t *testing.T) {
	b, err := small(t, false).AppendBinary(nil)
	require.NoError(t, err)
	for name, bad := range map[string][]byte{
		"nothing":     nil,
		"a cut":       b[:len(b)-1],
		"more":        append(append([]byte{}, b...), 0),
		"other magic": append([]byte("x"), b[1:]...),
		"version 1":   append(append(append([]byte{}, b[:8]...), 1), b[9:]...),
	} {
		_, err := transport.Parse(bad)
		require.ErrorIs(t, err, transport.ErrEncoded, name)
	}
}

// FuzzParse: whatever is read can be written, and reads as the same grids.
func FuzzParse(f *testing.F) {
	for _, coloured := range []bool{false, true} {
		b, err := small(f, coloured).AppendBinary(nil)
		require.NoError(f, err)
		f.Add(b)
		f.Add(b[:40])
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		m, err := transport.Parse(b)
		if err != nil {
			require.ErrorIs(t, err, transport.ErrEncoded)
			return
		}
		again, err := m.AppendBinary(nil)
		require.NoError(t, err)
		require.Len(t, again, len(b))
		second, err := transport.Parse(again)
		require.NoError(t, err)
		require.Equal(t, m.Atlas, second.Atlas)
		require.Equal(t, m.Hidden, second.Hidden)
	})
}
