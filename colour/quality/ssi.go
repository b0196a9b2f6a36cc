package quality

import (
	"fmt"
	"math"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// SSIResult is a spectral similarity index with the reference it was taken
// against.
//
//	Value      at most 100, which is the same spectrum; print it as an integer
//	Reference  as the standard writes it: "P3200" a black body of 3200 K,
//	           "D5600" a phase of daylight of 5600 K
type SSIResult struct {
	Value     float64
	Reference string
}

// String writes r as the standard does: SSI[P3200] 84.
func (r SSIResult) String() string { return fmt.Sprintf("SSI[%s] %.0f", r.Reference, r.Value) }

// The slots of the index: 30 of 10 nm, the first from 375 to 385 nm.
const (
	ssiSlots = 30
	ssiFirst = 375 - spectra.FirstNM
)

// ssiWeights lets the ends of the spectrum, which cameras hardly see, count
// less [ST 2122].
var ssiWeights = [ssiSlots]float64{
	0: 12.0 / 45, 1: 22.0 / 45, 2: 32.0 / 45, 3: 40.0 / 45, 4: 44.0 / 45,
	5: 1, 6: 1, 7: 1, 8: 1, 9: 1, 10: 1, 11: 1, 12: 1, 13: 1, 14: 1, 15: 1, 16: 1, 17: 1,
	18: 1, 19: 1, 20: 1, 21: 1, 22: 1, 23: 1, 24: 1, 25: 1, 26: 1, 27: 1,
	28: 11.0 / 15, 29: 3.0 / 15,
}

// SSI returns the spectral similarity index of test to reference: how surely
// any camera will see the one as the other.
//
//	domain  powers of 0 and up in any unit, some of it from 375 to 675 nm
//	range   at most 100; the formula has no floor, and lights that share
//	        nothing come out far below 0
//
// It is not symmetric: reference is the light that is asked for. Source:
// [ST 2122].
func SSI(test, reference spectra.Spectrum) (float64, error) {
	t, err := ssiShares(&test)
	if err != nil {
		return 0, err
	}
	r, err := ssiShares(&reference)
	if err != nil {
		return 0, err
	}
	var off [ssiSlots + 2]float64 // an empty slot at either end to smooth over
	for i := range ssiSlots {
		off[i+1] = ssiWeights[i] * (t[i] - r[i]) / (r[i] + 1.0/ssiSlots)
	}
	var sum float64
	for i := 1; i <= ssiSlots; i++ {
		smooth := 0.22*off[i-1] + 0.56*off[i] + 0.22*off[i+1]
		sum += smooth * smooth
	}
	return 100 - 32*math.Sqrt(sum), nil
}

// SSIDefault returns the index of s to the reference that the standard picks
// by itself: at the light's own correlated colour temperature, rounded to 1 K,
// a black body below 4000 K and a phase of daylight from 4000 to 25000 K.
// Source: [ST 2122].
func SSIDefault(s spectra.Spectrum) (SSIResult, error) {
	const figure = "SSI"
	test, err := prepare(figure, &s, Every1)
	if err != nil {
		return SSIResult{}, err
	}
	cct, err := Every1.between(spectra.FirstNM, spectra.LastNM).whiteOf(figure, &test)
	if err != nil {
		return SSIResult{}, err
	}
	t := colour.Kelvin(math.Round(float64(cct.T)))
	out := SSIResult{Reference: fmt.Sprintf("D%.0f", float64(t))}
	var reference spectra.Spectrum
	if t < ssiDaylight {
		out.Reference = fmt.Sprintf("P%.0f", float64(t))
		reference, err = spectra.Blackbody(t)
	} else {
		reference, err = spectra.DaylightSPD(t)
	}
	if err != nil {
		return SSIResult{}, err
	}
	out.Value, err = SSI(test, reference)
	return out, err
}

// ssiDaylight is where the standard's own reference turns from a black body
// to daylight.
const ssiDaylight colour.Kelvin = 4000

// ssiShares returns what share of the power of s lies in each slot.
func ssiShares(s *spectra.Spectrum) ([ssiSlots]float64, error) {
	p, err := prepare("SSI", s, Every1)
	if err != nil {
		return [ssiSlots]float64{}, err
	}
	var out [ssiSlots]float64
	var sum float64
	for i := range out {
		slot := p[ssiFirst+10*i : ssiFirst+10*i+11]
		out[i] = (slot[0] + slot[10]) / 2
		for _, v := range slot[1:10] {
			out[i] += v
		}
		sum += out[i]
	}
	if sum == 0 {
		return out, &colour.Error{What: "SSI", Why: "the spectrum has no power from 375 to 675 nm", Mend: "give a spectrum of visible light"}
	}
	for i := range out {
		out[i] /= sum
	}
	return out, nil
}
