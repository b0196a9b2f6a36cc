package emitters_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// costOf is what a program minimises.
func costOf(q *emitters.Gram, pull *emitters.Pull, d []float64) float64 {
	sum := 0.0
	for i, v := range d {
		sum -= pull[i] * v
		for j, w := range d {
			sum += q[i][j] * v * w / 2
		}
	}
	return sum
}

// enumerate tries every choice of drives at 0, at 1 and between, solves the
// equations of those between (gonum), and returns the best that is in bounds.
func enumerate(es []emitters.Emitter, q *emitters.Gram, pull *emitters.Pull, light colour.XYZ) (best []float64) {
	least := math.Inf(1)
	n, states := len(es), 1
	for range n {
		states *= 3
	}
	for state := range states {
		d, between := make([]float64, n), []int{}
		for i, s := 0, state; i < n; i, s = i+1, s/3 {
			d[i] = float64(s % 3 % 2)
			if s%3 == 2 {
				between = append(between, i)
			}
		}
		if !stationary(es, q, pull, light, d, between) {
			continue
		}
		if c := costOf(q, pull, d); c < least {
			best, least = d, c
		}
	}
	return best
}

// stationary fills in the drives between, and tells whether the mix is in bounds and has
// the light.
func stationary(es []emitters.Emitter, q *emitters.Gram, pull *emitters.Pull, light colour.XYZ, d []float64, between []int) bool {
	rest, size := light, light.X+light.Y+light.Z
	for i, e := range es {
		rest = rest.Add(e.Full.Scale(-d[i]))
	}
	k := len(between)
	if k > 0 {
		a, b := mat.NewDense(k+3, k+3, nil), mat.NewVecDense(k+3, nil)
		scale := 0.0 // of the cost against the light, so that neither drowns the other
		for i, e := range es {
			scale += q[i][i] / e.Full.Y / float64(len(es))
		}
		for r, i := range between {
			slope := pull[i]
			for j := range es {
				slope -= q[i][j] * d[j]
			}
			b.SetVec(r, slope)
			for c, j := range between {
				a.Set(r, c, q[i][j])
			}
			for c, v := range []float64{es[i].Full.X, es[i].Full.Y, es[i].Full.Z} {
				a.Set(r, k+c, v*scale)
				a.Set(k+c, r, v*scale)
			}
		}
		for c, v := range []float64{rest.X, rest.Y, rest.Z} {
			b.SetVec(k+c, v*scale)
		}
		var svd mat.SVD
		if !svd.Factorize(a, mat.SVDThin) {
			return false
		}
		var x mat.VecDense
		svd.SolveVecTo(&x, b, svd.Rank(1e-13))
		for r, i := range between {
			d[i] = x.AtVec(r)
			rest = rest.Add(es[i].Full.Scale(-d[i]))
		}
	}
	for _, v := range d {
		if !(v >= -1e-9 && v <= 1+1e-9) {
			return false
		}
	}
	return math.Abs(rest.X)+math.Abs(rest.Y)+math.Abs(rest.Z) < 1e-8*size
}

// The mix is that of a slow reference, an enumeration of all active sets.
func TestTruestIsTheBestOfAllActiveSets(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(51, 52))
	compared := 0
	for compared < 2000 {
		es := randomSet(r, 2+r.IntN(4))
		if compared%4 == 0 {
			es = lumpySet(r, 2+r.IntN(4))
		}
		c, err := emitters.NewCell(es)
		require.NoError(t, err)
		features := randomFeatures(r, es)
		gram := emitters.GramOf(features)
		truest, err := emitters.NewTruest(c, &gram)
		require.NoError(t, err)
		s := c.Solve(inGamut(r, c), colour.Level(0.05+0.9*r.Float64()), white)
		pull := pulled(emitters.PullOf(features, anyReference(r, features)), s.Lumens)
		got := truest.Prove(s.Drives, pull)
		want := enumerate(es, &got.Cost, &pull, c.Light(s.Drives))
		require.NotNil(t, want)
		size := math.Abs(costOf(&got.Cost, &pull, want)) + math.Abs(costOf(&got.Cost, &pull, s.Drives[:len(es)]))
		require.InDelta(t, costOf(&got.Cost, &pull, want), costOf(&got.Cost, &pull, got.Mix[:len(es)]), 1e-7*size, "%v of %v, want %v", got.Mix, es, want)
		compared++
	}
}

