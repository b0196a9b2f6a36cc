package colour_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

func TestMonochromaticLightIsValidAndNothingBeyondIt(t *testing.T) {
	e := colour.XY{X: 1.0 / 3, Y: 1.0 / 3}
	out := func(p colour.XY, k float64) colour.XY { return colour.XY{X: e.X + k*(p.X-e.X), Y: e.Y + k*(p.Y-e.Y)} }
	points := colour.SpectralLocus()
	for i, p := range points {
		require.True(t, p.Valid(), "%d nm", 380+i)
		require.False(t, out(p, 1.004).Valid(), "beyond %d nm", 380+i)
	}
	first, last := points[0], points[len(points)-1]
	for k := 0.01; k < 1; k += 0.01 {
		purple := colour.XY{X: first.X + k*(last.X-first.X), Y: first.Y + k*(last.Y-first.Y)}
		require.True(t, purple.Valid())
		require.False(t, out(purple, 1.004).Valid())
	}
	// The observer's table goes on past both ends; that light exists, too.
	for i, c := range colour.Observer1931() {
		require.True(t, colour.XYZ{X: c[0], Y: c[1], Z: c[2]}.XY().Valid(), "%d nm", 360+i)
	}
}

func TestValidOfPrimaries(t *testing.T) {
	for _, p := range []colour.XY{
		{X: 0.708, Y: 0.292}, {X: 0.170, Y: 0.797}, {X: 0.131, Y: 0.046}, // BT.2020: spectral lights, rounded
		{X: 0.64, Y: 0.33}, {X: 0.30, Y: 0.60}, {X: 0.15, Y: 0.06}, // BT.709
		colour.D65,
	} {
		require.True(t, p.Valid(), "%v", p)
	}
	for _, p := range []colour.XY{
		{X: 0, Y: 1}, {X: 0.0001, Y: -0.077}, // SMPTE ST 2065-1: imaginary primaries
		{X: 0.1596, Y: 0.8404}, {X: 0.0366, Y: 0.0001}, // ROMM RGB, ISO 22028-2: imaginary primaries
		{}, {X: -0.1, Y: 0.3}, {X: 0.5, Y: 0.6}, {X: math.NaN(), Y: 0.3}, {X: 0.3, Y: math.NaN()},
		{X: math.Inf(1), Y: 0.3}, {X: 0.3, Y: math.Inf(1)}, {X: math.Inf(1), Y: math.Inf(1)},
	} {
		require.False(t, p.Valid(), "%v", p)
	}
}
