package lamp_test

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
)

// wire sends a solution through the bytes and returns the light that comes out, and the
// largest u'v' error that rounding to the channel's steps can make: the chromaticity of a
// mix in u'v' is the mean of its emitters', weighted by X+15Y+3Z (CIE 15:2018 eq. 8.31), so
// a drive that is off by e moves it by e*weight*distance/total weight.
func wire(t testing.TB, typ *lamp.Type, m *lamp.Mode, c *emitters.Cell, s emitters.Solution) (light colour.XYZ, bound float64) {
	bytes := make([]byte, m.Footprint)
	back := make([]emitters.Drives, 1)
	m.Encode(typ, []emitters.Drives{s.Drives}, nil, bytes)
	m.Decode(typ, bytes, back)
	law, err := emitters.CurveByName(string(m.Curve))
	require.NoError(t, err)
	half := 0.5 / float64(uint(1)<<m.Channels[2].Bits-1)
	light = c.Light(back[0])
	for i, e := range c.Emitters() {
		x, v := law.Control(s.Drives[i]), s.Drives[i]
		off := max(v-law.Light(x-half), law.Light(x+half)-v)
		bound += off * weight(e.Full) * e.Full.XY().UV().Distance(s.Reached.UV())
	}
	return light, bound / weight(light)
}

func weight(c colour.XYZ) float64 { return c.X + 15*c.Y + 3*c.Z }

// asks draws colours that a look may ask for: whites, colours in reach and out of it.
func asks(r *rand.Rand, n int) []colour.XY {
	out := []colour.XY{white, {X: 0.423363, Y: 0.398953}, {X: 0.330200, Y: 0.339081}} // D65, Planck 3200 K and 5600 K (CIE 15)
	for range n {
		out = append(out, colour.XY{X: 0.12 + 0.58*r.Float64(), Y: 0.04 + 0.7*r.Float64()})
	}
	return out
}

// At 20 % and more, a 16-bit lamp shows the colour solved within 0.0005 in u'v', whatever
// its emitters and curve.
func TestWireKeepsTheColour16Bit(t *testing.T) {
	const limit = 0.0005
	worst := 0.0
	for mix := range mixes {
		for _, curve := range curves() {
			typ, m := build(t, mix, 1, 16, curve)
			c, err := typ.CellOf(m)
			require.NoError(t, err)
			for _, asked := range asks(rand.New(rand.NewPCG(3, 4)), 400) {
				for _, level := range []colour.Level{0.2, 0.21, 0.37, 0.5, 0.77, 1} {
					s := c.Solve(asked, level, white)
					light, bound := wire(t, typ, m, c, s)
					off := light.XY().UV().Distance(s.Reached.UV())
					require.LessOrEqual(t, off, bound+1e-12)
					require.LessOrEqual(t, off, limit, "%s, %s, %v at %v", mix, curve, asked, level)
					require.InEpsilon(t, s.Lumens, light.Y, 0.001)
					worst = max(worst, off)
				}
			}
		}
	}
	t.Logf("largest error %.6f in u'v'", worst)
}

// What 8 bits cost: run with -v for the table. The errors are as large as rounding makes
// them and no larger.
func TestWireKeepsTheColour8Bit(t *testing.T) {
	levels := []colour.Level{1, 0.5, 0.2, 0.1, 0.05}
	var report strings.Builder
	fmt.Fprintf(&report, "u'v' error of 8-bit channels, median / largest\n%-10s %-10s", "mix", "curve")
	for _, level := range levels {
		fmt.Fprintf(&report, "%16.0f %%", 100*float64(level))
	}
	for _, mix := range slices.Sorted(maps.Keys(mixes)) {
		for _, curve := range curves() {
			typ, m := build(t, mix, 1, 8, curve)
			c, err := typ.CellOf(m)
			require.NoError(t, err)
			fmt.Fprintf(&report, "\n%-10s %-10s", mix, curve)
			for _, level := range levels {
				var off []float64
				for _, asked := range asks(rand.New(rand.NewPCG(5, 6)), 200) {
					s := c.Solve(asked, level, white)
					light, bound := wire(t, typ, m, c, s)
					if light.Y == 0 {
						continue // rounded to black: it has no colour to be wrong
					}
					off = append(off, light.XY().UV().Distance(s.Reached.UV()))
					require.LessOrEqual(t, off[len(off)-1], bound+1e-12)
				}
				slices.Sort(off)
				fmt.Fprintf(&report, "  %.5f/%.5f ", off[len(off)/2], off[len(off)-1])
			}
		}
	}
	t.Log(report.String())
}

// A level is a share of the light, whatever the curve: half the level is one stop.
func TestWireKeepsTheLevel(t *testing.T) {
	for _, curve := range curves() {
		typ, m := build(t, "rgbww", 1, 16, curve)
		c, err := typ.CellOf(m)
		require.NoError(t, err)
		full, _ := wire(t, typ, m, c, c.Solve(white, 1, white))
		for stops := range 6 {
			light, _ := wire(t, typ, m, c, c.Solve(white, colour.Level(math.Exp2(-float64(stops))), white))
			require.InDelta(t, -float64(stops), math.Log2(light.Y/full.Y), 0.003, "%s, %d stops down", curve, stops)
		}
	}
}
