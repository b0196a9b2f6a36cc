package calibrate_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/calibrate"
	"linkboy/colour/lamp"
)

func lawOf(t *testing.T, class lamp.Class, p lamp.Photometry) calibrate.Law {
	law, err := calibrate.LawOf(&lamp.Type{Name: "l", Class: class, Photometry: p})
	require.NoError(t, err)
	return law
}

// Axial candela of 1000 lm by the cosine-power law I0 = F (m+1)/2π,
// m = ln 0.5/ln cos(b/2), worked out for the usual beams; 1/π cd per lumen for a
// Lambertian beam is the handbook's (IES lighting handbook).
func TestPointLaw(t *testing.T) {
	for beam, candela := range map[float64]float64{15: 12999, 25: 4758, 30: 3341, 45: 1553, 60: 926, 90: 477, 120: 318} {
		law := lawOf(t, lamp.Spot, lamp.Photometry{BeamDeg: beam, LengthM: 0.1, WidthM: 0.1})
		require.Equal(t, "point", law.String())
		require.InDelta(t, candela, law.Lux(1000, 1), 0.5, "%g deg", beam)
		require.InDelta(t, candela/4, law.Lux(1000, 2), 0.2, "the inverse square law")
	}
	// All round: 4π lm are 1 cd, by the definition of the lumen (SI).
	require.InDelta(t, 1, lawOf(t, lamp.Spot, lamp.Photometry{BeamDeg: 360}).Lux(4*math.Pi, 1), 1e-12)
	// Just below and just above 180 degrees are the same.
	require.InDelta(t, 1, lawOf(t, lamp.Spot, lamp.Photometry{BeamDeg: 179.9999}).Lux(1, 1)/lawOf(t, lamp.Spot, lamp.Photometry{BeamDeg: 180}).Lux(1, 1), 0.1)
}

// A 1.15 m strip of 1867 lm: the axial intensity is 594 cd, and four tubes of
// that length and flux were measured at 491-608 cd (CALiPER reports of the U.S.
// Department of Energy on 1.2 m LED tubes). Lux at 0.25 to 3 m and the ratios to
// the inverse square law are worked out from the handbook's line source.
func TestLineLaw(t *testing.T) {
	law := lawOf(t, lamp.Tube, lamp.Photometry{BeamDeg: 120, LengthM: 1.15, WidthM: 0.03})
	require.Equal(t, "line", law.String())
	for d, lux := range map[float64]float64{0.25: 3155, 0.5: 1395, 1: 493, 2: 141, 3: 64.5} {
		require.InEpsilon(t, lux, law.Lux(1867, d), 0.002, "%g m", d)
		require.InEpsilon(t, lineLux(1867, 1.15, d), law.Lux(1867, d), 1e-6, "the sum of strips at %g m", d)
	}
	far := law.Lux(1867, 100) * 1e4
	require.InDelta(t, 594, far, 0.5)
	for lengths, ratio := range map[float64]float64{0.5: 0.643, 1: 0.864, 1.5: 0.933, 2: 0.960, 3: 0.982, 5: 0.993} {
		d := lengths * 1.15
		require.InDelta(t, ratio, law.Lux(1867, d)*d*d/far, 0.0006, "%g lengths", lengths)
	}
	// A tube that shines all round has F = π² I (IES lighting handbook).
	round := lawOf(t, lamp.Tube, lamp.Photometry{BeamDeg: 360, LengthM: 1.15})
	require.InDelta(t, 1, round.Lux(math.Pi*math.Pi, 100)*1e4, 1e-4)
}

// A Lambertian disc of the area of a 0.3 x 0.6 m face, 10000 lm:
// E = π L R²/(R² + d²) with L = F/(π A) = 17684 cd/m2, by the handbook.
func TestDiscLaw(t *testing.T) {
	law := lawOf(t, lamp.Panel, lamp.Photometry{BeamDeg: 120, LengthM: 0.6, WidthM: 0.3})
	require.Equal(t, "disc", law.String())
	for d, lux := range map[float64]float64{0.5: 10358, 1: 3011, 2: 785} {
		require.InDelta(t, lux, law.Lux(10000, d), 0.6, "%g m", d)
	}
	// At the face, E is π L.
	require.InDelta(t, 10000/0.18, law.Lux(10000, 1e-9), 1)
}

// Lumens is the inverse of Lux.
func TestLawInverts(t *testing.T) {
	for _, class := range []lamp.Class{lamp.Tube, lamp.Panel, lamp.Spot, lamp.Puck} {
		for _, beam := range []float64{8, 40, 110, 180, 300, 360} {
			law := lawOf(t, class, lamp.Photometry{BeamDeg: beam, LengthM: 0.5, WidthM: 0.2})
			for _, d := range []float64{0.1, 1, 30} {
				require.InEpsilon(t, 850.0, law.Lumens(law.Lux(850, d), d), 1e-12)
			}
		}
	}
}

func TestLawNeedsABeam(t *testing.T) {
	for _, beam := range []float64{0, -1, 361, math.NaN()} {
		_, err := calibrate.LawOf(&lamp.Type{Name: "l", Class: lamp.Tube, Photometry: lamp.Photometry{BeamDeg: beam}})
		require.ErrorContains(t, err, "beam")
	}
}
