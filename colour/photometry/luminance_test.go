package photometry_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
)

// TestLuminance checks numbers computed independently for 1600 lm from 40 mm by 1.15 m,
// and a grey card, the one under 1000 lx from an article on ISO 2720.
func TestLuminance(t *testing.T) {
	require.InDelta(t, 11070, float64(photometry.FlatLuminance(1600, 0.04*1.15)), 5, "front strip")
	require.InDelta(t, 3524, float64(photometry.CylinderLuminance(1600, 0.04, 1.15)), 0.5, "all round")
	require.InDelta(t, 57.3, float64(photometry.Reflected(1000, photometry.MiddleGrey)), 0.05)
	require.InDelta(t, 6.88, float64(photometry.Reflected(120, photometry.MiddleGrey)), 0.005)
}

// TestTubeInShot: that tube under a key of 120 lx is 10.7 stops over grey; to
// sit 6 over it must come down to 440 cd/m2, 4 %. Computed independently.
func TestTubeInShot(t *testing.T) {
	tube := photometry.FlatLuminance(1600, 0.04*1.15)
	require.InDelta(t, 10.7, tube.StopsOverGrey(120), 0.05)
	six := photometry.OverGrey(6, 120)
	require.InDelta(t, 440, float64(six), 0.5)
	require.InDelta(t, 0.04, float64(six/tube), 0.0005)
	require.InDelta(t, 6, six.StopsOverGrey(120), 1e-12, "there and back")
	require.True(t, math.IsInf(photometry.Luminance(0).StopsOverGrey(120), -1), "dark")
}

// TestLuminanceGivesTheLumens adds up what a surface of that luminance sends
// out: Lambert's law over the hemisphere, and for the tube over its height and
// all round.
func TestLuminanceGivesTheLumens(t *testing.T) {
	overHemisphere := integral(func(a float64) float64 { return math.Cos(a) * 2 * math.Pi * math.Sin(a) }, 0, math.Pi/2)
	require.InDelta(t, 1600, float64(photometry.FlatLuminance(1600, 0.3))*0.3*overHemisphere, 1e-9)
	// Seen square to it the tube shows a rectangle of D l; along it, cos.
	tube := float64(photometry.CylinderLuminance(1600, 0.04, 1.15)) * 0.04 * 1.15
	all := integral(func(a float64) float64 { return tube * math.Cos(a) * 2 * math.Pi * math.Cos(a) }, -math.Pi/2, math.Pi/2)
	require.InDelta(t, 1600, all, 1e-9)
}
