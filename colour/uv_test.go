package colour_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// The table holds xy, u'v' and uv of XYZ samples (CIE 015:2018 formulae).
func TestUVOfEveryRow(t *testing.T) {
	for _, r := range readTable(t, "lab_luv_uv_pairs.csv") {
		xyz := colour.XYZ{X: r.Num(t, "X"), Y: r.Num(t, "Y"), Z: r.Num(t, "Z")}
		p := xyz.XY()
		require.InDelta(t, r.Num(t, "x"), p.X, 6e-9)
		require.InDelta(t, r.Num(t, "y"), p.Y, 6e-9)
		q := p.UV()
		require.InDelta(t, r.Num(t, "up"), q.U, 6e-9)
		require.InDelta(t, r.Num(t, "vp"), q.V, 6e-9)
		u, v := colour.UV60(p)
		require.InDelta(t, r.Num(t, "u"), u, 6e-9)
		require.InDelta(t, r.Num(t, "v"), v, 6e-9)

		back := q.XY()
		require.InDelta(t, p.X, back.X, 1e-14)
		require.InDelta(t, p.Y, back.Y, 1e-14)
		light := p.XYZ(xyz.Y)
		require.InDelta(t, xyz.X, light.X, 1e-14)
		require.InDelta(t, xyz.Z, light.Z, 1e-14)
	}
}

func TestUVDistanceAndLine(t *testing.T) {
	a, b := colour.UV{U: 0.1, V: 0.2}, colour.UV{U: 0.4, V: 0.6} // a 3-4-5 triangle
	require.InDelta(t, 0.5, a.Distance(b), 1e-15)
	require.Equal(t, a, a.Lerp(b, 0))
	require.InDelta(t, 0.25, a.Distance(a.Lerp(b, 0.5)), 1e-15)
	require.InDelta(t, 1.0, a.Distance(a.Lerp(b, 2)), 1e-15)
}

func TestNoLightHasNoChromaticity(t *testing.T) {
	require.Equal(t, colour.XY{}, colour.XYZ{}.XY())
	require.Equal(t, colour.XYZ{}, colour.XY{X: 0.7, Y: 0}.XYZ(5))
	sum := colour.XYZ{X: 1, Y: 2, Z: 3}.Add(colour.XYZ{X: 1, Y: 1, Z: 1}.Scale(2))
	require.Equal(t, colour.XYZ{X: 3, Y: 4, Z: 5}, sum)
}
