package emitters_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// testdata/led_mix_solutions.csv: exact three-emitter mixes, worked out elsewhere by
// solving the 3x3 system in XYZ. With three emitters at unit peak the brightest mix is
// that one with its largest level at 1. A negative level is a target out of reach.
func TestSolveAgainstExactMixes(t *testing.T) {
	led := synthetic(t)
	for _, row := range table(t, "led_mix_solutions.csv") {
		t.Run(row["emitters"]+" "+row["target"], func(t *testing.T) {
			var es []emitters.Emitter
			for name := range strings.SplitSeq(row["emitters"], "+") {
				es = append(es, emitters.Emitter{Name: name, Full: led[name]})
			}
			c, err := emitters.NewCell(es)
			require.NoError(t, err)
			got := c.Solve(colour.XY{X: number(t, row["x"]), Y: number(t, row["y"])}, 1, white)
			require.Equal(t, row["in_gamut"] == "no", got.Clipped)
			if got.Clipped {
				require.Greater(t, got.DeltaUV, 0.001)
				return
			}
			require.Less(t, got.DeltaUV, 1e-9)
			for i := range es {
				// targets are printed with 6 decimals, worked out with more: half
				// the last one moves a level by up to 1e-5
				require.InDelta(t, number(t, row["level"+string(rune('1'+i))]), got.Drives[i], 1.2e-5)
				share := got.Drives[i] * es[i].Full.Y / got.Lumens
				require.InDelta(t, number(t, row["Yfrac"+string(rune('1'+i))]), share, 5e-6)
			}
		})
	}
}

// Out of reach: the point reached is on the straight line to the white, in the gamut,
// and no point of that line nearer to the one asked for is.
func TestSolveGoesAlongTheLineToWhite(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	clipped := 0
	for _, s := range realistic(t) {
		c := cellOf(t, s)
		if s.slim {
			continue
		}
		for range 2000 {
			asked := colour.XY{X: 0.75 * r.Float64(), Y: 0.02 + 0.8*r.Float64()}
			got := c.Solve(asked, 1, white)
			require.Equal(t, asked, got.Asked)
			require.InDelta(t, distance(asked, got.Reached), got.DeltaUV, 1e-12)
			require.Equal(t, got.Reached, c.Light(got.Drives).XY())
			_, _, ok := c.Brightest(asked)
			require.Equal(t, !ok, got.Clipped)
			if !got.Clipped {
				continue
			}
			clipped++
			p, q, w := asked.UV(), got.Reached.UV(), white.UV()
			whole := math.Hypot(w.U-p.U, w.V-p.V)
			require.InDelta(t, 0, area(p, w, q)/whole, 1e-9, "off the line")
			share := got.DeltaUV / whole
			require.True(t, share > 0 && share <= 1)
			for _, less := range []float64{1e-5 / whole, share / 2, share} {
				k := share - less
				_, _, ok := c.Brightest(colour.UV{U: p.U + k*(w.U-p.U), V: p.V + k*(w.V-p.V)}.XY())
				require.False(t, ok, "%s %v: a nearer point is in reach", s.name, asked)
			}
		}
	}
	require.Greater(t, clipped, 4000)
}

// A bi-colour lamp can show the line between its two whites and nothing else: it takes
// the nearest point of it. One white can show only itself.
func TestSolveWithASlimGamut(t *testing.T) {
	led := synthetic(t)
	warm, cool := led["white_warm"].XY(), led["white_cool"].XY()
	for _, s := range realistic(t)[:2] {
		c := cellOf(t, s)
		r := rand.New(rand.NewPCG(23, 24))
		for range 1000 {
			asked := colour.XY{X: 0.7 * r.Float64(), Y: 0.02 + 0.8*r.Float64()}
			got := c.Solve(asked, 1, white)
			require.True(t, got.Clipped)
			for k := range 201 { // the segment in 200 steps; it has no nearer point
				u, v := warm.UV(), cool.UV()
				share := float64(k) / 200
				if c.Len() == 1 {
					share = 1
				}
				on := colour.UV{U: u.U + share*(v.U-u.U), V: u.V + share*(v.V-u.V)}.XY()
				require.LessOrEqual(t, got.DeltaUV, distance(asked, on)+1e-9)
			}
		}
	}
	// A straight cut through curved whites: between its ends a bi-colour lamp
	// is a little to the magenta side of the locus, and says by how much.
	c := cellOf(t, realistic(t)[1])
	got := c.Solve(colour.XY{X: 0.380442, Y: 0.376749}, 1, white) // Planck, 4000 K (CIE 15)
	require.True(t, got.Clipped)
	require.InDelta(t, 0.004, got.DeltaUV, 0.003)
}

