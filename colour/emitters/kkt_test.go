package emitters_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// The conditions of Karush, Kuhn and Tucker (Boyd and Vandenberghe, Convex
// Optimization, 2004, section 5.5.3), which are necessary and sufficient for a convex
// program: the mix is in its bounds and keeps the measures; each bound pushes only
// inwards and only where its drive is held; and the cost's slope less the pushes is a
// mix of the measures, whose multipliers are found here by gonum.

// problem is one program with the measures that it must keep.
type problem struct {
	cell  *emitters.Cell
	keep  [][]float64 // rows, one number for each emitter
	span  [][]float64 // the same with emitters of about one colour made one
	start emitters.Drives
	pull  emitters.Pull
	got   emitters.Conditions
}

// allowance is how well the conditions must hold.
type allowance struct {
	kept       float64 // measures, as a share of the largest
	stationary float64 // slope, as a share of its parts
}

// Emitters a hair apart count as one colour when the hair is below 3e-8, and where it is
// above, the digits that their difference costs are missing from the pushes.
var (
	plainly = allowance{1e-10, 1e-9}
	roughly = allowance{3e-5, 1e-5}
)

// requireKKT asserts the conditions.
func requireKKT(t testing.TB, p problem, allow allowance) {
	n := p.cell.Len()
	es := p.cell.Emitters()
	length := func(i int) float64 {
		f := es[i].Full
		return math.Sqrt(f.X*f.X + f.Y*f.Y + f.Z*f.Z)
	}
	fail := func(what string) {
		require.FailNow(t, what, "mix %v push %v of %v from %v pull %v", p.got.Mix, p.got.Push, es, p.start, p.pull)
	}
	for i, v := range p.got.Mix {
		push := p.got.Push[i]
		switch {
		case !(v >= 0 && v <= 1) || i >= n && v != 0:
			fail("drive out of range")
		case push > 0 && v != 0, push < 0 && v != 1:
			fail("pushed off its bound")
		case math.IsNaN(push) || math.IsInf(push, 0):
			fail("no push")
		}
	}
	worst, size := 0.0, 0.0
	for _, row := range p.keep {
		now, want := 0.0, 0.0
		for i, v := range row {
			now += v * p.got.Mix[i]
			want += v * p.start[i]
		}
		worst, size = max(worst, math.Abs(now-want)), max(size, math.Abs(want))
	}
	if worst > allow.kept*size {
		fail(fmt.Sprintf("measure not kept by %g of %g", worst, size))
	}
	// slope and measures per unit of light, so that dim emitters count like bright ones
	slope := mat.NewVecDense(n, nil)
	size = 0
	for i := range n {
		s := -p.pull[i] - p.got.Push[i]
		parts := math.Abs(p.pull[i]) + math.Abs(p.got.Push[i])
		for j := range n {
			s += p.got.Cost[i][j] * p.got.Mix[j]
			parts += math.Abs(p.got.Cost[i][j] * p.got.Mix[j])
		}
		slope.SetVec(i, s/length(i))
		size = max(size, parts/length(i))
	}
	if rest := beside(p.span, slope, length); rest > allow.stationary*size {
		require.FailNow(t, "not stationary", "%g of %g: mix %v push %v of %v from %v pull %v", rest, size, p.got.Mix, p.got.Push, es, p.start, p.pull)
	}
}

// beside returns how long v is beside the span of the rows, by gonum's singular values.
func beside(rows [][]float64, v *mat.VecDense, length func(int) float64) float64 {
	n := v.Len()
	a := mat.NewDense(n, len(rows), nil)
	for k, row := range rows {
		for i := range n {
			a.Set(i, k, row[i]/length(i))
		}
	}
	var svd mat.SVD
	svd.Factorize(a, mat.SVDThin)
	var u mat.Dense
	svd.UTo(&u)
	values := svd.Values(nil)
	rest := mat.VecDenseCopyOf(v)
	for k, s := range values {
		if s > 1e-13*values[0] {
			along := mat.Dot(u.ColView(k), v)
			rest.AddScaledVec(rest, -along, u.ColView(k))
		}
	}
	return mat.Norm(rest, 2)
}

