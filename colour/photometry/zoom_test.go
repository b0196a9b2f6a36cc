package photometry_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
)

// 1000 lm in 25 degrees are 4758 cd and in 45 degrees 1553 cd (the beam formula of the
// IES Lighting Handbook, I0 = F·(m+1)/(2π); figures of trade.md, section 2), from
// whichever angle the lamp comes.
func TestZoomFollowsTheBeamFormula(t *testing.T) {
	for _, from := range []photometry.Degrees{15, 30, 60, 120} {
		b, err := photometry.NewBeam(1000, from)
		require.NoError(t, err)
		for angle, want := range map[photometry.Degrees]float64{15: 12999, 25: 4758, 30: 3341, 45: 1553, 60: 926, 90: 477} {
			z, err := b.Zoom(angle)
			require.NoError(t, err)
			require.InEpsilon(t, want, float64(z.Peak), 0.001, "%v to %v degrees", from, angle)
			require.InEpsilon(t, 1000, float64(z.Lumens()), 1e-9)
			require.InEpsilon(t, float64(angle), float64(z.BeamAngle()), 1e-9)
		}
	}
}

// A beam that is flatter than a cosine power stays so, and there and back is the same.
func TestZoomKeepsTheForm(t *testing.T) {
	b, err := photometry.NewBeamField(700, 20, 28)
	require.NoError(t, err)
	z, err := b.Zoom(40)
	require.NoError(t, err)
	require.InEpsilon(t, b.Shape(), z.Shape(), 1e-12)
	require.InEpsilon(t, 700, float64(z.Lumens()), 1e-9)
	back, err := z.Zoom(20)
	require.NoError(t, err)
	require.InEpsilon(t, float64(b.Peak), float64(back.Peak), 1e-9)
	_, err = b.Zoom(180)
	require.Error(t, err)
}
