package emitters_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/emitters"
)

func curveOf(t testing.TB, name string) emitters.Curve {
	c, err := emitters.CurveByName(name)
	require.NoError(t, err)
	return c
}

// The square law is the handbook's (IES Lighting Handbook, figure on square-law
// dimming); y = x, x^2, x^2.2 and 3x^2-2x^3 at x = 0.5 and 0.1 are worked out by hand.
func TestCurveValues(t *testing.T) {
	for _, row := range []struct {
		name        string
		half, tenth float64
		digits      float64
	}{
		{"linear", 0.5, 0.1, 1e-12},
		{"square", 0.25, 0.01, 1e-12},
		{"gamma 2.2", 0.218, 0.0063, 5e-4},
		{"s", 0.5, 0.028, 1e-12},
		{"", 0.5, 0.1, 1e-12},
	} {
		c := curveOf(t, row.name)
		require.InDelta(t, row.half, c.Light(0.5), row.digits, row.name)
		require.InDelta(t, row.tenth, c.Light(0.1), row.digits, row.name)
	}
	// In stops, half control is -2 on a square law and a tenth is -6.6 (2 log2 x).
	square := curveOf(t, "square")
	require.InDelta(t, -2, math.Log2(square.Light(0.5)), 1e-12)
	require.InDelta(t, -6.6, math.Log2(square.Light(0.1)), 0.05)
	// A worked set-up: 0.479 light takes 0.6922 control, 177 of 255 and 45361 of 65535.
	require.InDelta(t, 0.6922, square.Control(0.479), 2e-4)
	require.InDelta(t, 45361, square.Control(0.479)*65535, 5)
}

// Control is the inverse of Light for every 16-bit value and at both ends, exactly.
func TestCurvesInvert(t *testing.T) {
	for _, name := range emitters.CurveNames() {
		c := curveOf(t, name)
		last := -1.0
		for v := range 65536 {
			x := float64(v) / 65535
			light := c.Light(x)
			if light <= last {
				require.FailNow(t, "not rising", "%s at %v", name, x)
			}
			last = light
			if got := c.Control(light); math.Abs(got-x) > 1e-7 {
				require.InDelta(t, x, got, 1e-7, name)
			}
			if got := c.Light(c.Control(x)); math.Abs(got-x) > 1e-14+1e-12*x {
				require.InDelta(t, x, got, 1e-14, name)
			}
		}
		for _, f := range []func(float64) float64{c.Light, c.Control} {
			for in, want := range map[float64]float64{0: 0, 1: 1, -1: 0, 2: 1, math.Inf(1): 1, math.Inf(-1): 0} {
				require.Equal(t, want, f(in), "%s of %v", name, in)
			}
			require.Zero(t, f(math.NaN()), name)
		}
	}
}

// The inverse of the s curve keeps its digits down to the darkest light.
func TestSCurveNearBlack(t *testing.T) {
	s := curveOf(t, "s")
	for y := 1e-300; y < 0.5; y *= 3 {
		require.InEpsilon(t, y, s.Light(s.Control(y)), 1e-13)
		require.InDelta(t, 1, s.Control(y)+s.Control(1-y), 1e-7) // it is its own mirror image
	}
}

func TestUnknownCurve(t *testing.T) {
	_, err := emitters.CurveByName("cubic")
	require.ErrorContains(t, err, `unknown dimmer curve "cubic"`)
	require.ErrorContains(t, err, "gamma 2.2")
}
