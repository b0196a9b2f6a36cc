package colour_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// The table was made by another implementation (1 nm sums, c2 = 1.4388e-2); its
// lib_ columns come from the colour-science library 0.4.6, whose sums stop at
// 780 nm: 4.8e-5 off in u at 1000 K, below 5e-6 from 2000 K up.
func TestPlanckianEveryRow(t *testing.T) {
	for _, r := range readTable(t, "cct_planckian_locus.csv") {
		kelvin := r.Num(t, "T_K")
		p, err := colour.Planckian(colour.Kelvin(kelvin))
		require.NoError(t, err)
		require.InDelta(t, r.Num(t, "x"), p.X, 6e-8, "%v K", kelvin)
		require.InDelta(t, r.Num(t, "y"), p.Y, 6e-8, "%v K", kelvin)
		u, v := colour.UV60(p)
		library := 5.5e-6
		if kelvin < 2000 {
			library = 4.9e-5
		}
		require.InDelta(t, r.Num(t, "lib_u"), u, library, "%v K", kelvin)
		require.InDelta(t, r.Num(t, "lib_v"), v, library, "%v K", kelvin)
	}
}

// Robertson (1968) as printed in Wyszecki & Stiles, Color Science, 2nd ed.,
// Table 1(3.11): the locus to five decimals, and the slope of the isotherm,
// which is the direction in which Duv is measured. His slopes are rounded and
// come from the colour-matching functions of the time, to about 1 part in 1000.
func TestRobertsonsLines(t *testing.T) {
	for _, r := range readTable(t, "cct_robertson_isotherms.csv") {
		mired := colour.Mired(r.Num(t, "mired"))
		if mired == 0 {
			continue // infinite temperature
		}
		on, err := colour.Planckian(mired.Kelvin())
		require.NoError(t, err)
		u, v := colour.UV60(on)
		require.InDelta(t, r.Num(t, "u"), u, 6e-6, "%v mired", mired)
		require.InDelta(t, r.Num(t, "v"), v, 6e-6, "%v mired", mired)

		off, err := colour.CCT{T: mired.Kelvin(), Duv: 0.01}.XY()
		require.NoError(t, err)
		du, dv := uv60Step(on, off)
		require.InDelta(t, 0.01, math.Hypot(du, dv), 1e-12)
		require.InEpsilon(t, r.Num(t, "slope_t"), dv/du, 2e-3, "%v mired", mired)
		require.Positive(t, dv, "Duv is positive above the locus")
	}
}

func uv60Step(from, to colour.XY) (du, dv float64) {
	u0, v0 := colour.UV60(from)
	u1, v1 := colour.UV60(to)
	return u1 - u0, v1 - v0
}

func TestInterpolatedLocusIsTheSummedOne(t *testing.T) {
	for m := colour.Mired(1); m < 1000; m += colour.LocusStep / 4 {
		require.Less(t, colour.LocusError(m), 2e-10, "%v mired", m)
	}
}

func TestPlanckianRange(t *testing.T) {
	for _, good := range []colour.Kelvin{1000, 1e6} {
		_, err := colour.Planckian(good)
		require.NoError(t, err)
	}
	for _, bad := range []colour.Kelvin{0, -5600, 5.6, 999.9, 1.0001e6, colour.Kelvin(math.NaN()), colour.Kelvin(math.Inf(1))} {
		_, err := colour.Planckian(bad)
		requireMend(t, err)
	}
	_, err := colour.Planckian(5.6)
	require.ErrorContains(t, err, "5600 K is perhaps meant")
}

// requireMend requires an error with all its three parts.
func requireMend(t *testing.T, err error) {
	t.Helper()
	var e *colour.Error
	require.ErrorAs(t, err, &e)
	require.NotEmpty(t, e.What)
	require.NotEmpty(t, e.Why)
	require.NotEmpty(t, e.Mend)
}

func TestMired(t *testing.T) {
	require.InDelta(t, 178.571428571, float64(colour.Kelvin(5600).Mired()), 1e-9)
	require.InDelta(t, 5600, float64(colour.Kelvin(5600).Mired().Kelvin()), 1e-9)
}