// recipeOf builds the recipe of a realistic set with random features.
func recipeOf(t testing.TB, r *rand.Rand, s set) (*emitters.Truest, [][]float64) {
	features := randomFeatures(r, s.emitters)
	gram := emitters.GramOf(features)
	truest, err := emitters.NewTruest(cellOf(t, s), &gram)
	require.NoError(t, err)
	return truest, features
}

// At level 1 there is one mix only, the brightest, and the recipe comes to it without a
// step: as the level rises to 1 the drives close in on it. They may do so fast, by up to
// a million times the change of level, where emitters lie nearly on a line (deep red, red
// and amber do) and can stand in for each other.
func TestTruestEndsInTheBrightest(t *testing.T) {
	r := rand.New(rand.NewPCG(53, 54))
	for _, s := range realistic(t) {
		for range 50 {
			truest, features := recipeOf(t, r, s)
			reference := emitters.PullOf(features, anyReference(r, features))
			p := inGamut(r, truest.Cell())
			full, _, ok := truest.Cell().Brightest(p)
			require.True(t, ok)
			if s.slim {
				continue // two drives for one or two equations
			}
			for _, gap := range []float64{1e-8, 1e-9, 1e-10, 0} {
				got := truest.Solve(p, colour.Level(1-gap), white, &reference)
				require.Less(t, apart(got.Drives, full), 1e6*gap+1e-6, "%s at %v below 1", s.name, gap)
			}
		}
	}
}

func apart(a, b emitters.Drives) float64 {
	most := 0.0
	for i := range a {
		most = max(most, math.Abs(a[i]-b[i]))
	}
	return most
}

// A recipe has the light of the brightest at the level, whatever it chooses, and at
// low levels the choice is the same but for the level.
func TestTruestKeepsTheLight(t *testing.T) {
	r := rand.New(rand.NewPCG(55, 56))
	for _, s := range realistic(t) {
		for range 200 {
			truest, features := recipeOf(t, r, s)
			reference := emitters.PullOf(features, anyReference(r, features))
			c := truest.Cell()
			asked, level := colour.XY{X: 0.7 * r.Float64(), Y: 0.05 + 0.7*r.Float64()}, anyLevel(r)
			want, got := c.Solve(asked, level, white), truest.Solve(asked, level, white, &reference)
			require.Equal(t, want.Reached, got.Reached)
			require.Equal(t, want.Clipped, got.Clipped)
			require.Equal(t, want.Lumens, got.Lumens)
			a, b := c.Light(want.Drives), c.Light(got.Drives)
			for _, pair := range [][2]float64{{a.X, b.X}, {a.Y, b.Y}, {a.Z, b.Z}} {
				require.InDelta(t, pair[0], pair[1], 1e-9*(a.X+a.Y+a.Z), s.name)
			}
			dim := truest.Solve(asked, 1e-3, white, &reference).Drives
			dimmer := truest.Solve(asked, 1e-4, white, &reference).Drives
			require.Less(t, apart(dim, dimmer.Scale(10)), 1e-9, s.name)
		}
	}
}

// recipe is Solve of a recipe with its reference filled in.
type recipe func(p colour.XY, level colour.Level) emitters.Drives

