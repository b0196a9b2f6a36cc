package compile_test

import (
	"testing"

	"linkboy/colour/recipe"
	"linkboy/cues"
)

// BenchmarkLookByPolicy compiles a look of 1000 cells on two types of lamp, no cell like
// another, by each policy and matched; times-brightest is against brightest in the same run.
func BenchmarkLookByPolicy(b *testing.B) {
	base := 0.0
	for _, name := range []string{"brightest", "truest", "camera", "match"} {
		r := newRig(b)
		for range 50 {
			r.lamp("tube-rgbww-4ft", "16-cell-16-bit", "all")
		}
		for range 25 {
			r.lamp("tube-rgb-2ft", "8-cell-16-bit", "all")
		}
		look := r.look("a", cues.Paint{On: "all", Pattern: cues.Gradient, Colours: named("lead", "second"), Level: share(0.6)})
		look.Wears = "tide"
		if name == "match" {
			r.loc.Group("all").Match = cues.MatchGroup
		} else {
			look.Policy = recipe.Policy(name)
		}
		p := r.place()
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if s, _, _ := p.Still(look); s == nil {
					b.Fatal("no still")
				}
			}
			each := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
			if name == "brightest" {
				base = each
			}
			b.ReportMetric(each/base, "times-brightest")
		})
	}
}
