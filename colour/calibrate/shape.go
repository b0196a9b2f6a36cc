package calibrate

import (
	"math"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// What LEDs of one colour and make differ by, and what a meter does: one
// standard deviation each (common practice, no source).
const (
	peakSpreadNM  = 5.0   // of the peak's wavelength
	widthSpread   = 0.15  // of the logarithm of the width
	colourSpread  = 0.001 // of a reading of chromaticity, u'v'
	narrowNM      = 30.0  // standard deviation in wavelength of a single LED, at most: 70 nm wide at half height
	mostMoves     = 20    // Gauss-Newton steps; four are enough for what is near
	settledMoveNM = 1e-4
	// Past these it is no bin of the same LED.
	mostShiftNM = 25.0
	mostWiden   = 0.5
)

// isNarrow reports whether s is the light of a single LED without phosphor.
func isNarrow(s *spectra.Spectrum) bool {
	_, deviation := spread(s)
	return deviation < narrowNM
}

// spread returns the mean wavelength of a spectrum's power and its standard
// deviation, in nm.
func spread(s *spectra.Spectrum) (mean, deviation float64) {
	power := s.Power()
	for i, p := range s {
		mean += p / power * float64(spectra.FirstNM+i)
	}
	var square float64
	for i, p := range s {
		d := float64(spectra.FirstNM+i) - mean
		square += p / power * d * d
	}
	return mean, math.Sqrt(square)
}

// move is what tells one narrow LED from another: its peak lies shift nm
// further up and it is exp(widen) times as wide.
type move struct{ shift, widen float64 }

func (m move) plausible() bool {
	return math.Abs(m.shift) <= mostShiftNM && math.Abs(m.widen) <= mostWiden
}

// apply stretches s about its mean wavelength and shifts it.
func (m move) apply(s *spectra.Spectrum, mean float64) spectra.Spectrum {
	var out spectra.Spectrum
	narrower := math.Exp(-m.widen)
	for i := range out {
		nm := mean + (float64(spectra.FirstNM+i)-mean-m.shift)*narrower
		out[i] = at(s, nm)
	}
	return out
}

// moved returns a narrow spectrum with its peak and width moved so as to come
// to the chromaticity xy: the likeliest move, by the spreads above, given the
// reading. What is then left of the way is at most about a meter's error where
// a move can go there at all; Warp goes the rest.
func moved(s *spectra.Spectrum, xy colour.XY) spectra.Spectrum {
	mean, _ := spread(s)
	target := xy.UV()
	var m move
	miss := func(m move) [4]float64 { // what is squared and summed
		light := m.apply(s, mean)
		uv := light.XYZ().XY().UV()
		return [4]float64{
			(uv.U - target.U) / colourSpread, (uv.V - target.V) / colourSpread,
			m.shift / peakSpreadNM, m.widen / widthSpread,
		}
	}
	at := miss(m)
	for range mostMoves {
		const h, k = 0.1, 0.01 // steps of the numeric derivative
		step := leastSquares(at, difference(miss(move{m.shift + h, m.widen}), at, h), difference(miss(move{m.shift, m.widen + k}), at, k))
		next, better := m, at
		for share := 1.0; share > 1e-3; share /= 2 {
			next = move{m.shift + share*step.shift, m.widen + share*step.widen}
			if better = miss(next); next.plausible() && square(better) < square(at) {
				break
			}
		}
		if !next.plausible() || !(square(better) < square(at)) {
			break
		}
		done := math.Abs(next.shift-m.shift) < settledMoveNM
		if m, at = next, better; done {
			break
		}
	}
	return m.apply(s, mean)
}

// leastSquares returns the move that undoes at best, whose parts change by a
// for each nm of shift and by b for each unit of widen.
func leastSquares(at, a, b [4]float64) move {
	var aa, ab, bb, ay, by float64
	for i := range at {
		aa, ab, bb = aa+a[i]*a[i], ab+a[i]*b[i], bb+b[i]*b[i]
		ay, by = ay+a[i]*at[i], by+b[i]*at[i]
	}
	det := aa*bb - ab*ab // above 0: the last two parts of a and b are independent
	return move{(ab*by - bb*ay) / det, (ab*ay - aa*by) / det}
}

func difference(a, b [4]float64, by float64) [4]float64 {
	for i := range a {
		a[i] = (a[i] - b[i]) / by
	}
	return a
}

func square(v [4]float64) float64 { return v[0]*v[0] + v[1]*v[1] + v[2]*v[2] + v[3]*v[3] }

// at returns the power of s at a wavelength, straight between its samples.
func at(s *spectra.Spectrum, nm float64) float64 {
	x := nm - spectra.FirstNM
	i := int(math.Floor(x))
	if i < 0 || i >= spectra.Samples-1 {
		return 0
	}
	return s[i] + (x-float64(i))*(s[i+1]-s[i])
}