// requireSmooth fades and halves every step in which a drive changes by more than 1 %: a
// jump would still be there after 40 halvings.
func requireSmooth(t testing.TB, solve recipe, at func(float64) (colour.XY, colour.Level), a, b float64, depth int) {
	pa, la := at(a)
	pb, lb := at(b)
	da, db := solve(pa, la), solve(pb, lb)
	if apart(da, db) <= 0.01 {
		return
	}
	if depth == 0 {
		require.FailNow(t, "jump", "from %v to %v at %v %v", da, db, pa, la)
	}
	mid := a + (b-a)/2
	requireSmooth(t, solve, at, a, mid, depth-1)
	requireSmooth(t, solve, at, mid, b, depth-1)
}

// Recipes follow chromaticity and level without jumps: through the gamut, out of it and
// along its edge, up to level 1 and down to dark.
func TestRecipesAreContinuous(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(57, 58))
	sets := append(realistic(t), onALine)
	for range 100 {
		sets = append(sets, set{name: "lumpy", emitters: lumpySet(r, 1+r.IntN(emitters.Max))})
	}
	for _, s := range sets {
		truest, features := recipeOf(t, r, s)
		reference := emitters.PullOf(features, anyReference(r, features))
		solve := func(p colour.XY, level colour.Level) emitters.Drives {
			return truest.Solve(p, level, white, &reference).Drives
		}
		for range 6 {
			from, to := anyTarget(r, truest.Cell()).UV(), anyTarget(r, truest.Cell()).UV()
			if r.IntN(4) == 0 && len(truest.Cell().Gamut()) > 2 { // from out of reach
				if out := white.UV().Lerp(from, 1.5); out.XY().Y > 0.01 {
					from = out
				}
			}
			low, high := anyLevel(r), anyLevel(r)
			at := func(s float64) (colour.XY, colour.Level) {
				return from.Lerp(to, s).XY(), low + colour.Level(s)*(high-low)
			}
			for k := range 10 {
				requireSmooth(t, solve, at, float64(k)/10, float64(k+1)/10, 40)
			}
		}
	}
}

// Two emitters of one colour and alike in features share one drive.
func TestTruestSharesBetweenTwins(t *testing.T) {
	r := rand.New(rand.NewPCG(59, 60))
	led := synthetic(t)
	es := []emitters.Emitter{
		{Full: led["red"]}, {Full: led["green"]}, {Full: led["blue"]}, {Full: led["amber"]}, {Full: led["red"].Scale(0.3)},
	}
	for range 200 {
		features := randomFeatures(r, es)
		for k, v := range features[0] {
			features[4][k] = 0.3 * v
		}
		gram := emitters.GramOf(features)
		c, err := emitters.NewCell(es)
		require.NoError(t, err)
		truest, err := emitters.NewTruest(c, &gram)
		require.NoError(t, err)
		reference := emitters.PullOf(features, anyReference(r, features))
		d := truest.Solve(inGamut(r, c), colour.Level(r.Float64()), white, &reference).Drives
		require.InDelta(t, d[0], d[4], 1e-6)
	}
}

func TestRecipesDoNotAllocate(t *testing.T) {
	r := rand.New(rand.NewPCG(61, 62))
	for _, s := range realistic(t) {
		truest, features := recipeOf(t, r, s)
		reference := emitters.PullOf(features, anyReference(r, features))
		require.Zero(t, testing.AllocsPerRun(100, func() { truest.Solve(white, 0.7, white, &reference) }))
	}
}

func TestNewTruestRefuses(t *testing.T) {
	c := cellOf(t, realistic(t)[2])
	for name, g := range map[string]emitters.Gram{
		"NaN":          {{math.NaN()}},
		"infinite":     {{math.Inf(1)}},
		"negative":     {{1}, {0, -1}},
		"lopsided":     {{1, 0.5}, {0.4, 1}},
		"not a square": {{1, 5, -5}, {5, 1, 5}, {-5, 5, 1}},
	} {
		_, err := emitters.NewTruest(c, &g)
		if name == "not a square" && err == nil {
			continue
		}
		require.ErrorIs(t, err, emitters.ErrGram, name)
	}
}

