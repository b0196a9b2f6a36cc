package spectra

import (
	"math"

	"linkboy/colour"
)

// Blackbody returns the relative spectrum of a black body at t, 1000 K to
// 1e6 K, by Planck's law with c2 = 1.4388e-2 m·K, 1 at 560 nm [CIE 15].
// CIE illuminant A is the one of 2855.5 K: its definition by
// 2848 K goes with c2 = 1.4350e-2.
func Blackbody(t colour.Kelvin) (Spectrum, error) {
	if _, err := colour.Planckian(t); err != nil {
		return Spectrum{}, err
	}
	const c2 = 1.4388e-2 * 1e9 // nm·K
	planck := func(nm float64) float64 {
		return math.Pow(560/nm, 5) / math.Expm1(c2/(nm*float64(t)))
	}
	var s Spectrum
	at560 := planck(560)
	for i := range s {
		s[i] = planck(float64(FirstNM+i)) / at560
	}
	return s, nil
}
