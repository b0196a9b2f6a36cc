package emitters_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// check asserts what holds for every mix and returns it with its lumens. It runs for
// every step of every sweep, so it asks before it puts a failure into words.
func check(t testing.TB, c *emitters.Cell, p colour.XY) (emitters.Drives, float64) {
	d, lumens, ok := c.Brightest(p)
	if !ok {
		require.FailNow(t, "out of reach", "%v of %v", p, c.Emitters())
	}
	for i, v := range d {
		if !(v >= 0 && v <= 1) || i >= c.Len() && v != 0 {
			require.FailNow(t, "drive out of range", "%v at %v of %v", d, p, c.Emitters())
		}
	}
	light := c.Light(d)
	if got := light.XY(); !(math.Abs(got.X-p.X) <= 1e-6 && math.Abs(got.Y-p.Y) <= 1e-6) {
		require.FailNow(t, "wrong colour", "%v, not %v, with %v of %v", got, p, d, c.Emitters())
	}
	if light.Y != lumens {
		require.FailNow(t, "wrong lumens", "%v, not %v", lumens, light.Y)
	}
	return d, lumens
}

// The optimum is that of gonum's simplex (optimize/convex/lp), on thousands of sets.
func TestBrightestIsTheSimplexOptimum(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(1, 2))
	solved, failed := 0, 0
	compare := func(es []emitters.Emitter) {
		c, err := emitters.NewCell(es)
		require.NoError(t, err)
		p := inGamut(r, c)
		_, lumens := check(t, c, p)
		want, _, err := simplexMost(es, p)
		if err != nil { // it gives up on some degenerate tables
			failed++
			return
		}
		solved++
		require.InEpsilon(t, want, lumens, 1e-6, "%v of %v", p, es)
	}
	for range 700 {
		for n := 1; n <= emitters.Max; n++ {
			compare(randomSet(r, n))
		}
	}
	require.Greater(t, solved, 5000)
	require.Less(t, failed, solved/50)
	for _, s := range realistic(t) {
		for range 200 {
			compare(s.emitters)
		}
	}
	t.Logf("%d optima compared, %d given up by the simplex", solved, failed)
}

// The optimum meets the bound of the dual program, worked out in exact arithmetic,
// which proves it (weak duality).
func TestBrightestMeetsTheDualBound(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 60 {
		for n := 3; n <= emitters.Max; n++ {
			for _, es := range [][]emitters.Emitter{randomSet(r, n), lumpySet(r, n)} {
				c, err := emitters.NewCell(es)
				require.NoError(t, err)
				p := inGamut(r, c)
				_, lumens := check(t, c, p)
				if len(c.Gamut()) >= 3 {
					require.InEpsilon(t, dualBound(es, p), lumens, 1e-9, "%v of %v", p, es)
				}
			}
		}
	}
}

// The optimum is the best of all vertices, also where emitters are identical or on a line.
func TestBrightestIsTheBestVertex(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	compared := 0
	for range 300 {
		for n := 3; n <= 6; n++ {
			for _, es := range [][]emitters.Emitter{randomSet(r, n), lumpySet(r, n)} {
				c, err := emitters.NewCell(es)
				require.NoError(t, err)
				p := inGamut(r, c)
				_, lumens := check(t, c, p)
				if len(c.Gamut()) < 3 {
					continue
				}
				want, err := vertexMost(es, p)
				require.NoError(t, err)
				require.InEpsilon(t, want, lumens, 1e-7, "%v of %v", p, es)
				compared++
			}
		}
	}
	require.Greater(t, compared, 2000)
}

// Corners and edges of the gamut are in reach, where most drives are at a bound.
func TestBrightestOnCornersAndEdges(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 500 {
		for n := 1; n <= emitters.Max; n++ {
			for _, es := range [][]emitters.Emitter{randomSet(r, n), lumpySet(r, n)} {
				c, err := emitters.NewCell(es)
				require.NoError(t, err)
				corners := c.Gamut()
				a := corners[r.IntN(len(corners))]
				b := corners[r.IntN(len(corners))]
				check(t, c, a.XY())
				s := r.Float64()
				check(t, c, colour.UV{U: a.U + s*(b.U-a.U), V: a.V + s*(b.V-a.V)}.XY())
			}
		}
	}
}

