package emitters_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/cues/showfile"
)

// unit is a lamp of a built-in type (whose numbers are invented) in a mode.
type unit struct {
	typ  *lamp.Type
	mode *lamp.Mode
	cell *emitters.Cell
}

func builtin(t testing.TB, name, mode string) unit {
	types := showfile.BuiltinTypes()
	i := slices.IndexFunc(types, func(t *lamp.Type) bool { return t.Name == name })
	require.GreaterOrEqual(t, i, 0, name)
	m, ok := types[i].Mode(mode)
	require.True(t, ok)
	c, err := types[i].CellOf(m)
	require.NoError(t, err)
	return unit{types[i], m, c}
}

// show sends drives through the bytes of the wire and returns the light.
func (u unit) show(d emitters.Drives) colour.XYZ {
	bytes, back := make([]byte, u.mode.Footprint), make([]emitters.Drives, 1)
	u.mode.Encode(u.typ, []emitters.Drives{d}, nil, bytes)
	u.mode.Decode(u.typ, bytes, back)
	return u.cell.Light(back[0])
}

func tubeAndPanel(t testing.TB) ([]unit, *emitters.Group) {
	units := []unit{builtin(t, "tube-rgb-2ft", "1-cell-16-bit"), builtin(t, "panel-rgbacl", "16-bit")}
	g, err := emitters.NewGroup([]*emitters.Cell{units[0].cell, units[1].cell})
	require.NoError(t, err)
	return units, g
}

// grid returns 1000 colours over the box of a reach, and how many of them are in it.
func grid(r emitters.Reach) (colours []colour.XY, in int) {
	corners := r.Corners()
	lo, hi := corners[0], corners[0]
	for _, c := range corners {
		lo = colour.UV{U: min(lo.U, c.U), V: min(lo.V, c.V)}
		hi = colour.UV{U: max(hi.U, c.U), V: max(hi.V, c.V)}
	}
	for i := range 40 {
		for j := range 25 {
			p := colour.UV{U: lo.U + (hi.U-lo.U)*float64(i)/39, V: lo.V + (hi.V-lo.V)*float64(j)/24}.XY()
			colours = append(colours, p)
			if r.Contains(p) {
				in++
			}
		}
	}
	return colours, in
}

// Two unlike lamps, an RGB tube and a panel of six colours, agree within 0.001 in u'v' in 16
// bits on every reachable colour of a grid of 1000, by the brightest mix and by another, at
// equal light and at equal level. Where the colour is out of reach they agree as well.
func TestGroupAgreesIn16Bit(t *testing.T) {
	const limit = 0.001
	r := rand.New(rand.NewPCG(81, 82))
	units, g := tubeAndPanel(t)
	recipes := make([]*emitters.Truest, len(units))
	for i, u := range units {
		gram := emitters.GramOf(randomFeatures(r, u.cell.Emitters()))
		var err error
		recipes[i], err = emitters.NewTruest(u.cell, &gram)
		require.NoError(t, err)
	}
	colours, in := grid(g.Reach())
	require.Len(t, colours, 1000)
	require.Greater(t, in, 300)
	worst := map[bool]float64{}
	parts := make([]emitters.Part, len(units))
	for _, asked := range colours {
		for _, share := range []emitters.Share{emitters.EqualLight, emitters.EqualLevel} {
			for _, level := range []colour.Level{1, 0.25} {
				m, err := g.Match(asked, level, white, share, parts)
				require.NoError(t, err)
				require.Equal(t, !g.Reach().Contains(asked), m.Clipped)
				for _, recipe := range []bool{false, true} {
					var shown []colour.UV
					for i, u := range units {
						s := u.cell.Solve(m.Aim, parts[i].Level, white)
						if recipe {
							s = recipes[i].Solve(m.Aim, parts[i].Level, white, &emitters.Pull{})
						}
						require.False(t, s.Clipped)
						require.InEpsilon(t, parts[i].Lumens, s.Lumens, 1e-6)
						shown = append(shown, u.show(s.Drives).XY().UV())
					}
					apart := shown[0].Distance(shown[1])
					require.Less(t, apart, limit, "%v at %v", asked, level)
					worst[m.Clipped] = max(worst[m.Clipped], apart)
				}
			}
		}
	}
	t.Logf("%d of 1000 in reach of both; worst in reach %.6f, else %.6f", in, worst[false], worst[true])
}

