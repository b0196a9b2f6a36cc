package photometry_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
)

// sink keeps the compiler from dropping what is measured.
var sink float64

// perTexel are the functions that a computation of a place asks for every
// point and source, at a place that changes from call to call.
func perTexel(t testing.TB) []struct {
	name string
	run  func(d float64)
} {
	cosine, angles := newBeam(t, 1000, 25), newBeamField(t, 1000, 25, 35)
	tube, disc, panel := newTube(t, 1000, 1.15), newDisc(t, 1000, 0.3), newPanel(t, 1000, 0.3, 0.6)
	return []struct {
		name string
		run  func(d float64)
	}{
		{"inverse square", func(d float64) { sink += float64(photometry.InverseSquare(1000, 0.8, d)) }},
		{"beam of one angle", func(d float64) { sink += float64(photometry.InverseSquare(cosine.At(1/d), 0.8, d)) }},
		{"beam of two angles", func(d float64) { sink += float64(photometry.InverseSquare(angles.At(1/d), 0.8, d)) }},
		{"line facing", func(d float64) { sink += float64(tube.Facing(d, 0.2)) }},
		{"line on", func(d float64) { sink += float64(tube.On(d, 0.2, 0.6, 0.8)) }},
		{"disc facing", func(d float64) { sink += float64(disc.Facing(d)) }},
		{"disc beside", func(d float64) { sink += float64(disc.Beside(d, 0.2)) }},
		{"panel facing", func(d float64) { sink += float64(panel.Facing(d, 0.1, 0.2)) }},
		{"panel side", func(d float64) { sink += float64(panel.Side(d, 0.1, 0.2)) }},
	}
}

// BenchmarkPerTexel has the bare inverse square first, as the baseline.
func BenchmarkPerTexel(b *testing.B) {
	for _, f := range perTexel(b) {
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			d := 1.0
			for b.Loop() {
				f.run(d)
				if d += 1e-3; d > 2 {
					d = 1
				}
			}
		})
	}
}

// BenchmarkNewBeamField is asked for once a lamp; its integral beside a cosine
// power's closed form.
func BenchmarkNewBeamField(b *testing.B) {
	b.Run("one angle", func(b *testing.B) {
		for b.Loop() {
			beam, _ := photometry.NewBeam(1000, 25)
			sink += float64(beam.Peak)
		}
	})
	b.Run("two angles", func(b *testing.B) {
		for b.Loop() {
			beam, _ := photometry.NewBeamField(1000, 25, 35)
			sink += float64(beam.Peak)
		}
	})
}

func TestNoAllocations(t *testing.T) {
	for _, f := range perTexel(t) {
		require.Zero(t, testing.AllocsPerRun(100, func() { f.run(1.5) }), f.name)
	}
}