// At an emitter's own colour on a corner of the gamut nothing else can help: that
// emitter at full, the others dark.
func TestBrightestAtAPureColour(t *testing.T) {
	for _, s := range realistic(t) {
		c := cellOf(t, s)
		if len(c.Gamut()) != c.Len() {
			continue // some emitter is no corner
		}
		for i, e := range s.emitters {
			d, lumens := check(t, c, e.Full.XY())
			want := emitters.Drives{}
			want[i] = 1
			require.InDeltaSlice(t, want[:], d[:], 1e-6, "%s %s", s.name, e.Name)
			require.InEpsilon(t, e.Full.Y, lumens, 1e-6)
		}
	}
}

// Emitters a hair apart, or a hair off a line, at every size of hair from one that is
// plainly a difference to one that rounding makes: the colour stays within 1e-6 and the
// light within a ten-thousandth of the proven most.
func TestNearlyIdenticalEmitters(t *testing.T) {
	r := rand.New(rand.NewPCG(33, 34))
	hair := func(e emitters.Emitter, size float64) emitters.Emitter {
		p := e.Full.XY()
		p.X += size * r.NormFloat64()
		p.Y += size * r.NormFloat64()
		full := p.XYZ(e.Full.Y)
		full.Z = max(full.Z, 0)
		return emitters.Emitter{Full: full}
	}
	led := synthetic(t)
	plain := []emitters.Emitter{{Full: led["red"]}, {Full: led["green"]}, {Full: led["blue"]}}
	for range 40 {
		for size := 1e-3; size > 1e-17; size /= 10 {
			between := emitters.Emitter{Full: led["red"].Scale(r.Float64()).Add(led["green"])}
			for _, es := range [][]emitters.Emitter{
				append([]emitters.Emitter{hair(plain[0], size), hair(plain[0], size)}, plain...),
				append([]emitters.Emitter{hair(between, size), hair(between, size)}, plain...),
				{hair(plain[0], size), hair(plain[0], size), hair(plain[0], size)},
				{plain[0], hair(between, size), plain[1], hair(between, size)},
			} {
				c, err := emitters.NewCell(es)
				require.NoError(t, err)
				p := inGamut(r, c)
				_, lumens := check(t, c, p)
				if len(es) == 5 && c.Solve(p, 1, white).Most > 0 && inside(plain, p) {
					require.InEpsilon(t, dualBound(es, p), lumens, 1e-4, "%v of %v", p, es)
				}
			}
		}
	}
}

// inside tells whether p is well inside the triangle of three emitters.
func inside(three []emitters.Emitter, p colour.XY) bool {
	var corner [3]colour.UV
	for i, e := range three {
		corner[i] = e.Full.XY().UV()
	}
	for i := range corner {
		if math.Abs(area(corner[i], corner[(i+1)%3], p.UV())) < 1e-3 {
			return false
		}
	}
	return true
}

// All emitters at full is the brightest mix at the colour they make together.
func TestBrightestOfEverything(t *testing.T) {
	all := emitters.Drives{1, 1, 1, 1, 1, 1, 1, 1}
	for _, s := range realistic(t) {
		c := cellOf(t, s)
		light := c.Light(all)
		d, lumens := check(t, c, light.XY())
		require.InEpsilon(t, light.Y, lumens, 1e-9, s.name)
		require.InDeltaSlice(t, all[:c.Len()], d[:c.Len()], 1e-6, s.name)
	}
}

// Emitters of one colour share one drive, whatever their lumens.
func TestIdenticalEmittersShare(t *testing.T) {
	led := synthetic(t)
	es := []emitters.Emitter{
		{Name: "red", Full: led["red"]}, {Name: "green", Full: led["green"]}, {Name: "blue", Full: led["blue"]},
		{Name: "more red", Full: led["red"].Scale(0.3)}, {Name: "red again", Full: led["red"]},
	}
	c, err := emitters.NewCell(es)
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(9, 10))
	for range 1000 {
		d, _ := check(t, c, inGamut(r, c))
		require.Equal(t, d[0], d[3])
		require.Equal(t, d[0], d[4])
	}
}

