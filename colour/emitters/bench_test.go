package emitters_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// Solving allocates nothing: a look of a thousand cells makes no garbage.
func TestNoAllocs(t *testing.T) {
	for _, s := range realistic(t) {
		c := cellOf(t, s)
		green := colour.XY{X: 0.17, Y: 0.797} // out of reach
		var d emitters.Drives
		var light colour.XYZ
		for name, f := range map[string]func(){
			"Brightest":        func() { d, _, _ = c.Brightest(white) },
			"Solve in reach":   func() { d = c.Solve(white, 0.5, white).Drives },
			"Solve off limits": func() { d = c.Solve(green, 0.5, white).Drives },
			"Light":            func() { light = c.Light(d) },
		} {
			require.Zero(t, testing.AllocsPerRun(100, f), "%s of %s", name, s.name)
		}
		_ = light
	}
}

// BenchmarkSolve solves the same targets by the package and by gonum's simplex. The
// metric times-gonum is how many times faster the package is in this run.
func BenchmarkSolve(b *testing.B) {
	for _, s := range realistic(b) {
		if s.slim {
			continue
		}
		c := cellOf(b, s)
		r := rand.New(rand.NewPCG(31, 32))
		targets := make([]colour.XY, 256)
		for i := range targets {
			targets[i] = inGamut(r, c)
		}
		own := 0.0
		b.Run(s.name+"/own", func(b *testing.B) {
			b.ReportAllocs()
			i := 0
			for b.Loop() {
				c.Solve(targets[i%len(targets)], 0.5, white)
				i++
			}
			own = float64(b.Elapsed().Nanoseconds()) / float64(b.N)
			b.ReportMetric(1e9/own, "solves/s")
		})
		b.Run(s.name+"/gonum", func(b *testing.B) {
			b.ReportAllocs()
			i := 0
			for b.Loop() {
				_, _, _ = simplexMost(s.emitters, targets[i%len(targets)])
				i++
			}
			each := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
			b.ReportMetric(1e9/each, "solves/s")
			if own > 0 {
				b.ReportMetric(each/own, "times-gonum")
			}
		})
	}
}

func BenchmarkLight(b *testing.B) {
	for _, s := range realistic(b) {
		c := cellOf(b, s)
		d, _, _ := c.Brightest(s.emitters[0].Full.XY())
		b.Run(s.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				c.Light(d)
			}
		})
	}
}

func BenchmarkNewCell(b *testing.B) {
	for _, s := range realistic(b) {
		b.Run(s.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, _ = emitters.NewCell(s.emitters)
			}
		})
	}
}
