package difference_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/difference"
)

// Three samples under three whites, from the tests of the colour-science
// library 0.4.6, to its 8 decimals.
func TestLabAndLuvEveryRow(t *testing.T) {
	for _, r := range readTable(t, "lab_luv_uv_pairs.csv") {
		c, white := r.xyz(t, ""), r.white(t)
		lab := difference.LabOf(c, white)
		require.InDelta(t, r.Num(t, "L_ab"), lab.L, 6e-9, r)
		require.InDelta(t, r.Num(t, "a"), lab.A, 6e-9, r)
		require.InDelta(t, r.Num(t, "b"), lab.B, 6e-9, r)
		requireXYZ(t, c, lab.XYZ(white), 1e-15)

		luv := difference.LuvOf(c, white)
		require.InDelta(t, r.Num(t, "L_uv"), luv.L, 6e-9, r)
		require.InDelta(t, r.Num(t, "u_star"), luv.U, 6e-9, r)
		require.InDelta(t, r.Num(t, "v_star"), luv.V, 6e-9, r)
		requireXYZ(t, c, luv.XYZ(white), 1e-15)
	}
}

// CIE 015:2018: the white is L* = 100 and grey, in any unit; the curve meets
// its straight part at L* = 8 without a step.
func TestLabFixedPoints(t *testing.T) {
	for _, unit := range []float64{1, 100, 12345} {
		white := colour.D65.XYZ(unit)
		require.Equal(t, difference.Lab{L: 100}, difference.LabOf(white, white))
		require.Equal(t, difference.Luv{L: 100}, difference.LuvOf(white, white))
		require.Equal(t, difference.Lab{}, difference.LabOf(colour.XYZ{}, white))
		require.Equal(t, difference.Luv{}, difference.LuvOf(colour.XYZ{}, white))
	}
	const join = 216.0 / 24389
	white := colour.D65.XYZ(1)
	below := difference.LabOf(white.Scale(join), white).L
	above := difference.LabOf(white.Scale(join*(1+1e-12)), white).L
	require.InDelta(t, 8, below, 1e-13)
	require.InDelta(t, 8, above, 1e-10)
}

// A white that is none has no colours under it.
func TestNoWhite(t *testing.T) {
	c := colour.XYZ{X: 0.2, Y: 0.3, Z: 0.4}
	for _, white := range []colour.XYZ{{}, {X: 1, Y: 1}, {X: 1, Y: -1, Z: 1}} {
		require.Zero(t, difference.LabOf(c, white))
		require.Zero(t, difference.LuvOf(c, white))
		require.Zero(t, difference.Lab{L: 50}.XYZ(white))
		require.Zero(t, difference.Luv{L: 50}.XYZ(white))
	}
}

func TestHueAndChroma(t *testing.T) {
	for hue, p := range map[float64][2]float64{0: {3, 0}, 90: {0, 3}, 180: {-3, 0}, 270: {0, -3}} {
		require.InDelta(t, hue, difference.Lab{A: p[0], B: p[1]}.Hue(), 1e-12)
		require.InDelta(t, hue, difference.Luv{U: p[0], V: p[1]}.Hue(), 1e-12)
		require.InDelta(t, 3, difference.Lab{A: p[0], B: p[1]}.Chroma(), 1e-12)
		require.InDelta(t, 3, difference.Luv{U: p[0], V: p[1]}.Chroma(), 1e-12)
	}
	require.Less(t, difference.Lab{A: 1, B: -1e-300}.Hue(), 360.0)
}

func requireXYZ(t testing.TB, want, got colour.XYZ, within float64) {
	t.Helper()
	require.InDelta(t, want.X, got.X, within)
	require.InDelta(t, want.Y, got.Y, within)
	require.InDelta(t, want.Z, got.Z, within)
}