// FuzzRecipes takes emitters as FuzzSolve does and features from the same bytes.
func FuzzRecipes(f *testing.F) {
	for _, s := range realistic(f) {
		var raw []byte
		for _, e := range s.emitters {
			p := e.Full.XY()
			raw = append(raw, byte(256*p.X), byte(256*p.Y), byte(16*math.Log2(e.Full.Y)), 0, 0, 0)
		}
		f.Add(raw, []byte("features"), 0.3127, 0.3290, 1.0, 1.0)
		f.Add(raw, []byte{0, 255, 0, 255, 1}, 0.17, 0.797, 0.5, -1e9)
	}
	f.Fuzz(func(t *testing.T, raw, numbers []byte, x, y, level, reference float64) {
		es := decodeEmitters(raw)
		c, err := emitters.NewCell(es)
		if err != nil {
			return
		}
		features := make([][]float64, len(es))
		next := func(i int) float64 {
			if len(numbers) == 0 {
				return 0
			}
			v := float64(int8(numbers[i%len(numbers)]))
			return v * math.Exp2(float64(i%7)) * es[i%len(es)].Full.Y
		}
		for i := range es {
			for k := range 5 {
				features[i] = append(features[i], next(5*i+k))
			}
		}
		gram := emitters.GramOf(features)
		truest, err := emitters.NewTruest(c, &gram)
		require.NoError(t, err)
		asked := colour.XY{X: x, Y: y}
		var pull emitters.Pull
		for i := range pull {
			pull[i] = reference
		}
		s := truest.Solve(asked, colour.Level(level), white, &pull)
		for i, v := range s.Drives {
			require.True(t, v >= 0 && v <= 1 && (i < c.Len() || v == 0), "drives %v", s.Drives)
		}
		require.InDelta(t, s.Lumens, c.Light(s.Drives).Y, 1e-4*s.Lumens, "%v of %v features %v", s, es, features)
	})
}

// BenchmarkRecipes runs beside the brightest mix, which recipes start from, and up to five
// emitters beside the slow reference.
func BenchmarkRecipes(b *testing.B) {
	r := rand.New(rand.NewPCG(63, 64))
	for _, s := range realistic(b) {
		truest, features := recipeOf(b, r, s)
		reference := emitters.PullOf(features, anyReference(r, features))
		targets := make([]colour.XY, 256)
		for i := range targets {
			targets[i] = inGamut(r, truest.Cell())
		}
		base, truestTime := 0.0, 0.0
		for _, solve := range []struct {
			name string
			f    func(colour.XY, colour.Level) emitters.Solution
		}{
			{"brightest", func(p colour.XY, l colour.Level) emitters.Solution { return truest.Cell().Solve(p, l, white) }},
			{"truest", func(p colour.XY, l colour.Level) emitters.Solution { return truest.Solve(p, l, white, &reference) }},
		} {
			b.Run(s.name+"/"+solve.name, func(b *testing.B) {
				b.ReportAllocs()
				i := 0
				for b.Loop() {
					solve.f(targets[i%len(targets)], colour.Level(i%100+1)/100)
					i++
				}
				each := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
				if solve.name == "brightest" {
					base = each
				} else if base > 0 {
					b.ReportMetric(each/base, "times-brightest")
				}
				if solve.name == "truest" {
					truestTime = each
				}
			})
		}
		if c := truest.Cell(); c.Len() > 2 && c.Len() < 6 {
			b.Run(s.name+"/enumerated", func(b *testing.B) {
				half := c.Solve(white, 0.5, white)
				pull := pulled(reference, half.Lumens)
				cost := truest.Prove(half.Drives, pull).Cost
				for b.Loop() {
					enumerate(s.emitters, &cost, &pull, c.Light(half.Drives))
				}
				if truestTime > 0 {
					b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/truestTime, "times-truest")
				}
			})
		}
	}
}
