package colour_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// The _css columns of the table were computed by another implementation with
// the matrices of CSS Color 4; L, a, b are Ottosson's own table (2020), to 3
// decimals, or the colour-science library's tests, both with the first
// published matrices, which differ by up to 1.3e-4.
func TestOKLabEveryRow(t *testing.T) {
	for _, r := range readTable(t, "oklab_pairs.csv") {
		c := colour.XYZ{X: r.Num(t, "X"), Y: r.Num(t, "Y"), Z: r.Num(t, "Z")}
		o := c.OKLab()
		require.InDelta(t, r.Num(t, "L_css"), o.L, 6e-9)
		require.InDelta(t, r.Num(t, "a_css"), o.A, 6e-9)
		require.InDelta(t, r.Num(t, "b_css"), o.B, 6e-9)
		require.InDelta(t, r.Num(t, "L"), o.L, 5e-4+1.4e-4)
		require.InDelta(t, r.Num(t, "a"), o.A, 5e-4+1.4e-4)
		require.InDelta(t, r.Num(t, "b"), o.B, 5e-4+1.4e-4)

		back := o.XYZ()
		require.InDelta(t, c.X, back.X, 1e-14)
		require.InDelta(t, c.Y, back.Y, 1e-14)
		require.InDelta(t, c.Z, back.Z, 1e-14)
	}
}

func TestOKLabIsNeutralAtD65(t *testing.T) {
	o := colour.D65.XYZ(1).OKLab()
	require.InDelta(t, 1, o.L, 1e-14)
	require.InDelta(t, 0, o.A, 1e-14)
	require.InDelta(t, 0, o.B, 1e-14)
}
