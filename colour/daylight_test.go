package colour_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// The table holds the CIE 015:2018 polynomials; three of its rows are also the
// stored values of the colour-science library 0.4.6. Its CCT and Duv come from
// another implementation of the nearest-point search.
func TestDaylightEveryRow(t *testing.T) {
	for _, r := range readTable(t, "cct_daylight_locus.csv") {
		kelvin := r.Num(t, "T_nominal_K")
		p, err := colour.Daylight(colour.Kelvin(kelvin))
		require.NoError(t, err)
		require.InDelta(t, r.Num(t, "x"), p.X, 6e-10, "%v K", kelvin)
		require.InDelta(t, r.Num(t, "y"), p.Y, 6e-10, "%v K", kelvin)
		c, err := p.CCT()
		require.NoError(t, err)
		require.InDelta(t, r.Num(t, "CCT_planck"), float64(c.T), 0.006, "%v K", kelvin)
		require.InDelta(t, r.Num(t, "Duv"), float64(c.Duv), 6e-7, "%v K", kelvin)
	}
}

func TestDaylightRange(t *testing.T) {
	for _, bad := range []colour.Kelvin{3999, 25001, 0, colour.Kelvin(math.NaN())} {
		_, err := colour.Daylight(bad)
		requireMend(t, err)
	}
}
