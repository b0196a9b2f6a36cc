package spectra

import "math"

// Ohno returns the spectrum of a single-colour LED after Ohno [Ohno2005]:
//
//	g = exp(-((λ-peak)/width)²),  S = (g + 2g⁵) / 3
//
// peak and width are in nm, width above 0; S is 1 at the peak. Its full width
// at half maximum is 0.9218 width. A width that is not above 0 gives darkness.
func Ohno(peak, width float64) Spectrum {
	var s Spectrum
	if !(width > 0) {
		return s
	}
	for i := range s {
		d := (float64(FirstNM+i) - peak) / width
		g := math.Exp(-d * d)
		s[i] = (g + 2*g*g*g*g*g) / 3
	}
	return s
}
