package calibrate

import (
	"math"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

const (
	// floorShare is the power, as a share of all, that a spectrum is given
	// evenly over all wavelengths before it is warped, so that light which it
	// does not have at all (the blue that leaks into a red) can be put there.
	floorShare = 1e-5
	// metXY is how near to the chromaticity asked for is there: a hundredth
	// of the last digit that a meter shows.
	metXY = 1e-6
	// mostSteps of Newton's method; ten are usual. A chromaticity at the edge
	// of what light can have has its answer at infinity and takes them all.
	mostSteps = 60
	// pullBack is how many places on the way to equal-energy white are tried
	// when a chromaticity cannot be met, close together at its beginning.
	pullBack = 64
)

// Warp returns a spectrum of chromaticity xy that differs little from s. It is
// in two steps.
//
// A narrow s, the light of a single LED, is first moved along the wavelengths
// and made wider or narrower: the likeliest of such moves given that the xy was
// read, as LEDs of one make differ in their peak by 5 nm, in width by 15 %, and
// readings by 0.001 u'v' (one standard deviation).
//
// Then powers are multiplied by exp(g(λ)), where g is the mix of the observer's
// colour-matching functions with which xy is met. Of all spectra of that
// chromaticity it is the one of the least relative entropy Σ s' ln(s'/s), the
// smallest change by a measure that never leaves powers negative; it is smooth
// as the functions are, and there is one for every xy that light can have
// [Csi1975]. Its two unknowns are the minimum of a convex function, found by
// Newton's method.
//
// reached is the chromaticity of the result: xy to 1e-6, or, for an xy at the
// very edge of what light can have or past it, nearly the first on the way to
// equal-energy white that can be met.
// The result has the power of s. A dark s comes back as it is.
func Warp(s spectra.Spectrum, xy colour.XY) (warped spectra.Spectrum, reached colour.XY) {
	power := s.Power()
	if !(power > 0) {
		return s, colour.XY{}
	}
	own := s.XYZ().XY()
	if own.UV().Distance(xy.UV()) < metXY {
		return s, own
	}
	start := s
	if isNarrow(&s) {
		start = moved(&s, xy)
	}
	start = floored(start)
	for k := 0; k <= pullBack; k++ {
		share := float64(k) / pullBack
		toward := colour.XY{X: xy.X + share*share*(1./3-xy.X), Y: xy.Y + share*share*(1./3-xy.Y)}
		if out, ok := tilted(&start, toward); ok {
			out = out.Scale(power)
			return out, out.XYZ().XY()
		}
	}
	return s, own
}

// floored returns s with power 1 and a little light everywhere.
func floored(s spectra.Spectrum) spectra.Spectrum {
	power := s.Power()
	for i := range s {
		s[i] = (1-floorShare)*s[i]/power + floorShare/spectra.Samples
	}
	return s
}

// tilted multiplies s, all above 0, by the exponential of a mix of the
// colour-matching functions so that its chromaticity is xy, and scales it to
// power 1. False when it does not get there.
func tilted(s *spectra.Spectrum, xy colour.XY) (spectra.Spectrum, bool) {
	t := newTilt(s, xy)
	var c pair
	at := t.evaluate(c)
	for range mostSteps {
		if at.missXY() < metXY {
			return t.light, true
		}
		det := at.xx*at.yy - at.xy*at.xy
		if !(det > 0) {
			return t.light, false
		}
		step := pair{(at.xy*at.grad.y - at.yy*at.grad.x) / det, (at.xy*at.grad.x - at.xx*at.grad.y) / det}
		slope := step.x*at.grad.x + step.y*at.grad.y // below 0
		share := 1.0
		next := t.evaluate(pair{c.x + step.x, c.y + step.y})
		for !(next.value <= at.value+1e-4*share*slope) && share > 1e-6 {
			share /= 2
			next = t.evaluate(pair{c.x + share*step.x, c.y + share*step.y})
		}
		c = pair{c.x + share*step.x, c.y + share*step.y}
		at = next
	}
	return t.light, at.missXY() < metXY
}

type pair struct{ x, y float64 }

// tilt is the search for the exponents. A light of power q has chromaticity
// (x, y) when Σ q (x̄ - x S) = 0 and Σ q (ȳ - y S) = 0, S = x̄ + ȳ + z̄.
type tilt struct {
	logs  spectra.Spectrum // ln of the powers before
	basis [spectra.Samples]pair
	sum   [spectra.Samples]float64 // S
	light spectra.Spectrum         // at the exponents last evaluated, power 1
}

func newTilt(s *spectra.Spectrum, xy colour.XY) *tilt {
	t := &tilt{}
	for i, f := range colour.Observer1931() {
		t.logs[i] = math.Log(s[i])
		t.sum[i] = f[0] + f[1] + f[2]
		t.basis[i] = pair{f[0] - xy.X*t.sum[i], f[1] - xy.Y*t.sum[i]}
	}
	return t
}

// evaluated is ln Σ s exp(c·basis) at some c, its gradient and its Hessian:
// the mean and the covariance of the basis under the light there.
type evaluated struct {
	value      float64
	grad       pair
	xx, xy, yy float64
	sum        float64 // mean of S
}

// missXY is how far the light's chromaticity is from the one asked for, in xy.
func (e *evaluated) missXY() float64 { return math.Hypot(e.grad.x, e.grad.y) / e.sum }

func (t *tilt) evaluate(c pair) evaluated {
	most := math.Inf(-1)
	for i, b := range t.basis {
		t.light[i] = t.logs[i] + c.x*b.x + c.y*b.y
		most = max(most, t.light[i])
	}
	var total float64
	for i, l := range t.light {
		t.light[i] = math.Exp(l - most)
		total += t.light[i]
	}
	e := evaluated{value: most + math.Log(total)}
	for i, b := range t.basis {
		t.light[i] /= total
		q := t.light[i]
		e.grad.x += q * b.x
		e.grad.y += q * b.y
		e.sum += q * t.sum[i]
	}
	for i, b := range t.basis { // about the mean: a narrow light's covariance is tiny
		q, dx, dy := t.light[i], b.x-e.grad.x, b.y-e.grad.y
		e.xx += q * dx * dx
		e.xy += q * dx * dy
		e.yy += q * dy * dy
	}
	return e
}
