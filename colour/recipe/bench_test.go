package recipe_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/recipe"
)

func TestNoAllocs(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	for _, name := range lit {
		for _, p := range policies {
			rec := recipeOf(t, name, p)
			require.Zero(t, testing.AllocsPerRun(200, func() {
				asked, level := anyAsk2(r)
				rec.Solve(asked, level, white)
				rec.Full(asked, white)
			}), "%s %s", name, p)
		}
	}
}

// anyAsk2 is anyAsk without spectra, which would be slow here.
func anyAsk2(r *rand.Rand) (colour.XY, colour.Level) {
	return colour.XY{X: 0.15 + 0.5*r.Float64(), Y: 0.05 + 0.6*r.Float64()}, colour.Level(r.Float64())
}

// BenchmarkSolve solves 512 colours by each policy; times-brightest is against the
// brightest of the same lamp in the same run.
func BenchmarkSolve(b *testing.B) {
	r := rand.New(rand.NewPCG(23, 24))
	var asks [512]colour.XY
	for i := range asks {
		asks[i], _ = anyAsk2(r)
	}
	for _, name := range []string{"tube-rgb-2ft", "tube-rgbww-4ft", "panel-rgbacl"} {
		base := 0.0
		for _, p := range policies {
			rec := recipeOf(b, name, p)
			b.Run(name+"/"+string(p), func(b *testing.B) {
				b.ReportAllocs()
				i := 0
				for b.Loop() {
					rec.Solve(asks[i%len(asks)], 0.4, white)
					i++
				}
				each := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
				if p == recipe.Brightest {
					base = each
				}
				b.ReportMetric(each/base, "times-brightest")
			})
		}
	}
}

func BenchmarkNew(b *testing.B) {
	typ, mode := typeOf(b, "panel-rgbacl")
	for _, p := range policies {
		b.Run(string(p), func(b *testing.B) {
			for b.Loop() {
				must(recipe.New(typ, mode, p, reference()))
			}
		})
	}
	b.Run("reference", func(b *testing.B) {
		view := viewOf("bayer-a")
		for b.Loop() {
			recipe.NewReference(view)
		}
	})
}
