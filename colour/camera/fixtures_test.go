package camera_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/spectra"
)

// gaussian is the spectrum of an LED as a bell curve of the given full width
// at half maximum, as the reference figures that these tests check were made.
func gaussian(peak, width float64) spectra.Spectrum {
	var s spectra.Spectrum
	for i := range s {
		d := (float64(spectra.FirstNM+i) - peak) / width
		s[i] = math.Exp(-4 * math.Ln2 * d * d)
	}
	return s
}

func blackbody(t testing.TB, kelvin colour.Kelvin) spectra.Spectrum {
	t.Helper()
	s, err := spectra.Blackbody(kelvin)
	require.NoError(t, err)
	return s
}

func daylight(t testing.TB, kelvin colour.Kelvin) spectra.Spectrum {
	t.Helper()
	s, err := spectra.DaylightSPD(kelvin)
	require.NoError(t, err)
	return s
}

func sensor(t testing.TB, name string) *camera.Sensor {
	t.Helper()
	s, err := camera.SensorByName(name)
	require.NoError(t, err)
	return s
}

func balanced(t testing.TB, s *camera.Sensor, white spectra.Spectrum) camera.View {
	t.Helper()
	v, err := s.Balance(white)
	require.NoError(t, err)
	return v
}

// mixTo mixes three lights to the tristimulus values of a fourth.
func mixTo(t testing.TB, white spectra.Spectrum, lights [3]spectra.Spectrum) spectra.Spectrum {
	t.Helper()
	a := mat.NewDense(3, 3, nil)
	for i, s := range lights {
		c := s.XYZ()
		a.SetCol(i, []float64{c.X, c.Y, c.Z})
	}
	w := white.XYZ()
	var k mat.VecDense
	require.NoError(t, k.SolveVec(a, mat.NewVecDense(3, []float64{w.X, w.Y, w.Z})))
	var mix spectra.Spectrum
	for i, s := range lights {
		require.Greater(t, k.AtVec(i), 0.0, "light %d", i)
		mix = mix.Add(s.Scale(k.AtVec(i)))
	}
	return mix
}

// randomLight is a sum of a few bells and a little of a black body.
func randomLight(t testing.TB, r *rand.Rand) spectra.Spectrum {
	s := blackbody(t, colour.Kelvin(2000+8000*r.Float64())).Scale(0.1 * r.Float64())
	for range 1 + r.IntN(4) {
		s = s.Add(gaussian(420+260*r.Float64(), 10+100*r.Float64()).Scale(r.Float64()))
	}
	return s
}

// requireSame requires two responses to agree but for rounding.
func requireSame(t testing.TB, want, got camera.Response, within float64, name string) {
	t.Helper()
	scale := max(want.Y, want.R, want.G, want.B)
	require.InDelta(t, want.R, got.R, within*scale, "%s: red", name)
	require.InDelta(t, want.G, got.G, within*scale, "%s: green", name)
	require.InDelta(t, want.B, got.B, within*scale, "%s: blue", name)
	require.InDelta(t, want.Y, got.Y, within*scale, "%s: meter", name)
}
