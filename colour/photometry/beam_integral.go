package photometry

import "math"

// The rule of [Takahasi1974] for an integral from 0 to infinity of something that
// falls like exp(-x): x = exp(t - exp(-t)) and equal steps of t. It does not
// mind a root at 0, and at these bounds and this step it is good to 1e-12.
const (
	stepOfT  = 1.0 / 16
	leastT   = -3.75 // x is 1e-20
	mostT    = 3.875 // x is 47: exp(-x) is 3e-21
	stepsOfT = (mostT - leastT) / stepOfT
)

// solidAngle returns the lumens of b for each candela of its peak: the
// integral of I/I0 over all directions. The light over a share s of the peak
// fills a cap of 2π(1 - cos θ(s)); summed over all shares, with s = 2^-y,
//
//	Φ/I0 = 2π(1 - ∫ exp(-y^(1/p) ln 2/m) ln 2 2^-y dy)
//
// For p = 1 that is 2π/(m + 1). The sum over shares and not over angles keeps
// the integrand smooth also where the beam's edge is hard.
func (b Beam) solidAngle() float64 {
	if b.exponent == 0 {
		return 0
	}
	if b.shape == 1 {
		return 2 * math.Pi / (b.exponent + 1)
	}
	var sum float64
	for i := range int(stepsOfT) + 1 {
		t := leastT + float64(i)*stepOfT
		x := math.Exp(t - math.Exp(-t))      // y ln 2
		weight := x * (1 + math.Exp(-t))     // dx/dt
		y := math.Pow(x/math.Ln2, 1/b.shape) // x of the doc of Beam
		// 1 - exp is summed and not exp: a narrow beam keeps its digits.
		sum -= math.Expm1(-y*math.Ln2/b.exponent) * math.Exp(-x) * weight
	}
	return 2 * math.Pi * sum * stepOfT
}
