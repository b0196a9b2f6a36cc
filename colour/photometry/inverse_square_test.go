package photometry_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
)

// TestInverseSquare checks a set-up computed independently: 10 000 cd, the lamp at
// 2.5 m, the face at 1.6 m and 3 m away.
func TestInverseSquare(t *testing.T) {
	d, elevation := photometry.Throw(3, 2.5, 1.6)
	require.InDelta(t, 3.132, d, 0.0005)
	require.InDelta(t, 16.7, float64(elevation), 0.05)
	require.InDelta(t, 1019, float64(photometry.InverseSquare(10000, 1, d)), 0.6, "facing the lamp")
	require.InDelta(t, 976, float64(photometry.InverseSquare(10000, elevation.Cos(), d)), 0.6, "on a vertical plane")
	require.InDelta(t, 293, float64(photometry.InverseSquare(10000, (90-elevation).Cos(), d)), 0.6, "on a horizontal plane")
	require.Zero(t, photometry.InverseSquare(10000, -0.5, d), "from behind")
	require.InDelta(t, 10000, float64(photometry.CandelaFor(photometry.InverseSquare(10000, 0.3, d), 0.3, d)), 1e-9)
}

// TestFalloffStops checks the same table's distances.
func TestFalloffStops(t *testing.T) {
	require.InDelta(t, -2.00, photometry.FalloffStops(1, 2), 1e-12, "doubling")
	require.InDelta(t, -1.00, photometry.FalloffStops(1, 1.414), 0.005, "x1.414")
	require.InDelta(t, -0.64, photometry.FalloffStops(2, 2.5), 0.005, "2 to 2.5 m")
}

// TestThrowOfAKeyStand: a key 8 to 10 ft up and 7 to 8 ft out has 10.6 to 12.8
// ft of throw (common practice, no source).
func TestThrowOfAKeyStand(t *testing.T) {
	near, _ := photometry.Throw(7, 8, 0)
	far, _ := photometry.Throw(8, 10, 0)
	require.InDelta(t, 10.6, near, 0.05)
	require.InDelta(t, 12.8, far, 0.05)
	_, low := photometry.Throw(3, 1, 1.6)
	require.Negative(t, float64(low), "a lamp under its target")
	straight, up := photometry.Throw(0, 3, 1)
	require.InDelta(t, 2, straight, 1e-12)
	require.InDelta(t, 90, float64(up), 1e-12, "straight over it")
}

// TestShadowTop checks a case computed independently, and its limits.
func TestShadowTop(t *testing.T) {
	require.InDelta(t, 1.45, photometry.ShadowTop(2.5, 1.8, 2, 3), 1e-12)
	require.InDelta(t, 1.8, photometry.ShadowTop(2.5, 1.8, 2, 2), 1e-12, "at the person")
	require.InDelta(t, 0, photometry.ShadowTop(2.5, 1.8, 2, 2*2.5/0.7), 1e-12, "where the shadow ends")
}

// TestFootCandles: one foot-candle is 10.764 lx, and 120 lx are 11.15 fc.
func TestFootCandles(t *testing.T) {
	require.InDelta(t, 10.764, photometry.LuxPerFootCandle, 0.0005)
	require.InDelta(t, 11.15, photometry.Lux(120).FootCandles(), 0.005)
}
