package difference_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/difference"
)

// within folds any float into -limit..limit.
func within(x, limit float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return min(max(x, -limit), limit)
}

// requireFinite requires numbers, not NaN or infinities.
func requireFinite(t *testing.T, values ...float64) {
	t.Helper()
	for _, v := range values {
		require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%v", values)
	}
}

// FuzzDifference holds every function to its range, for real colours and for
// what no light has.
func FuzzDifference(f *testing.F) {
	f.Add(0.2, 0.1, 0.05, 0.7, 0.3, 0.9, 64.0, 0.2)
	f.Add(0.0, 0.0, 0.0, -1.0, 2.0, -3.0, 1e-9, 1.0)
	f.Add(1e12, -1e12, 1e12, 1e-300, -1e-300, 0.0, 1e6, 1e-6)
	f.Add(0.0, 0.0, 1.0, 1.0, 0.0, 0.0, 318.31, 0.2)
	f.Fuzz(func(t *testing.T, x1, y1, z1, x2, y2, z2, adapting, background float64) {
		const limit = 1e12
		c := colour.XYZ{X: within(x1, limit), Y: within(y1, limit), Z: within(z1, limit)}
		d := colour.XYZ{X: within(x2, limit), Y: within(y2, limit), Z: within(z2, limit)}
		white := colour.D65.XYZ(1)

		p, q := difference.LabOf(c, white), difference.LabOf(d, white)
		requireFinite(t, p.L, p.A, p.B, p.Distance(q), p.Chroma())
		requireHue(t, p.Hue())
		de := difference.DE2000(p, q)
		requireFinite(t, de)
		require.GreaterOrEqual(t, de, 0.0)
		require.InDelta(t, de, difference.DE2000(q, p), 0.06+1e-9*de, "symmetric but for the jump at 180 degrees")
		require.Zero(t, difference.DE2000(p, p))
		back := p.XYZ(white)
		requireFinite(t, back.X, back.Y, back.Z)

		l := difference.LuvOf(c, white)
		requireFinite(t, l.L, l.U, l.V, l.Distance(difference.LuvOf(d, white)))
		requireHue(t, l.Hue())

		eye, err := difference.NewEye(difference.Viewing{
			White: white, Adapting: adapting, Background: background, Surround: difference.Dim,
		})
		if err != nil {
			return
		}
		seen := eye.See(c)
		requireFinite(t, seen.J, seen.C, seen.M, seen.Q, seen.S)
		require.GreaterOrEqual(t, min(seen.J, seen.C, seen.M, seen.Q, seen.S), 0.0)
		requireHue(t, seen.H)
		u := seen.UCS()
		requireFinite(t, u.J, u.A, u.B, difference.UCSDistance(u, eye.See(d).UCS()))
		again := eye.XYZ(seen)
		requireFinite(t, again.X, again.Y, again.Z)
	})
}

func requireHue(t *testing.T, h float64) {
	t.Helper()
	require.True(t, h >= 0 && h < 360, "hue %v", h)
}
