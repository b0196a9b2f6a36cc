package quality

import (
	"linkboy/colour"
	"linkboy/colour/spectra"
)

// CRIStep is what the index of one sample was made of.
type CRIStep struct {
	Test, Reference [3]float64 // U*, V*, W*
	R               float64
}

// CRIAgainst compares s with a given reference, whatever its temperature.
func CRIAgainst(s, reference spectra.Spectrum, step Step) CRIResult {
	return criAgainst(step.between(380, 780), &s, &reference, colour.CCT{})
}

// CRISteps gives the steps on the way to the indices of s.
func CRISteps(s spectra.Spectrum) ([14]CRIStep, error) {
	var out [14]CRIStep
	result, err := CRI(s)
	if err != nil {
		return out, err
	}
	reference, err := criReference(result.CCT.T)
	if err != nil {
		return out, err
	}
	b := Every1.between(380, 780)
	seen, was := criSee(b, &s), criSee(b, &reference)
	for i := range out {
		p, q := was.pair(&seen, i)
		out[i] = CRIStep{[3]float64{q.u, q.v, q.w}, [3]float64{p.u, p.v, p.w}, result.R[i]}
	}
	return out, nil
}
