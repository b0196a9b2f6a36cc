package photometry_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
)

// TestDiffusion: angles add in quadrature, lumens times the factor; clear glass
// and a perfect diffuser are the ends.
func TestDiffusion(t *testing.T) {
	spot := newBeam(t, 8000, 15)
	frost, err := photometry.Diffusion{Factor: 0.8, Widening: 20}.Beam(spot)
	require.NoError(t, err)
	require.InDelta(t, 25, float64(frost.BeamAngle()), 1e-6, "15 and 20 degrees")
	within(t, 6400, float64(frost.Lumens()), 1e-9, "lumens")

	clear, err := photometry.Diffusion{Factor: 1}.Beam(spot)
	require.NoError(t, err)
	require.Equal(t, spot, clear)
	perfect, err := photometry.Diffusion{Factor: 0.5, Widening: 120}.Beam(spot)
	require.NoError(t, err)
	within(t, 4000/math.Pi, float64(perfect.Peak), 1e-6, "a Lambertian source")
	wide := newBeam(t, 100, 150)
	kept, err := photometry.Diffusion{Factor: 1, Widening: 60}.Beam(wide)
	require.NoError(t, err)
	within(t, float64(wide.Peak), float64(kept.Peak), 1e-6, "wider than any diffuser")
}

// TestDiffusionAgainstConvolution checks the approximation where it is meant
// for: narrow bells, by adding up the spread of every ray of the beam.
func TestDiffusionAgainstConvolution(t *testing.T) {
	spot, scatter := newBeam(t, 1000, 12), newBeam(t, 1, 16)
	seen := func(off float64) float64 { // at an angle off the axis, in radians
		eye := vector{math.Sin(off), 0, math.Cos(off)}
		return integralIn(6, func(a float64) float64 {
			return integralIn(4, func(turn float64) float64 {
				sin, cos := math.Sincos(turn)
				ray := vector{math.Sin(a) * cos, math.Sin(a) * sin, math.Cos(a)}
				return float64(spot.At(ray[2])) * float64(scatter.At(ray.dot(eye))) * math.Sin(a)
			}, 0, 2*math.Pi)
		}, 0, 0.6)
	}
	d, err := photometry.Diffusion{Factor: 1, Widening: 16}.Beam(spot)
	require.NoError(t, err)
	peak := seen(0)
	within(t, peak, float64(d.Peak), 0.01, "candela")
	require.InDelta(t, 0.5, seen((d.BeamAngle()/2).Radians())/peak, 0.01)
	require.InDelta(t, 0.1, seen((d.FieldAngle()/2).Radians())/peak, 0.01)
}

// TestDiffusionNeverFails on a beam that can be made, and never adds light or
// brings out more of it on the axis.
func TestDiffusionNeverFails(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for range 4000 {
		beam := photometry.Degrees(0.2 + 178*rng.Float64())
		b, err := photometry.NewBeamField(1000, beam, beam+photometry.Degrees(rng.Float64())*(min(3.4*beam, 179.9)-beam))
		if err != nil {
			continue
		}
		f := photometry.Diffusion{Factor: rng.Float64(), Widening: photometry.Degrees(120 * rng.Float64())}
		out, err := f.Beam(b)
		require.NoError(t, err, "%v behind %v", b, f)
		within(t, 1000*f.Factor, float64(out.Lumens()), 1e-9, "lumens")
		require.GreaterOrEqual(t, float64(out.BeamAngle()), float64(b.BeamAngle())*(1-1e-9))
	}
	for _, bad := range []photometry.Diffusion{{1.1, 0}, {-0.1, 0}, {1, -1}, {1, 121}, {math.NaN(), 0}, {1, photometry.Degrees(math.NaN())}} {
		_, err := bad.Beam(newBeam(t, 1000, 30))
		require.Error(t, err)
	}
	out, err := photometry.Diffusion{Factor: 0.5, Widening: 20}.Beam(photometry.Beam{})
	require.NoError(t, err)
	require.Zero(t, out.At(1), "no light stays none")
}
