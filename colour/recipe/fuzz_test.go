package recipe_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/lamp"
	"linkboy/colour/recipe"
	"linkboy/colour/spectra"
)

// FuzzSolve makes lamps of any emitters, 3 bytes each (peak, width, lumens), and asks
// every policy of them.
func FuzzSolve(f *testing.F) {
	f.Add([]byte{}, 0.3, 0.3, 0.5)
	f.Add([]byte{100, 18, 99, 65, 33, 120, 35, 20, 80}, 0.3127, 0.3290, 1.0)
	f.Add([]byte{100, 18, 99, 65, 33, 120, 35, 20, 80, 74, 105, 200}, 0.17, 0.797, 0.5)
	f.Add([]byte{100, 18, 99, 100, 18, 99, 100, 18, 98, 101, 18, 99}, 0.69, 0.31, 1e-9)
	f.Add([]byte{0, 0, 0, 255, 255, 255}, 0.4476, 0.4074, math.Inf(1))
	f.Fuzz(func(t *testing.T, raw []byte, x, y, level float64) {
		typ := lampOf(raw)
		asked := colour.XY{X: x, Y: y}
		for _, p := range policies {
			rec, err := recipe.New(typ, typ.Modes[0], p, reference())
			if err != nil {
				continue
			}
			s := rec.Solve(asked, colour.Level(level), white)
			for _, d := range s.Drives {
				require.True(t, d >= 0 && d <= 1, "%s: %v", p, s.Drives)
			}
			for _, v := range []float64{s.Lumens, s.Most, s.DeltaUV, rec.Full(asked, white)} {
				require.True(t, v >= 0 && !math.IsInf(v, 0), "%s: %+v", p, s)
			}
			require.False(t, math.IsNaN(rec.Stops(s, white)))
			if p == recipe.Truest {
				want, got := rec.Cell().Solve(asked, colour.Level(level), white), rec.Cell().Light(s.Drives)
				light := rec.Cell().Light(want.Drives)
				size := light.X + light.Y + light.Z
				require.InDelta(t, light.X, got.X, 1e-4*size)
				require.InDelta(t, light.Y, got.Y, 1e-4*size)
				require.InDelta(t, light.Z, got.Z, 1e-4*size)
			}
		}
	})
}

// lampOf makes a lamp type of up to 8 emitters.
func lampOf(raw []byte) *lamp.Type {
	typ := &lamp.Type{Name: "any", Cells: 1, Modes: []*lamp.Mode{{Name: "only", Cells: 1}}}
	for part := range slices.Chunk(raw, 3) {
		if len(part) < 3 || len(typ.Emitters) == 8 {
			break
		}
		typ.Emitters = append(typ.Emitters, lamp.Emitter{
			Spectrum: spectra.Ohno(400+float64(part[0])*1.2, 5+float64(part[1])),
			Lumens:   math.Exp2(float64(part[2]) / 16),
		})
	}
	return typ
}