// Of emitters on one line, those near the target go first: with three whites in a
// row and a target between the first two, the third stays dark while the others have
// light left.
func TestEmittersOnALine(t *testing.T) {
	// Weights add up exactly, so the chromaticities lie on one line by construction.
	first, last, side := colour.XYZ{X: 4, Y: 3, Z: 1}, colour.XYZ{X: 2, Y: 3, Z: 6}, colour.XYZ{X: 1, Y: 6, Z: 1}
	middle := first.Add(last).Scale(0.5)
	c, err := emitters.NewCell([]emitters.Emitter{{Full: first}, {Full: last}, {Full: middle}, {Full: side}})
	require.NoError(t, err)
	require.Len(t, c.Gamut(), 3)
	for _, s := range []float64{0.5, 0.9, 1} {
		target := first.Scale(1).Add(middle.Scale(s))
		d, _ := check(t, c, target.XY())
		require.InDeltaSlice(t, []float64{1, 0, s, 0}, d[:4], 1e-6, s)
	}
	// Beyond what those two can give together, the third comes in.
	d, _ := check(t, c, first.Add(middle).Add(last.Scale(0.25)).XY())
	require.InDeltaSlice(t, []float64{1, 0.25, 1, 0}, d[:4], 1e-6)
}

// requireNoJump fades the target from s = a to b along a line and halves every step
// in which a drive changes by more than 1 %: a jump would still be there after 40 halvings.
func requireNoJump(t testing.TB, c *emitters.Cell, at func(float64) colour.XY, a, b float64, depth int) {
	da, _ := check(t, c, at(a))
	db, _ := check(t, c, at(b))
	change := 0.0
	for i := range da {
		change = max(change, math.Abs(da[i]-db[i]))
	}
	if change <= 0.01 {
		return
	}
	if depth == 0 {
		require.FailNow(t, "jump", "from %v to %v at %v of %v", da, db, at(a), c.Emitters())
	}
	mid := a + (b-a)/2
	requireNoJump(t, c, at, a, mid, depth-1)
	requireNoJump(t, c, at, mid, b, depth-1)
}

// onALine has four emitters on one line and two beside it: the weights add up
// exactly, so the chromaticities do lie on a line.
var onALine = set{name: "on a line", emitters: []emitters.Emitter{
	{Full: colour.XYZ{X: 4, Y: 3, Z: 1}}, {Full: colour.XYZ{X: 2, Y: 3, Z: 6}}, {Full: colour.XYZ{X: 3, Y: 3, Z: 3.5}},
	{Full: colour.XYZ{X: 3.5, Y: 3, Z: 2.25}}, {Full: colour.XYZ{X: 1, Y: 6, Z: 1}}, {Full: colour.XYZ{X: 6, Y: 2, Z: 2}},
}}

// The mix follows the target without jumps, also where many mixes give the same light.
func TestBrightestIsContinuous(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	fade := func(c *emitters.Cell, from, to colour.UV) {
		at := func(s float64) colour.XY {
			return colour.UV{U: from.U + s*(to.U-from.U), V: from.V + s*(to.V-from.V)}.XY()
		}
		for k := range 10 {
			requireNoJump(t, c, at, float64(k)/10, float64(k+1)/10, 40)
		}
	}
	for _, s := range append(realistic(t), onALine) {
		c := cellOf(t, s)
		for range 40 {
			fade(c, inGamut(r, c).UV(), inGamut(r, c).UV())
		}
		for _, corner := range c.Gamut() { // along rays on which many facets end
			fade(c, corner, inGamut(r, c).UV())
			fade(c, corner, c.Gamut()[0])
		}
	}
	for range 300 {
		c, err := emitters.NewCell(lumpySet(r, 1+r.IntN(emitters.Max)))
		require.NoError(t, err)
		fade(c, inGamut(r, c).UV(), inGamut(r, c).UV())
	}
}

// The same question has the same answer, bit for bit, and from any goroutine.
func TestBrightestIsDeterministic(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	for range 500 {
		es := lumpySet(r, 1+r.IntN(emitters.Max))
		a, err := emitters.NewCell(es)
		require.NoError(t, err)
		b, err := emitters.NewCell(es)
		require.NoError(t, err)
		p := inGamut(r, a)
		da, la, _ := a.Brightest(p)
		db, lb, _ := b.Brightest(p)
		require.Equal(t, da, db)
		require.Equal(t, la, lb)
	}
}

func TestBrightestOutOfReach(t *testing.T) {
	for _, s := range realistic(t) {
		c := cellOf(t, s)
		for _, p := range []colour.XY{
			{X: 0.17, Y: 0.797}, // Rec.2020 green (ITU-R BT.2020), more than any of these can
			{}, {X: 0.3, Y: -0.1}, {X: math.NaN(), Y: 0.3}, {X: 0.3, Y: math.Inf(1)}, {X: 5, Y: 0},
		} {
			d, lumens, ok := c.Brightest(p)
			require.False(t, ok, "%s %v", s.name, p)
			require.Zero(t, d)
			require.Zero(t, lumens)
		}
	}
}