// rowsXYZ returns what Truest must keep.
func rowsXYZ(c *emitters.Cell) [][]float64 {
	rows := make([][]float64, 3)
	for _, e := range c.Emitters() {
		rows[0] = append(rows[0], e.Full.X)
		rows[1] = append(rows[1], e.Full.Y)
		rows[2] = append(rows[2], e.Full.Z)
	}
	return rows
}

// randomFeatures draws 1 to 12 features of each emitter, in the size of its light; often
// fewer than the emitters, and often all of one sign, as spectra are.
func randomFeatures(r *rand.Rand, es []emitters.Emitter) [][]float64 {
	k, positive := 1+r.IntN(12), r.IntN(2) == 0
	out := make([][]float64, len(es))
	for i, e := range es {
		for range k {
			v := r.NormFloat64()
			if positive {
				v = math.Exp(v)
			}
			out[i] = append(out[i], v*e.Full.Y)
		}
	}
	if len(es) > 2 && r.IntN(5) == 0 {
		copy(out[0], out[1]) // two spectra alike
	}
	return out
}

// anySet draws a set of n emitters: anywhere, on a coarse grid, or with some a hair
// from another; and how well it can be solved.
func anySet(r *rand.Rand, n int) ([]emitters.Emitter, allowance) {
	switch r.IntN(3) {
	case 0:
		return randomSet(r, n), plainly
	case 1:
		return lumpySet(r, n), plainly
	}
	es := randomSet(r, n)
	for i := 1; i < n; i++ {
		if r.IntN(3) == 0 {
			hair := math.Pow(10, -1-15*r.Float64())
			full := es[i-1].Full
			es[i].Full = colour.XYZ{X: full.X * (1 + hair*r.NormFloat64()), Y: full.Y, Z: full.Z * (1 + hair*r.Float64())}
		}
	}
	return es, roughly
}

// anyTarget draws a chromaticity in reach: inside, on an edge or a corner.
func anyTarget(r *rand.Rand, c *emitters.Cell) colour.XY {
	if r.IntN(4) > 0 {
		return inGamut(r, c)
	}
	corners := c.Gamut()
	a, b := corners[r.IntN(len(corners))], corners[r.IntN(len(corners))]
	return a.Lerp(b, r.Float64()*float64(r.IntN(2))).XY()
}

func anyLevel(r *rand.Rand) colour.Level {
	return []colour.Level{1, 1e-6, 0.5, 0.999999, colour.Level(r.Float64())}[r.IntN(5)]
}

// anyReference draws features of one lumen.
func anyReference(r *rand.Rand, features [][]float64) []float64 {
	ref := make([]float64, len(features[0]))
	if r.IntN(3) > 0 {
		for i := range ref {
			ref[i] = math.Exp(r.NormFloat64())
		}
	}
	return ref
}

func pulled(p emitters.Pull, lumens float64) emitters.Pull {
	for i := range p {
		p[i] *= lumens
	}
	return p
}

// The conditions hold on 100 000 random cases of 1 to 8 emitters.
func TestTruestMeetsKKT(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(41, 42))
	cases := 0
	for cases < 100_000 {
		es, allow := anySet(r, 1+r.IntN(emitters.Max))
		c, err := emitters.NewCell(es)
		require.NoError(t, err)
		features := randomFeatures(r, es)
		gram := emitters.GramOf(features)
		truest, err := emitters.NewTruest(c, &gram)
		require.NoError(t, err)
		for range 10 {
			s := c.Solve(anyTarget(r, c), anyLevel(r), white)
			pull := pulled(emitters.PullOf(features, anyReference(r, features)), s.Lumens)
			requireKKT(t, problem{c, rowsXYZ(c), c.Measures(), s.Drives, pull, truest.Prove(s.Drives, pull)}, allow)
			cases++
		}
	}
}
