package emitters_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// randomView draws a cell as a camera sees it: channels that follow the emitters' light
// more or less, as real ones follow X, Y and Z, in the coordinates R, R+G+B, B. Now and
// then two emitters are seen alike.
func randomView(r *rand.Rand, es []emitters.Emitter) []emitters.Emitter {
	var mix [3][3]float64
	for ch := range mix {
		for k := range mix[ch] {
			mix[ch][k] = math.Abs(r.NormFloat64())
		}
		mix[ch][ch] += 2
	}
	odd := r.Float64()
	view := make([]emitters.Emitter, len(es))
	for i, e := range es {
		var seen [3]float64
		for ch := range mix {
			seen[ch] = (mix[ch][0]*e.Full.X + mix[ch][1]*e.Full.Y + mix[ch][2]*e.Full.Z) * math.Exp(odd*r.NormFloat64())
		}
		view[i].Full = colour.XYZ{X: seen[0], Y: seen[0] + seen[1] + seen[2], Z: seen[2]}
	}
	if len(es) > 1 && r.IntN(5) == 0 {
		view[1].Full = view[0].Full.Scale(es[1].Full.Y / es[0].Full.Y)
	}
	return view
}

// The mix for a camera is the recipe on the camera's view of the cell, with what the eye
// sees as features (colour/recipe): the conditions hold there too, on 100 000 random cases.
func TestCameraViewMeetsKKT(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(43, 44))
	for cases := 0; cases < 100_000; {
		es, _ := anySet(r, 1+r.IntN(emitters.Max))
		c, err := emitters.NewCell(randomView(r, es))
		require.NoError(t, err)
		eye := make([][]float64, len(es))
		for i, e := range es {
			eye[i] = []float64{e.Full.X, e.Full.Y, e.Full.Z}
		}
		gram := emitters.GramOf(eye)
		nearest, err := emitters.NewTruest(c, &gram)
		require.NoError(t, err)
		for range 10 {
			s := c.Solve(anyTarget(r, c), anyLevel(r), white)
			pull := pulled(emitters.PullOf(eye, anyReference(r, eye)), s.Lumens)
			requireKKT(t, problem{c, rowsXYZ(c), c.Measures(), s.Drives, pull, nearest.Prove(s.Drives, pull)}, allowance{1e-6, 1e-6})
			cases++
		}
	}
}
