package recipe_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/recipe"
)

// The reference whites are the black bodies up to 4000 K and daylight from 5000 K, by the
// loci of package colour, which are checked against CIE 15 and Ohno 2014 there.
func TestWhitesAreThoseOfTheStandards(t *testing.T) {
	for _, temp := range []colour.Kelvin{1000, 1800, 2856, 3200, 4000} {
		require.Less(t, recipe.WhiteLight(1e6/float64(temp)).XYZ().XY().UV().Distance(must(colour.Planckian(temp)).UV()), 1e-5, "%g K", temp)
	}
	for _, temp := range []colour.Kelvin{5000, 5600, 6504, 10000, 25000} {
		// The spectrum lies 1.1e-4 in y below the polynomial (spectra.DaylightSPD).
		require.Less(t, recipe.WhiteLight(1e6/float64(temp)).XYZ().XY().UV().Distance(must(colour.Daylight(temp)).UV()), 2e-4, "%g K", temp)
	}
	for mired := 40.0; mired <= 1000; mired += 3.7 {
		require.InEpsilon(t, 1, recipe.WhiteLight(mired).XYZ().Y, 1e-12)
		require.Less(t, recipe.WhiteLight(mired).XYZ().XY().UV().Distance(recipe.WhiteLight(min(mired+0.01, 1000)).XYZ().XY().UV()), 1e-4, "no step at %g", mired)
	}
}

// On the black bodies, and clear of where daylight sets in, the place is the correlated colour temperature and the distance Duv,
// by Ohno's method in package colour.
func TestPlaceIsTheColourTemperature(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		mired := 260 + 600*r.Float64()
		duv := colour.Duv(0.03 * (2*r.Float64() - 1))
		p, err := colour.CCT{T: colour.Kelvin(1e6 / mired), Duv: duv}.XY()
		if err != nil || !p.Valid() {
			continue
		}
		got, distance, _ := recipe.Place(p)
		require.InDelta(t, mired, got, 0.2, "%g mired, Duv %g", mired, duv)
		require.InDelta(t, math.Abs(float64(duv)), distance, 3e-5, "%g mired, Duv %g", mired, duv)
	}
}

// Whites count in full within 0.0054, colours from 0.05, and nothing jumps between.
func TestPlaceMovesWithoutAStep(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(3, 4))
	const step = 1e-6
	whites, colours := 0, 0
	for range 20000 {
		p := anyColour(r)
		if r.IntN(2) == 0 {
			p = recipe.WhiteLight(40 + 960*r.Float64()).XYZ().XY()
			p.X += 0.05 * r.NormFloat64()
			p.Y += 0.05 * r.NormFloat64()
		}
		mired, distance, share := recipe.Place(p)
		turn := 2 * math.Pi * r.Float64()
		q := colour.XY{X: p.X + step*math.Cos(turn), Y: p.Y + step*math.Sin(turn)}
		nextMired, _, nextShare := recipe.Place(q)
		require.True(t, share >= 0 && share <= 1)
		require.InDelta(t, share, nextShare, 200*step, "%v", p)
		switch {
		case distance <= recipe.WhiteWithin:
			require.Equal(t, 1.0, share)
			whites++
		case distance >= recipe.ColourBeyond:
			require.Zero(t, share)
			colours++
		}
		if share > 0 {
			require.InDelta(t, mired, nextMired, 0.2, "%v", p)
		}
	}
	require.Greater(t, whites, 100)
	require.Greater(t, colours, 1000)
}

func TestPlaceOfNothing(t *testing.T) {
	for _, p := range []colour.XY{{}, {X: math.NaN()}, {X: math.Inf(1), Y: 1}, {X: 1e300, Y: -1e300}} {
		_, _, share := recipe.Place(p)
		require.Zero(t, share)
	}
}
