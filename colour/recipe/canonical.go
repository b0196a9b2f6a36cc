package recipe

import (
	"math"
	"sync"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// canonicalMired is the white from which the spectra of colours are drawn: 4545 K, in the
// middle of what sets are lit with. Near the reference whites it hardly matters, as there
// the reference is theirs.
const canonicalMired = 220

// Limits of Newton's method. It takes 5 to 20 steps.
const (
	newtonSteps   = 100
	newtonLeast   = 1e-15 // share of a step that is worth taking
	newtonNear    = 1e-12 // error of xy at which it ends
	newtonDescent = 1e-4  // share of the slope's promise that a step must keep (Armijo)
	newtonLost    = 1e-13 // share of the sum below which a promise is lost in the last bits
)

// tilt is what makes a spectrum of the white's.
type tilt [2]float64

// canonical returns the spectrum that stands for a chromaticity inside the spectral locus,
// in W/nm of any scale, and what makes it: of all spectra of the chromaticity the one that
// tells least beyond the white, that of the least relative entropy to it [Jaynes1957]
// [Kullback1959]. It is positive and smooth, and has the form
//
//	S(λ) = W(λ)·exp(a·x̄(λ) + b·ȳ(λ) + c·z̄(λ))
//
// of which two numbers are free, as a, b, c are at right angles to X, Y, Z. They are the
// ones at which ∫S is least, a convex function, found by Newton's method from a start.
// ok is false when p has none.
func canonical(p colour.XY, start tilt) (s spectra.Spectrum, t tilt, ok bool) {
	base, functions := canonicalWhite(), spectra.CIE1931.Functions()
	z := 1 - p.X - p.Y
	var away [spectra.Samples][2]float64 // what each nanometre adds to the error of the chromaticity
	for i, f := range functions {
		away[i] = [2]float64{p.Y*f[0] - p.X*f[1], p.Y*f[2] - z*f[1]}
	}
	t = start
	now := descent(base, functions, &away, t, &s)
	for range newtonSteps {
		if math.Abs(now.slope[0])+math.Abs(now.slope[1]) <= newtonNear*now.lumens {
			return s, t, true
		}
		det := now.bend[0]*now.bend[2] - now.bend[1]*now.bend[1]
		step := tilt{
			(now.bend[1]*now.slope[1] - now.bend[2]*now.slope[0]) / det,
			(now.bend[1]*now.slope[0] - now.bend[0]*now.slope[1]) / det,
		}
		promise := step[0]*now.slope[0] + step[1]*now.slope[1]
		if !(promise < 0) {
			return s, t, false
		}
		lost := -promise < newtonLost*now.sum
		for size := 1.0; ; size /= 2 {
			if size < newtonLeast {
				return s, t, false
			}
			next := tilt{t[0] + size*step[0], t[1] + size*step[1]}
			there := descent(base, functions, &away, next, &s)
			if lost || there.sum <= now.sum+newtonDescent*size*promise {
				now, t = there, next
				break
			}
		}
	}
	return s, t, false
}

// canonicalWhite gives the white of canonicalMired.
var canonicalWhite = sync.OnceValue(func() *spectra.Spectrum {
	return &whiteTable()[(canonicalMired-firstMired)/miredStep].light
})

// slopes are the sum of a spectrum, its derivatives by the tilt, and its Σȳ.
type slopes struct {
	sum    float64
	slope  [2]float64
	bend   [3]float64 // second derivatives: aa, ab, bb
	lumens float64
}

// descent works out the spectrum of a tilt, into s, and the slopes there.
func descent(base *spectra.Spectrum, functions *[spectra.Samples][3]float64, away *[spectra.Samples][2]float64, t tilt, s *spectra.Spectrum) (d slopes) {
	for i := range away {
		g := &away[i]
		v := base[i] * math.Exp(t[0]*g[0]+t[1]*g[1])
		s[i] = v
		d.sum += v
		d.slope[0] += v * g[0]
		d.slope[1] += v * g[1]
		d.bend[0] += v * g[0] * g[0]
		d.bend[1] += v * g[0] * g[1]
		d.bend[2] += v * g[1] * g[1]
		d.lumens += v * functions[i][1]
	}
	return d
}

// tilted returns the spectrum of a tilt for p, as canonical does.
func tilted(t tilt, p colour.XY) (s spectra.Spectrum) {
	base, z := canonicalWhite(), 1-p.X-p.Y
	for i, f := range spectra.CIE1931.Functions() {
		s[i] = base[i] * math.Exp(t[0]*(p.Y*f[0]-p.X*f[1])+t[1]*(p.Y*f[2]-z*f[1]))
	}
	return s
}
