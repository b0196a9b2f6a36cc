package camera_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/quality"
	"linkboy/colour/spectra"
)

// The matrix keeps white white, and shows the samples of the standard near to
// what the eye sees of them: within what cameras do. (ISO 17321-1 rates sensors by a
// metamerism index of such a fit; good still cameras have a mean CIELAB difference of
// 1.5 to 5: common practice, no source.)
func TestMatrixMakesColoursOfChannels(t *testing.T) {
	for _, s := range camera.Sensors() {
		for _, k := range []colour.Kelvin{3200, 4300, 5600} {
			view, err := s.BalanceAt(k)
			require.NoError(t, err)
			m := view.Matrix()
			white := m.Apply(camera.RGB{R: 1, G: 1, B: 1})
			for _, v := range []float64{white.R, white.G, white.B} {
				require.InDelta(t, 1, v, 1e-12)
			}
			light, err := spectra.Blackbody(k)
			require.NoError(t, err)
			full := light.XYZ()
			sum, plain := 0.0, 0.0
			for _, patch := range quality.Patches() {
				lit := light
				for i := range lit {
					lit[i] *= patch[i]
				}
				seen := view.See(lit).Scale(1 / full.Y)
				r, g, b := lit.XYZ().Scale(1/full.Y).Adapted(full.XY(), colour.D65).SRGB()
				want := camera.RGB{R: r, G: g, B: b}
				sum += apart(m.Apply(seen), want)
				plain += apart(seen, want)
			}
			n := float64(len(quality.Patches()))
			require.Less(t, sum/n, 0.035, "%s at %v K", s.Name, k)
			require.Less(t, sum, 0.7*plain, "%s at %v K: no better than no matrix", s.Name, k)
		}
	}
}

func apart(a, b camera.RGB) float64 {
	return math.Sqrt((a.R-b.R)*(a.R-b.R) + (a.G-b.G)*(a.G-b.G) + (a.B-b.B)*(a.B-b.B))
}

// The eye adapted from one white to another: D50 to D65, by the matrix that CSS Color 4
// prints (section 18, its first row applied to its own D50).
func TestAdapted(t *testing.T) {
	d50 := colour.XY{X: 0.3457, Y: 0.3585}
	got := d50.XYZ(1).Adapted(d50, colour.D65)
	want := colour.D65.XYZ(1)
	require.InDeltaSlice(t, []float64{want.X, want.Y, want.Z}, []float64{got.X, got.Y, got.Z}, 1e-12)
	got = colour.XYZ{X: 1}.Adapted(d50, colour.D65)
	require.InDelta(t, 0.9554734527042182, got.X, 1e-6)
}
