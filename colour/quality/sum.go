package quality

import (
	"errors"
	"fmt"
	"math"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// Step is the distance in nm between the samples of a spectrum that are summed.
type Step int

const (
	// Every1 sums the whole grid: right for every spectrum.
	Every1 Step = 1
	// Every5 sums 360, 365, 370 nm and so on, as the tables of CIE and EBU were
	// made. It misses lines that lie between.
	Every5 Step = 5
)

// responses are three sensitivities by wavelength on the grid of spectra:
// those of an observer or of a camera.
type responses [spectra.Samples][3]float64

// band is a range of the grid to sum over, ends included.
type band struct {
	first, last int // index into the grid
	step        int
}

// between returns the band from one wavelength to another.
func (s Step) between(firstNM, lastNM int) band {
	return band{firstNM - spectra.FirstNM, lastNM - spectra.FirstNM, int(s)}
}

// light sets lit to s as r takes it up wavelength by wavelength.
func (b band) light(lit *responses, s *spectra.Spectrum, r *responses) {
	for i := b.first; i <= b.last; i += b.step {
		for k, v := range r[i] {
			lit[i][k] = s[i] * v
		}
	}
}

// white returns what lit gives off a perfect white.
func (b band) white(lit *responses) [3]float64 {
	var x, y, z float64
	for i := b.first; i <= b.last; i += b.step {
		x += lit[i][0]
		y += lit[i][1]
		z += lit[i][2]
	}
	return [3]float64{x, y, z}
}

// off returns what lit gives off a sample of some reflectance.
func (b band) off(lit *responses, sample *spectra.Spectrum) [3]float64 {
	var x, y, z float64
	for i := b.first; i <= b.last; i += b.step {
		r := sample[i]
		x += r * lit[i][0]
		y += r * lit[i][1]
		z += r * lit[i][2]
	}
	return [3]float64{x, y, z}
}

// chromaticity returns where s lies for the 2-degree observer.
func (b band) chromaticity(s *spectra.Spectrum) colour.XY {
	var lit responses
	b.light(&lit, s, twoDegrees())
	return xyzOf(b.white(&lit)).XY()
}

func xyzOf(v [3]float64) colour.XYZ { return colour.XYZ{X: v[0], Y: v[1], Z: v[2]} }

// prepare checks a spectrum and brings it to a greatest power of 1, so that no
// unit is too small or too large to sum.
func prepare(figure string, s *spectra.Spectrum, step Step) (spectra.Spectrum, error) {
	if step != Every1 && step != Every5 {
		return spectra.Spectrum{}, &colour.Error{What: figure, Why: fmt.Sprintf("a step of %d nm", step), Mend: "take Every1 or Every5"}
	}
	var most float64
	for i, p := range s {
		if !(p >= 0) || math.IsInf(p, 0) {
			return spectra.Spectrum{}, &colour.Error{What: figure, Why: fmt.Sprintf("the power at %d nm is %v", spectra.FirstNM+i, p), Mend: "give powers of 0 and up"}
		}
		most = max(most, p)
	}
	if most == 0 {
		return spectra.Spectrum{}, &colour.Error{What: figure, Why: "the spectrum is dark", Mend: "give a spectrum with some power"}
	}
	out := *s
	for i := range out {
		out[i] /= most
	}
	return out, nil
}

// whiteOf finds the colour temperature to compare s at.
func (b band) whiteOf(figure string, s *spectra.Spectrum) (colour.CCT, error) {
	c, err := b.chromaticity(s).CCT()
	if err != nil {
		why := err.Error()
		if e, ok := errors.AsType[*colour.Error](err); ok {
			why = e.Why // what and mend are those of the figure
		}
		return colour.CCT{}, notWhite(figure, why)
	}
	if c.T > maxDaylight {
		return colour.CCT{}, notWhite(figure, fmt.Sprintf("at %.0f K it is bluer than any daylight, which ends at 25000 K", float64(c.T)))
	}
	return c, nil
}

// maxDaylight is the end of the CIE daylight locus, and so of the references.
const maxDaylight colour.Kelvin = 25000

// notWhite is the error of a light that has no reference.
func notWhite(figure, why string) error {
	return &colour.Error{What: figure, Why: "the light is not near enough to a white to have a reference: " + why, Mend: "ask for this figure only of whites of 1000 K to 25000 K"}
}
