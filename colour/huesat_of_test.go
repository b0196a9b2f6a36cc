package colour_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// The primaries of ITU-R BT.2020 are red, green and blue at full saturation, under any
// white.
func TestHueSatOfPrimaries(t *testing.T) {
	for _, kelvin := range []colour.Kelvin{3200, 4300, 5600} {
		white, err := colour.CCT{T: kelvin}.XY()
		require.NoError(t, err)
		for hue, p := range map[float64]colour.XY{0: {X: 0.708, Y: 0.292}, 120: {X: 0.170, Y: 0.797}, 240: {X: 0.131, Y: 0.046}} {
			h, ok := colour.HueSatOf(p, white)
			require.True(t, ok)
			turned := h.Hue - hue
			if turned > 180 {
				turned -= 360
			}
			require.InDelta(t, 0, turned, 1e-6, "%v", p)
			require.InDelta(t, 1, h.Sat, 1e-9)
		}
		_, ok := colour.HueSatOf(white, white)
		require.False(t, ok, "white has no hue")
	}
	_, ok := colour.HueSatOf(colour.D65, colour.XY{X: 0.7347, Y: 0.2653})
	require.False(t, ok, "the red end of the spectrum is outside of the triangle")
}

// Every colour comes back from where it is.
func TestHueSatOfInverts(t *testing.T) {
	white, err := colour.CCT{T: 4300}.XY()
	require.NoError(t, err)
	for hue := 0.5; hue < 360; hue += 7.25 {
		for _, sat := range []float64{0.02, 0.5, 1} {
			p, err := colour.HueSat{Hue: hue, Sat: sat}.Chromaticity(white)
			require.NoError(t, err)
			h, ok := colour.HueSatOf(p, white)
			require.True(t, ok)
			require.InDelta(t, hue, h.Hue, 1e-4)
			require.InDelta(t, sat, h.Sat, 1e-9)
		}
	}
}
