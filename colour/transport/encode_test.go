package transport_test

import (
	"math"
	"math/rand/v2"
	"slices"
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

// What is decoded is what was encoded, within half a code of its source in green and a
// whole one in red and blue, and less on the mean.
func TestEncodedMapKeepsTheLight(t *testing.T) {
	for _, coloured := range []bool{false, true} {
		m := small(t, coloured)
		got := coded(t, m)
		require.Equal(t, m.Atlas, got.Atlas)
		require.Equal(t, m.Hidden, got.Hidden)
		require.Equal(t, m.Channels, got.Channels)
		all, wrong := 0.0, 0.0
		for k := range m.Sources {
			top := float32(0)
			for c := range m.Lux {
				for i := k; i < len(m.Lux[c]); i += m.Sources {
					top = max(top, m.Lux[c][i])
				}
			}
			code := func(v float32) float64 { return 255 * math.Cbrt(float64(v/top)) }
			for c := range m.Lux {
				for i := k; i < len(m.Lux[c]) && top > 0; i += m.Sources {
					most := 0.5
					if c != 1 && coloured {
						most = 1
					}
					require.InDelta(t, code(m.Lux[c][i]), code(got.Lux[c][i]), most+1e-3, "channel %d, source %d", c, k)
					all, wrong = all+float64(m.Lux[c][i]), wrong+float64(got.Lux[c][i]-m.Lux[c][i])
				}
			}
		}
		require.Positive(t, all)
		require.InDelta(t, 0, wrong/all, 0.002, "no bias")
		for k := range got.Grids[0].Nu * got.Grids[0].Nv {
			require.Zero(t, got.Lux[0][k*got.Sources+1], "the floor over a source under it stays dark")
		}
	}
}

// Sums of sources by chance keep to what a code stands for: a texel with an eighth of the
// most has codes of 127 or, of sources that give it little, errors that are less; with a
// two hundredth, of 43.
func TestSumsOfEncodedMaps(t *testing.T) {
	m := small(t, true)
	got := coded(t, m)
	chance := rand.New(rand.NewPCG(5, 6))
	want, sums := make([]float32, m.Texels), make([]float32, m.Texels)
	for range 200 {
		lumens := []float32{chance.Float32(), chance.Float32()}
		for c := range m.Lux {
			m.Sum(c, lumens, want)
			got.Sum(c, lumens, sums)
			most, off := slices.Max(want), 1.5
			if c != 1 {
				off = 3
			}
			for i, v := range want {
				switch {
				case v > most/8:
					require.InEpsilon(t, v, sums[i], 1.02*off/127)
				case v > most/200:
					require.InEpsilon(t, v, sums[i], 1.05*off/43)
				}
			}
		}
	}
}

// coded is a map after it was encoded and parsed.
func coded(t testing.TB, m *transport.Map) *transport.Map {
	b, err := m.AppendBinary(nil)
	require.NoError(t, err)
	got, err := transport.Parse(b)
	require.NoError(t, err)
	return got
}

func TestParseRefuses(t *testing.T) {
	m := small(t, false)
	b, err := m.AppendBinary(nil)
	require.NoError(t, err)
	// wrong makes the kind of a source's plane one that there is not.
	wrong := func(b []byte, source int) []byte {
		b = slices.Clone(b)
		b[len(b)-(m.Sources-source)*(1+m.Texels)] = 1
		return b
	}
	for name, bad := range map[string][]byte{
		"nothing":     nil,
		"a cut":       b[:len(b)-1],
		"more":        append(append([]byte{}, b...), 0),
		"other magic": append([]byte("x"), b[1:]...),
		"version 2":   append(append(append([]byte{}, b[:8]...), 2), b[9:]...),
		"other kind":  wrong(b, 0),
		"cut texels":  b[:len(b)-200],
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
