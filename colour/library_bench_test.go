package colour_test

import (
	"testing"

	colorful "github.com/lucasb-eyer/go-colorful"

	"linkboy/colour"
)

// BenchmarkAgainstLibrary sets the conversions that run most beside those of a
// general-purpose colour library (go-colorful 1.4.1), on the same colours.
func BenchmarkAgainstLibrary(b *testing.B) {
	const count = 256
	var colours [count]colour.XYZ
	for i := range colours {
		k := float64(i+1) / count
		colours[i] = colour.XYZ{X: 0.9 * k, Y: k, Z: 1.1 * k * k}
	}
	var sink float64
	b.Run("oklab/own", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			sink += colours[i%count].OKLab().L
		}
	})
	b.Run("oklab/library", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			l, _, _ := colorful.XyzToOkLab(colours[i%count].X, colours[i%count].Y, colours[i%count].Z)
			sink += l
		}
	})
	b.Run("oklab back/own", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			c := colours[i%count]
			sink += colour.OKLab{L: c.Y, A: c.X - 0.5, B: c.Z - 0.5}.XYZ().Y
		}
	})
	b.Run("oklab back/library", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			c := colours[i%count]
			_, y, _ := colorful.OkLabToXyz(c.Y, c.X-0.5, c.Z-0.5)
			sink += y
		}
	})
	b.Run("uv/own", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			sink += colours[i%count].XY().UV().U
		}
	})
	b.Run("uv/library", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			c := colours[i%count]
			_, u, _ := colorful.XyzToLuv(c.X, c.Y, c.Z) // u'v' is not public there; this is the nearest
			sink += u
		}
	})
	_ = sink
}