// Where the white is out of reach too, the nearest point in reach.
func TestSolveWithTheWhiteOutOfReach(t *testing.T) {
	led := synthetic(t)
	c, err := emitters.NewCell([]emitters.Emitter{{Full: led["red"]}, {Full: led["amber"]}, {Full: led["lime_pc"]}})
	require.NoError(t, err)
	for _, toward := range []colour.XY{white, {}, {X: math.NaN(), Y: math.NaN()}} {
		got := c.Solve(led["blue"].XY(), 1, toward)
		require.True(t, got.Clipped)
		r := rand.New(rand.NewPCG(25, 26))
		for range 2000 {
			require.GreaterOrEqual(t, distance(led["blue"].XY(), inGamut(r, c)), got.DeltaUV-1e-9)
		}
	}
}

// Levels are linear in light at the same chromaticity and held to 0..1.
func TestSolveScalesToTheLevel(t *testing.T) {
	r := rand.New(rand.NewPCG(27, 28))
	for _, s := range realistic(t) {
		c := cellOf(t, s)
		for range 100 {
			asked := colour.XY{X: 0.15 + 0.5*r.Float64(), Y: 0.05 + 0.6*r.Float64()}
			full := c.Solve(asked, 1, white)
			require.Equal(t, full.Most, full.Lumens)
			require.InDelta(t, 1, slicesMax(full.Drives), 1e-9, "at full, something is at full")
			for _, row := range []struct{ level, is float64 }{
				{0.25, 0.25}, {0.001, 0.001}, {0, 0}, {-3, 0}, {7, 1}, {math.NaN(), 0}, {math.Inf(1), 1},
			} {
				got := c.Solve(asked, colour.Level(row.level), white)
				require.Equal(t, full.Most, got.Most)
				require.InDelta(t, full.Most*row.is, got.Lumens, 1e-9*full.Most)
				require.InDelta(t, got.Lumens, c.Light(got.Drives).Y, 1e-9*full.Most)
				require.Equal(t, full.Reached, got.Reached)
				require.Equal(t, full.Drives.Scale(row.is), got.Drives)
			}
		}
	}
}

func slicesMax(d emitters.Drives) float64 {
	most := 0.0
	for _, v := range d {
		most = max(most, v)
	}
	return most
}

// What is no colour gives no light and says so.
func TestSolveOfNoColour(t *testing.T) {
	for _, s := range realistic(t) {
		c := cellOf(t, s)
		for _, p := range []colour.XY{{X: math.NaN(), Y: 0.3}, {X: 0.3, Y: math.Inf(-1)}, {X: 0.3, Y: -0.2}, {X: 9, Y: 0.1}} {
			got := c.Solve(p, 1, white)
			require.True(t, got.Clipped)
			require.Zero(t, got.Drives)
			require.Zero(t, got.Lumens)
			require.Zero(t, got.Reached)
		}
	}
}

// Fading the colour asked for from one saturated colour to another, in and out of
// reach, moves the mix without jumps.
func TestSolveIsContinuousAcrossTheEdge(t *testing.T) {
	r := rand.New(rand.NewPCG(29, 30))
	for _, s := range realistic(t) {
		c := cellOf(t, s)
		for range 30 {
			from := colour.XY{X: 0.1 + 0.6*r.Float64(), Y: 0.05 + 0.7*r.Float64()}
			to := colour.XY{X: 0.1 + 0.6*r.Float64(), Y: 0.05 + 0.7*r.Float64()}
			at := func(k float64) colour.XY {
				got := c.Solve(colour.XY{X: from.X + k*(to.X-from.X), Y: from.Y + k*(to.Y-from.Y)}, 1, white)
				return got.Reached
			}
			for k := range 10 {
				requireNoJump(t, c, at, float64(k)/10, float64(k+1)/10, 40)
			}
		}
	}
}
