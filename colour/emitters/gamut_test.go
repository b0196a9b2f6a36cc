package emitters_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// The corners are emitters, in counter-clockwise order, and every mix lies inside.
func TestGamutHoldsEveryMix(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	for range 1000 {
		es := randomSet(r, 3+r.IntN(emitters.Max-2))
		c, err := emitters.NewCell(es)
		require.NoError(t, err)
		corners := c.Gamut()
		require.GreaterOrEqual(t, len(corners), 3)
		p := inGamut(r, c).UV()
		for i, a := range corners {
			b, next := corners[(i+1)%len(corners)], corners[(i+2)%len(corners)]
			require.Positive(t, area(a, b, next), "no left turn at corner %d", i)
			require.Greater(t, area(a, b, p), -1e-12, "mix outside edge %d", i)
			nearest := 1.0
			for _, e := range es {
				nearest = min(nearest, distance(a.XY(), e.Full.XY()))
			}
			require.Less(t, nearest, 1e-12, "corner %d is no emitter", i)
		}
	}
}

func area(a, b, c colour.UV) float64 { return (b.U-a.U)*(c.V-a.V) - (b.V-a.V)*(c.U-a.U) }

// Emitters of one colour make a point, on one line a segment between the outermost.
func TestSlimGamuts(t *testing.T) {
	a, b := colour.XYZ{X: 4, Y: 3, Z: 1}, colour.XYZ{X: 2, Y: 3, Z: 6}
	for name, row := range map[string]struct {
		full []colour.XYZ
		want []colour.XYZ
	}{
		"one emitter":             {[]colour.XYZ{a}, []colour.XYZ{a}},
		"three of one colour":     {[]colour.XYZ{a, a.Scale(3), a.Scale(0.01)}, []colour.XYZ{a}},
		"two colours":             {[]colour.XYZ{b, a}, []colour.XYZ{b, a}},
		"two and their mixes":     {[]colour.XYZ{a.Add(b), a, b.Add(a.Scale(0.1)), b, a}, []colour.XYZ{b, a}},
		"a mix between two of it": {[]colour.XYZ{a.Add(b), a, a.Add(b).Scale(2), b}, []colour.XYZ{b, a}},
	} {
		t.Run(name, func(t *testing.T) {
			var es []emitters.Emitter
			for _, f := range row.full {
				es = append(es, emitters.Emitter{Full: f})
			}
			c, err := emitters.NewCell(es)
			require.NoError(t, err)
			got := c.Gamut()
			require.Len(t, got, len(row.want))
			for i, w := range row.want {
				require.InDelta(t, w.XY().UV().U, got[i].U, 1e-12)
				require.InDelta(t, w.XY().UV().V, got[i].V, 1e-12)
			}
			r := rand.New(rand.NewPCG(19, 20))
			for range 100 {
				check(t, c, inGamut(r, c))
			}
		})
	}
}

// The middle of three emitters on a line at the gamut's edge is no corner.
func TestGamutHasNoFlatCorners(t *testing.T) {
	c := cellOf(t, onALine)
	require.Len(t, c.Gamut(), 4)
}

// Every mix is in reach, also where the emitters at the gamut's edge, or all of them, lie
// on one line but for rounding: on a grid of XYZ, where X = 0 puts several on the upright
// line u' = 0, and with others a hair off the line between two.
func TestEveryMixIsInReach(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(35, 36))
	for range 20_000 {
		es := lumpySet(r, 2+r.IntN(4))
		size := math.Pow(10, -8-9*r.Float64())
		for range 1 + r.IntN(3) {
			a, b := es[r.IntN(len(es))].Full, es[r.IntN(len(es))].Full
			between := a.Add(b.Scale(r.Float64()))
			p := between.XY()
			full := colour.XY{X: p.X + size*r.NormFloat64(), Y: p.Y + size*r.NormFloat64()}.XYZ(between.Y)
			full.X, full.Z = max(full.X, 0), max(full.Z, 0)
			es = append(es, emitters.Emitter{Full: full})
		}
		c, err := emitters.NewCell(es)
		require.NoError(t, err)
		check(t, c, inGamut(r, c))
		for _, e := range es {
			check(t, c, e.Full.XY())
		}
	}
}
