package camera_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/camera"
)

// set is a worked set-up, computed independently: ISO 800, T2.8, 1/48 s, key 120 lx,
// six stops over middle grey.
var set = camera.Exposure{KeyLux: 120, OverStops: 6}

// TestClipMargin checks the worked margins of that set-up and, from the formula,
// what one stop of each term is worth.
func TestClipMargin(t *testing.T) {
	require.InDelta(t, 0.98, set.ClipMargin(30, 4.87, 0.8), 0.005, "blue at 30 lx on a white shirt: 6 + 2 - 4.87 - 2.15")
	require.InDelta(t, 3.1, set.ClipMargin(15, 4.87, 0.36), 0.05, "blue at 15 lx on skin of 36 %: 6 + 3 - 4.87 - 1")
	require.InDelta(t, 6, set.ClipMargin(120, 0, 0.18), 1e-12, "the grey card under the key")

	at := set.ClipMargin(30, 2, 0.5)
	require.InDelta(t, at-1, set.ClipMargin(60, 2, 0.5), 1e-12, "twice the light")
	require.InDelta(t, at-1, set.ClipMargin(30, 3, 0.5), 1e-12, "a stop more excess")
	require.InDelta(t, at-1, set.ClipMargin(30, 2, 1), 1e-12, "twice the reflectance")
	require.InDelta(t, at+1, camera.Exposure{KeyLux: 240, OverStops: 6}.ClipMargin(30, 2, 0.5), 1e-12, "stopped down for twice the key")
	require.InDelta(t, at+1, camera.Exposure{KeyLux: 120, OverStops: 7}.ClipMargin(30, 2, 0.5), 1e-12, "a stop more range")
	require.True(t, math.IsInf(set.ClipMargin(0, 2, 0.5), 1), "darkness never clips")
}

// TestMostLux is where the margin is nothing.
func TestMostLux(t *testing.T) {
	for _, excess := range []float64{-0.2, 0, 1.4, 4.87} {
		for _, reflectance := range []float64{0.1, 0.18, 0.36, 0.8, 1} {
			most := set.MostLux(excess, reflectance)
			require.InDelta(t, 0, set.ClipMargin(most, excess, reflectance), 1e-12)
		}
	}
	require.InDelta(t, 30*math.Exp2(0.978), set.MostLux(4.87, 0.8), 0.05)
}

// TestClipThroughTheSensor goes the whole way: the emitter's spectrum through
// a sensor at 3200 K to the worked margin, which took 4.87 stops of excess.
func TestClipThroughTheSensor(t *testing.T) {
	for _, name := range []string{"bayer-a", "bayer-b"} {
		v, err := sensor(t, name).BalanceAt(3200)
		require.NoError(t, err)
		blue := v.Response(gaussian(465, 23))

		margin, channel := set.Clip(blue.To(30), 0.8)
		require.InDelta(t, 0.98, margin, 0.03, name)
		require.Equal(t, camera.Blue, channel)
		margin, _ = set.Clip(blue.To(15), 0.36)
		require.InDelta(t, 3.1, margin, 0.06, name)

		// The key on the same face adds its own blue: 120 to the accent's
		// 30 times 2^4.87.
		key := v.Response(blackbody(t, 3200)).To(120)
		both, channel := set.Clip(key.Add(blue.To(30)), 0.8)
		require.InDelta(t, margin0(t, blue)-math.Log2(1+120/(30*blue.PerMeter().B)), both, 1e-9)
		require.Equal(t, camera.Blue, channel)
	}
}

func margin0(t *testing.T, blue camera.Response) float64 {
	t.Helper()
	margin, _ := set.Clip(blue.To(30), 0.8)
	return margin
}

// TestTo scales to what a meter reads.
func TestTo(t *testing.T) {
	r := camera.Response{RGB: camera.RGB{R: 1, G: 2, B: 4}, Y: 0.5}
	require.Equal(t, camera.Response{RGB: camera.RGB{R: 2, G: 4, B: 8}, Y: 1}, r.To(1))
}
