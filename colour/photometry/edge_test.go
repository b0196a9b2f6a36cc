package photometry_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
)

// TestAlwaysALight: at every place, also on the source and far beyond a set,
// there is some light or none, and never more than a surface so bright can give.
func TestAlwaysALight(t *testing.T) {
	strip, disc, panel := newStrip(t, 1600, 1), newDisc(t, 1000, 0.5), newPanel(t, 1000, 1, 1)
	zero, _ := photometry.NewDisc(0, 0.5)
	places := []float64{0, 1e-300, 1e-12, 1e-6, 0.25, 0.5, 1, 1e3, 1e9}
	for _, d := range append([]float64{-1}, places...) {
		for _, at := range places {
			for _, x := range []float64{at, -at} {
				for name, e := range map[string]photometry.Lux{
					"point": photometry.InverseSquare(1000, x, d), "dark point": photometry.InverseSquare(0, 0, d),
					"facing": strip.Facing(d, x), "on": strip.On(d, x, 0.6, 0.8), "on, back": strip.On(d, x, -0.6, 0.8), "on, along": strip.On(d, x, 0, -1),
				} {
					require.False(t, math.IsNaN(float64(e)) || math.IsInf(float64(e), 0) || e < 0, "%s: %v lx at %v, %v", name, e, d, x)
				}
				for name, e := range map[string]float64{
					"disc": float64(disc.Beside(d, x) / photometry.Lux(disc.Luminance)), "axis": float64(disc.Facing(d) / photometry.Lux(disc.Luminance)),
					"dark disc": float64(zero.Beside(d, x)),
					"panel":     float64(panel.Facing(d, x, 0) / photometry.Lux(panel.Luminance)), "corner": float64(panel.Facing(d, x, x) / photometry.Lux(panel.Luminance)),
					"side": float64(panel.Side(d, x, 0.5) / photometry.Lux(panel.Luminance)),
				} {
					require.True(t, e >= 0 && e <= math.Pi*(1+1e-9), "%s: %v of π at %v, %v", name, e/math.Pi, d, x)
				}
			}
		}
	}
	// In the plane of a disc, at its rim, half of the view is filled.
	require.InDelta(t, math.Pi/2, float64(disc.Beside(0, 0.5)/photometry.Lux(disc.Luminance)), 1e-6)
}
