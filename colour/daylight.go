package colour

// Planckian returns the chromaticity of a black body at t, 1000 K to 1e6 K:
// Planck's law with c2 = 1.4388e-2 m·K under the 1 nm observer [CIE 15].
func Planckian(t Kelvin) (XY, error) { return CCT{T: t}.XY() }

// Range of the CIE daylight locus.
const (
	minDaylight   Kelvin = 4000
	maxDaylight   Kelvin = 25000
	daylightBreak Kelvin = 7000 // the last temperature of the warmer branch
)

// Daylight returns the chromaticity of a phase of daylight at t, 4000 K to
// 25000 K, by the CIE polynomials [CIE 15:2004, eq. 3.3 and 3.4]. Its locus runs
// about 0.003 Duv above the Planckian. Since c2 has changed after the
// polynomials were fitted, "D65" is the daylight of 6504 K.
func Daylight(t Kelvin) (XY, error) {
	if !(t >= minDaylight && t <= maxDaylight) {
		return XY{}, &Error{
			What: "daylight of " + number(float64(t)) + " K",
			Why:  "the CIE daylight locus runs from 4000 K to 25000 K",
			Mend: "write a temperature in that range, or use the Planckian locus",
		}
	}
	k := 1000 / float64(t)
	x := 0.244063 + k*(0.09911+k*(2.9678-k*4.6070))
	if t > daylightBreak {
		x = 0.237040 + k*(0.24748+k*(1.9018-k*2.0064))
	}
	return XY{x, -0.275 + x*(2.870-3.000*x)}, nil
}
