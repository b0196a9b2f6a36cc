package difference

import "math"

// UCS is a colour in CAM16-UCS, the space in which straight distances look
// even under the viewing conditions it was seen in.
//
//	J  lightness J', 0 (black) to 100 (the white)
//	A  red (+) against green (-), about -50 to 50
//	B  yellow (+) against blue (-), about -50 to 50
type UCS struct{ J, A, B float64 }

// Coefficients c1 and c2 of the uniform space [Luo2006; Li2017].
const (
	ucsLightness = 0.007
	ucsColour    = 0.0228
)

// UCS returns c in CAM16-UCS:
//
//	J' = 1.7 J / (1 + 0.007 J),  M' = ln(1 + 0.0228 M) / 0.0228,
//	a' = M' cos h,  b' = M' sin h
//
// Source: [Luo2006], [Li2017].
func (c CAM16) UCS() UCS {
	m := math.Log1p(ucsColour*c.M) / ucsColour
	sin, cos := math.Sincos(c.H * (math.Pi / 180))
	return UCS{(1 + 100*ucsLightness) * c.J / (1 + ucsLightness*c.J), m * cos, m * sin}
}

// CAM16 returns the lightness, colourfulness and hue of p, the inverse of
// CAM16.UCS; Eye.XYZ turns them into a colour. J' runs from 0 up to 242, the
// end of the scale; more is taken as just less.
func (p UCS) CAM16() CAM16 {
	const end = (1 + 100*ucsLightness) / ucsLightness
	j := min(max(p.J, 0), 0.999*end)
	return CAM16{
		J: j / (1 + 100*ucsLightness - ucsLightness*j),
		M: math.Expm1(ucsColour*math.Hypot(p.A, p.B)) / ucsColour,
		H: hueOf(p.A, p.B),
	}
}

// UCSDistance returns ΔE' of CAM16-UCS, the straight distance from p to q, 0
// and up. Both must have been seen by the same eye. Source: [Li2017].
func UCSDistance(p, q UCS) float64 { return length(p.J-q.J, p.A-q.A, p.B-q.B) }