// The common colour and level: what each lamp gives, and what it costs it.
func TestGroupCost(t *testing.T) {
	units, g := tubeAndPanel(t)
	parts := make([]emitters.Part, 2)
	for _, asked := range []colour.XY{white, {X: 0.17, Y: 0.70}, {X: 0.69, Y: 0.30}, {X: 0.15, Y: 0.03}, {X: 0.08, Y: 0.5}} {
		for _, level := range []colour.Level{1, 0.5, 0} {
			m, err := g.Match(asked, level, white, emitters.EqualLight, parts)
			require.NoError(t, err)
			require.True(t, g.Reach().Contains(m.Aim))
			require.InDelta(t, distance(asked, m.Aim), m.DeltaUV, 1e-12)
			most := math.Inf(1)
			for i, u := range units {
				alone := u.cell.Solve(asked, level, white)
				_, own, ok := u.cell.Brightest(m.Aim)
				require.True(t, ok)
				require.InEpsilon(t, own, parts[i].Most, 1e-9)
				most = min(most, own)
				require.InDelta(t, distance(alone.Reached, m.Aim), parts[i].DeltaUV, 1e-12)
				require.Equal(t, m.Lumens, parts[i].Lumens)
				if level > 0 {
					require.InDelta(t, math.Log2(alone.Lumens/m.Lumens), parts[i].Stops, 1e-9)
				} else {
					require.Zero(t, parts[i].Stops)
				}
			}
			require.InDelta(t, float64(level)*most, m.Lumens, 1e-9)
			require.Equal(t, most, parts[m.Weakest].Most)
			if level == 1 {
				require.InDelta(t, 1, float64(parts[m.Weakest].Level), 1e-12)
			}

			m, err = g.Match(asked, level, white, emitters.EqualLevel, parts)
			require.NoError(t, err)
			require.InDelta(t, float64(level), float64(parts[0].Level), 1e-12)
			require.InDelta(t, float64(level), float64(parts[1].Level), 1e-12)
			require.Equal(t, m.Lumens, min(parts[0].Lumens, parts[1].Lumens))
		}
	}
}

// Out of reach of one lamp, the aim is the first point towards the white that both have.
func TestGroupGoesAlongTheLineToWhite(t *testing.T) {
	r := rand.New(rand.NewPCG(83, 84))
	_, g := tubeAndPanel(t)
	parts := make([]emitters.Part, 2)
	clipped := 0
	for range 2000 {
		asked := colour.XY{X: 0.75 * r.Float64(), Y: 0.02 + 0.8*r.Float64()}
		m, err := g.Match(asked, 1, white, emitters.EqualLight, parts)
		require.NoError(t, err)
		if !m.Clipped {
			require.Equal(t, asked, m.Aim)
			continue
		}
		clipped++
		p, q, w := asked.UV(), m.Aim.UV(), white.UV()
		whole := p.Distance(w)
		require.InDelta(t, 0, area(p, w, q)/whole, 1e-9)
		share := m.DeltaUV / whole
		for _, less := range []float64{1e-5 / whole, share / 2, share} {
			require.False(t, g.Reach().Contains(p.Lerp(w, share-less).XY()))
		}
	}
	require.Greater(t, clipped, 500)
}

func TestGroupErrors(t *testing.T) {
	_, err := emitters.NewGroup(nil)
	require.ErrorIs(t, err, emitters.ErrNoCells)
	led := synthetic(t)
	warm, err := emitters.NewCell([]emitters.Emitter{{Full: led["white_warm"]}})
	require.NoError(t, err)
	cool, err := emitters.NewCell([]emitters.Emitter{{Full: led["white_cool"]}})
	require.NoError(t, err)
	apart, err := emitters.NewGroup([]*emitters.Cell{warm, cool})
	require.NoError(t, err)
	require.True(t, apart.Reach().Empty())
	_, err = apart.Match(white, 1, white, emitters.EqualLight, make([]emitters.Part, 2))
	require.ErrorIs(t, err, emitters.ErrNoReach)
	_, g := tubeAndPanel(t)
	_, err = g.Match(colour.XY{X: math.NaN()}, 1, white, emitters.EqualLight, make([]emitters.Part, 2))
	require.ErrorIs(t, err, emitters.ErrNotColour)
}

func TestMatchDoesNotAllocate(t *testing.T) {
	_, g := tubeAndPanel(t)
	parts := make([]emitters.Part, 2)
	require.Zero(t, testing.AllocsPerRun(100, func() {
		_, _ = g.Match(white, 0.5, white, emitters.EqualLight, parts)
		_, _ = g.Match(colour.XY{X: 0.1, Y: 0.6}, 0.5, white, emitters.EqualLevel, parts)
	}))
}
