package photometry_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
)

// TestPanelNearField checks the panel of 0.3 by 0.6 m and 10 000 lm as a disc of its
// area, computed independently: 17 684 cd/m2.
func TestPanelNearField(t *testing.T) {
	p := newPanel(t, 10000, 0.3, 0.6)
	require.InDelta(t, 17684, float64(p.Luminance), 0.5)
	for d, want := range map[float64]float64{0.5: 10358, 1: 3011, 2: 785} {
		require.InDelta(t, want, float64(p.Disc().Facing(d)), 0.6, "disc at %v m", d)
	}
}

// TestDiscInForPanel holds the word of Panel.Disc: within 1.5 % beyond 2 times
// the longer side, for panels up to 1 : 2.
func TestDiscInForPanel(t *testing.T) {
	for _, width := range []float64{0.3, 0.45, 0.6} {
		p := newPanel(t, 10000, width, 0.6)
		for d := 1.2; d < 20; d *= 1.2 {
			within(t, float64(p.Facing(d, 0, 0)), float64(p.Disc().Facing(d)), 0.015, "disc")
		}
	}
}

// TestDiscBeside checks the offset disc by Lambert's polygon with many sides,
// and on its axis.
func TestDiscBeside(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for range 200 {
		s := newDisc(t, 1000, 0.05+rng.Float64())
		d, a := 0.02+3*rng.Float64(), 4*rng.Float64()
		const sides = 4000
		// Of the same area as the circle, so that sides cost little.
		r := s.Radius * math.Sqrt(2*math.Pi/sides/math.Sin(2*math.Pi/sides))
		polygon := make([]vector, sides)
		for i := range polygon {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
			polygon[i] = vector{r*cos - a, r * sin, d}
		}
		within(t, float64(s.Luminance)*lambert(polygon, vector{0, 0, 1}), float64(s.Beside(d, a)), 2e-5, "disc")
		within(t, float64(s.Facing(d)), float64(s.Beside(d, 0)), 1e-12, "on the axis")
		require.Equal(t, s.Beside(d, a), s.Beside(d, -a))
	}
}

// lambert is π times the factor of a polygon at a receiver at the origin, wholly
// before it: half the sum of the angles of its sides times the part of each
// side's normal along the receiver's [Lambert].
func lambert(polygon []vector, normal vector) float64 {
	var sum float64
	for i, v := range polygon {
		w := polygon[(i+1)%len(polygon)]
		side := v.cross(w)
		sum += math.Atan2(side.length(), v.dot(w)) * side.unit().dot(normal) / 2
	}
	return math.Abs(sum)
}

// corners returns the corners of a panel seen from a receiver, clipped on the
// left at from.
func corners(p photometry.Panel, d, x, y, from float64) []vector {
	left, right := max(-p.Width/2-x, from), p.Width/2-x
	low, high := -p.Height/2-y, p.Height/2-y
	return []vector{{left, low, d}, {right, low, d}, {right, high, d}, {left, high, d}}
}

// TestPanelIsExact checks both receivers by Lambert's polygon and by the plain
// sum over the panel.
func TestPanelIsExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	for i := range 300 {
		p := newPanel(t, 1000, 0.1+rng.Float64(), 0.1+rng.Float64())
		d, x, y := 0.1+3*rng.Float64(), 3*(rng.Float64()-0.5), 3*(rng.Float64()-0.5)
		luminance := float64(p.Luminance)

		facing := float64(p.Facing(d, x, y))
		within(t, luminance*lambert(corners(p, d, x, y, math.Inf(-1)), vector{0, 0, 1}), facing, 1e-9, "polygon, facing")
		require.InDelta(t, facing, float64(p.Facing(d, -x, y)), 1e-9*facing, "mirrored")

		side := float64(p.Side(d, x, y))
		if p.Width/2-x <= 0 {
			require.Zero(t, side, "all of it is behind")
		} else {
			require.InDelta(t, luminance*lambert(corners(p, d, x, y, 0), vector{1, 0, 0}), side, 1e-9*luminance, "polygon, side")
		}
		if i%30 == 0 {
			require.InDelta(t, sumOver(p, d, x, y, vector{0, 0, 1}), facing, 1e-6*facing, "sum, facing")
			require.InDelta(t, sumOver(p, d, x, y, vector{1, 0, 0}), side, 1e-3*side+1e-9*luminance, "sum, side")
		}
	}
}

