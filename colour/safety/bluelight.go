package safety

import (
	"math"

	"linkboy/colour/photometry"
	"linkboy/colour/spectra"
)

// RiskGroup is how harmful the blue light of a source is to an eye that looks
// into it [IEC 62471].
type RiskGroup int

// The risk groups, with what makes them safe.
const (
	Exempt       RiskGroup = iota // up to 100 W/(m2 sr): over 10 000 s
	LowRisk                       // up to 10 000: 100 s, by how people behave
	ModerateRisk                  // up to 4 000 000: 0.25 s, by looking away
	HighRisk                      // beyond: hazardous even for a moment
)

// String names the group by its number and its word in the standard.
func (g RiskGroup) String() string {
	return [...]string{"RG0 exempt", "RG1 low risk", "RG2 moderate risk", "RG3 high risk"}[min(max(g, Exempt), HighRisk)]
}

// BlueLight returns the blue-light radiance of a source, in W/(m2 sr), from its
// spectrum in any unit, not dark, and its luminance:
//
//	L_B = Σ L(λ) B(λ) Δλ
//
// [IEC 62471]. It tells what looking into the source does, not standing in its
// light. A diffused white tube of 11 070 cd/m2 is a tenth of the exempt limit; a bare
// COB, a fresnel spot or a bright blue without diffusion is not exempt: do not
// stare, and keep them out of the eyeline.
func BlueLight(s spectra.Spectrum, l photometry.Luminance) float64 {
	var blue float64
	for i, power := range s {
		blue += power * hazard(spectra.FirstNM+i)
	}
	return float64(l) * blue / s.XYZ().Y
}

// Group returns the risk group of a blue-light radiance in W/(m2 sr).
func Group(blueLight float64) RiskGroup {
	switch {
	case blueLight <= 100:
		return Exempt
	case blueLight <= 1e4:
		return LowRisk
	case blueLight <= 4e6:
		return ModerateRisk
	}
	return HighRisk
}

// hazards is the blue-light hazard function B from 380 to 500 nm in steps of 5
// [IEC 62471; from memory].
var hazards = [...]float64{
	0.01, 0.013, 0.025, 0.05, 0.10, 0.20, 0.40, 0.80, 0.90, 0.95, 0.98, 1.00, 1.00,
	0.97, 0.94, 0.90, 0.80, 0.70, 0.62, 0.55, 0.45, 0.40, 0.22, 0.16, 0.10,
}

// hazard returns B at a wavelength in nm of the visible range, straight
// between the steps of the table.
func hazard(nm int) float64 {
	switch {
	case nm < 380:
		return 0.01
	case nm < 500:
		i, rest := (nm-380)/5, float64((nm-380)%5)/5
		return hazards[i] + rest*(hazards[i+1]-hazards[i])
	case nm <= 600:
		return math.Pow(10, float64(450-nm)/50)
	case nm <= 700:
		return 0.001
	}
	return 0
}
