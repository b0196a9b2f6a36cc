package difference

import "math"

// DE2000 returns the CIEDE2000 colour difference of a and b with the
// parametric factors kL = kC = kH = 1.
//
//	domain  Lab of both colours under one white; the formula was fitted to
//	        differences up to about 5 between surfaces under D65, 1000 lx
//	range   0 and up, no unit; symmetric in a and b
//
// It is not a distance in any space: along a path the parts do not add up, and
// where two hues lie exactly 180 degrees apart it jumps by up to 0.06, so
// there the last bit of the input decides [Sharma2005].
//
// Source: [CIE 11664-6] as written down in [Sharma2005], equations 2 to 22.
func DE2000(a, b Lab) float64 {
	g := 1 + 0.5*(1-chroma7((a.Chroma()+b.Chroma())/2))
	c1, h1 := math.Hypot(a.A*g, a.B), hueOf(a.A*g, a.B)
	c2, h2 := math.Hypot(b.A*g, b.B), hueOf(b.A*g, b.B)
	turn, mean := hues(c1, h1, c2, h2)

	dL, dC := b.L-a.L, c2-c1
	dH := 2 * math.Sqrt(c1) * math.Sqrt(c2) * sinDeg(turn/2)

	l, c := (a.L+b.L)/2, (c1+c2)/2
	t := 1 - 0.17*cosDeg(mean-30) + 0.24*cosDeg(2*mean) + 0.32*cosDeg(3*mean+6) - 0.20*cosDeg(4*mean-63)
	off := (l - 50) * (l - 50)
	sL := 1 + 0.015*off/math.Sqrt(20+off)
	sC := 1 + 0.045*c
	sH := 1 + 0.015*c*t
	bend := (mean - 275) / 25
	rT := -2 * chroma7(c) * sinDeg(60*math.Exp(-bend*bend))

	l, c, h := dL/sL, dC/sC, dH/sH
	// Rounding may take the sum a hair below 0 where the rotation term
	// cancels the others.
	return math.Sqrt(max(l*l+c*c+h*h+rT*c*h, 0))
}

// chroma7 is √(C⁷ / (C⁷ + 25⁷)), in a form that no chroma overflows.
func chroma7(c float64) float64 {
	r := 25 / c
	return math.Sqrt(1 / (1 + r*r*r*r*r*r*r))
}

// hues returns the turn from the first hue to the second, -180 to 180 degrees,
// and the hue half-way between them. A grey has no hue and takes the other's.
func hues(c1, h1, c2, h2 float64) (turn, mean float64) {
	if c1 == 0 || c2 == 0 {
		return 0, h1 + h2
	}
	turn = h2 - h1
	switch {
	case turn > 180:
		turn -= 360
	case turn < -180:
		turn += 360
	}
	mean = (h1 + h2) / 2
	if math.Abs(h1-h2) > 180 {
		if h1+h2 < 360 {
			mean += 180
		} else {
			mean -= 180
		}
	}
	return turn, mean
}

func sinDeg(d float64) float64 { return math.Sin(d * (math.Pi / 180)) }
func cosDeg(d float64) float64 { return math.Cos(d * (math.Pi / 180)) }