// sumOver adds up the light of small pieces of the panel.
func sumOver(p photometry.Panel, d, x, y float64, normal vector) float64 {
	const pieces = 12 // a kink where the receiver's plane cuts the panel
	return integralIn(pieces, func(px float64) float64 {
		return integralIn(pieces, func(py float64) float64 {
			to := vector{px - x, py - y, d}
			r := to.length()
			return float64(photometry.InverseSquare(photometry.Candela(float64(p.Luminance)*d/r), to.dot(normal)/r, r))
		}, -p.Height/2, p.Height/2)
	}, -p.Width/2, p.Width/2)
}

// TestPublishedFactors: a unit square seen from over its corner at unit height has
// a factor of 0.1385, and 0.2395 over its middle from half that height (the four
// quarters alike: 4 times 0.1385 at their scale); beside its edge 0.0558
// (the catalogue's formulae at X = Y = 1, by hand).
func TestPublishedFactors(t *testing.T) {
	p := photometry.Panel{Luminance: 1, Width: 1, Height: 1}
	corner := 2 / math.Sqrt2 * math.Atan(1/math.Sqrt2) / (2 * math.Pi)
	require.InDelta(t, 0.1385, corner, 0.0001)
	require.InDelta(t, math.Pi*corner, float64(p.Facing(1, -0.5, -0.5)), 1e-12)
	require.InDelta(t, math.Pi*4*corner, float64(p.Facing(0.5, 0, 0)), 1e-12)
	side := (math.Atan(1) - 1/math.Sqrt2*math.Atan(1/math.Sqrt2)) / (2 * math.Pi)
	require.InDelta(t, 0.0557, side, 0.0001)
	require.InDelta(t, math.Pi*side, float64(p.Side(1, -0.5, -0.5)), 1e-12)
}

// TestSurfacesFarAndNear: far away they are points, and close by they fill the
// view: π L, and half of that on a receiver square to them.
func TestSurfacesFarAndNear(t *testing.T) {
	s, p := newDisc(t, 1000, 0.3), newPanel(t, 1000, 0.4, 0.2)
	for _, d := range []float64{20, 100, 400} {
		within(t, float64(photometry.InverseSquare(s.Candela(), 1, d)), float64(s.Facing(d)), 0.1/(d*d), "disc")
		within(t, float64(photometry.InverseSquare(p.Candela(), 1, d)), float64(p.Facing(d, 0, 0)), 0.1/(d*d)+1e-10, "panel")
		r := math.Hypot(d, d)
		point := photometry.InverseSquare(s.Candela()*photometry.Candela(d/r), d/r, r)
		within(t, float64(point), float64(s.Beside(d, d)), 0.1/(d*d)+1e-10, "disc at 45 degrees")
		point = photometry.InverseSquare(p.Candela()*photometry.Candela(d/r), d/r, r)
		within(t, float64(point), float64(p.Side(d, -d, 0)), 0.1/(d*d)+1e-8, "side of a panel at 45 degrees")
	}
	full := math.Pi * float64(p.Luminance)
	within(t, full, float64(p.Facing(1e-6, 0, 0)), 1e-4, "panel")
	within(t, full/2, float64(p.Side(1e-6, 0, 0)), 1e-4, "side")
	within(t, math.Pi*float64(s.Luminance), float64(s.Facing(1e-6)), 1e-9, "disc")
	within(t, math.Pi*float64(s.Luminance), float64(s.Beside(1e-6, 0.1)), 1e-9, "disc, not in its middle")
	require.InDelta(t, 0, float64(s.Beside(1e-6, 0.5)), 1e-6, "beside it, in its plane")
	last := photometry.Lux(math.Inf(1))
	for d := 0.01; d < 50; d *= 1.1 {
		require.Less(t, p.Facing(d, 0.1, 0.05), last)
		last = p.Facing(d, 0.1, 0.05)
	}
}

func TestSurfaceErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, bad := range [][2]float64{{-1, 1}, {100, 0}, {100, -1}, {nan, 1}, {100, nan}, {inf, 1}, {1, inf}} {
		_, err := photometry.NewDisc(photometry.Lumens(bad[0]), bad[1])
		require.Error(t, err)
		_, err = photometry.NewPanel(photometry.Lumens(bad[0]), bad[1], 1)
		require.Error(t, err)
		_, err = photometry.NewPanel(photometry.Lumens(bad[0]), 1, bad[1])
		require.Error(t, err)
	}
	_, err := photometry.NewPanel(1000, 0, 1)
	require.EqualError(t, err, "a panel of 1000 lm and 0 x 1 m: it has a size and some light or none; give sides above 0 in metres and lumens of 0 and up")
	require.Zero(t, photometry.Disc{}.Facing(1))
	require.Zero(t, photometry.Panel{}.Facing(1, 0, 0))
}
