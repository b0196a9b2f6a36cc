package spectra

import (
	"fmt"
	"math"

	"linkboy/colour"
)

// The grid every Spectrum lives on: 1 nm steps, the range of the CIE tables.
const (
	FirstNM = 360
	LastNM  = 830
	Samples = LastNM - FirstNM + 1
)

// lumensPerWatt is the luminous efficacy of light at the peak of V(λ),
// Km [CIE 15].
const lumensPerWatt = 683

// Spectrum is spectral power at 1 nm steps from FirstNM to LastNM: relative,
// or in W/nm where that is said.
type Spectrum [Samples]float64

// XYZ returns s as the CIE 1931 2-degree observer sees it: 683 lm/W times the
// sum of power and colour-matching functions at 1 nm. For s in W/nm, Y is
// luminous flux in lumens.
func (s Spectrum) XYZ() colour.XYZ {
	var sum colour.XYZ
	for i, cmf := range colour.Observer1931() {
		sum.X += s[i] * cmf[0]
		sum.Y += s[i] * cmf[1]
		sum.Z += s[i] * cmf[2]
	}
	return sum.Scale(lumensPerWatt)
}

// Power returns the radiant power of s: the sum at 1 nm.
func (s Spectrum) Power() float64 {
	var sum float64
	for _, p := range s {
		sum += p
	}
	return sum
}

// Efficacy returns the luminous efficacy of radiation of s in lm/W, 0 for a
// dark spectrum. The electric power of a lamp has no part in it.
func (s Spectrum) Efficacy() float64 {
	power := s.Power()
	if power == 0 {
		return 0
	}
	return s.XYZ().Y / power
}

// Add returns s plus t.
func (s Spectrum) Add(t Spectrum) Spectrum {
	for i, p := range t {
		s[i] += p
	}
	return s
}

// Scale returns s times k.
func (s Spectrum) Scale(k float64) Spectrum {
	for i := range s {
		s[i] *= k
	}
	return s
}

// FromTable returns the spectrum that runs straight between the points of a
// table of wavelengths in nm, rising, and powers, not negative. It is zero
// outside the table; what of the table lies outside FirstNM to LastNM is
// dropped.
func FromTable(nm, power []float64) (Spectrum, error) {
	if err := checkTable(nm, power); err != nil {
		return Spectrum{}, err
	}
	return interpolate(nm, power), nil
}

// interpolate runs straight between the points of a table that has been checked.
func interpolate(nm, power []float64) Spectrum {
	var s Spectrum
	k := 0 // the sample lies between points k and k+1
	for i := range s {
		at := float64(FirstNM + i)
		if at < nm[0] || at > nm[len(nm)-1] {
			continue
		}
		for k < len(nm)-2 && nm[k+1] < at {
			k++
		}
		t := (at - nm[k]) / (nm[k+1] - nm[k])
		s[i] = power[k] + t*(power[k+1]-power[k])
	}
	return s
}

// checkTable says why a table is no spectrum.
func checkTable(nm, power []float64) error {
	const what = "spectrum table"
	if len(nm) != len(power) {
		return &colour.Error{What: what, Why: fmt.Sprintf("it has %d wavelengths and %d powers", len(nm), len(power)), Mend: "give one power for each wavelength"}
	}
	if len(nm) < 2 {
		return &colour.Error{What: what, Why: "one point makes no spectrum", Mend: "give at least two wavelengths"}
	}
	light := false
	for i := range nm {
		if i > 0 && !(nm[i] > nm[i-1]) || math.IsNaN(nm[i]) || math.IsInf(nm[i], 0) {
			return &colour.Error{What: what, Why: fmt.Sprintf("wavelength %d, %v nm, does not follow the one before it", i+1, nm[i]), Mend: "list wavelengths in rising order"}
		}
		if !(power[i] >= 0) || math.IsInf(power[i], 0) {
			return &colour.Error{What: what, Why: fmt.Sprintf("the power at %v nm is %v", nm[i], power[i]), Mend: "give powers of 0 and up"}
		}
		light = light || power[i] > 0 && nm[i] >= FirstNM && nm[i] <= LastNM
	}
	if !light {
		return &colour.Error{What: what, Why: fmt.Sprintf("it has no power from %d to %d nm", FirstNM, LastNM), Mend: "give wavelengths in nm and powers above 0"}
	}
	return nil
}
