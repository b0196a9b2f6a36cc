package recipe

import (
	"math"
	"sync"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/spectra"
)

// How near spectra are to each other.
const (
	// The part that counts is that which the spectral similarity index looks at
	// (SMPTE ST 2122:2020). Beyond it cameras see next to nothing, while a black body has
	// most of its power there.
	nearFromNM = 375
	nearToNM   = 675
	// Spectra are compared through a blur of this width at half height, in nm. What is
	// finer neither pigments nor the channels of a camera tell apart, so where an emitter
	// falls between two gaps it should fill both rather than stay dark because it fits
	// neither. 30 nm gave the generic lamp types their best SSI and Ra together; without
	// any blur Ra falls by 5 to 10 as the narrow emitters are left out.
	blurNM = 30
)

// truest mixes white and colour recipes of one cell.
type truest struct {
	white, smooth *emitters.Truest
	pulls         [whites]emitters.Pull // of the reference whites
}

// newTruest prepares the recipe for a cell whose emitters at full have these spectra.
func newTruest(c *emitters.Cell, lights []spectra.Spectrum) (*truest, error) {
	t := &truest{}
	near := make([][]float64, len(lights))
	bends := make([][]float64, len(lights))
	for i := range lights {
		near[i] = blurred(&lights[i])
		bends[i] = secondDifferences(&lights[i])
	}
	gram := emitters.GramOf(near)
	var err error
	if t.white, err = emitters.NewTruest(c, &gram); err != nil {
		return nil, err
	}
	gram = emitters.GramOf(bends)
	if t.smooth, err = emitters.NewTruest(c, &gram); err != nil {
		return nil, err
	}
	for i, white := range blurredWhites() {
		t.pulls[i] = emitters.PullOf(near, white)
	}
	return t, nil
}

// blurredWhites gives what counts of each reference white.
var blurredWhites = sync.OnceValue(func() [][]float64 {
	table := whiteTable()
	out := make([][]float64, whites)
	for i := range table {
		out[i] = blurred(&table[i].light)
	}
	return out
})

// far is how far the blur reaches, in nm: over 4 sigma, the rest is below 1e-4.
const far = 4 * blurNM / 2

// blur is a Gaussian whose weights add up to 1.
var blur = sync.OnceValue(func() *[2*far + 1]float64 {
	const sigma = blurNM / 2.354820045 // 2√(2 ln 2)
	var weights [2*far + 1]float64
	sum := 0.0
	for i := range weights {
		x := float64(i-far) / sigma
		weights[i] = math.Exp(-x * x / 2)
		sum += weights[i]
	}
	for i := range weights {
		weights[i] /= sum
	}
	return &weights
})

// blurred returns what counts of s, through the blur; powers are in the unit of s.
// Four sums run side by side, each in its own order: one alone would wait for its
// own last addition, and a daemon waits for hundreds of these before its first frame.
func blurred(s *spectra.Spectrum) []float64 {
	weights := blur()
	var padded [spectra.Samples + 2*far]float64 // dark beyond both ends
	copy(padded[far:], s[:])
	const first, n = nearFromNM - spectra.FirstNM, nearToNM - nearFromNM + 1
	out := make([]float64, n)
	i := 0
	for ; i+4 <= n; i += 4 {
		under := padded[first+i : first+i+len(weights)+3]
		var a, b, c, d float64
		for k, w := range weights {
			p := under[k : k+4 : k+4]
			a, b, c, d = a+w*p[0], b+w*p[1], c+w*p[2], d+w*p[3]
		}
		out[i], out[i+1], out[i+2], out[i+3] = a, b, c, d
	}
	for ; i < n; i++ {
		for k, w := range weights {
			out[i] += w * padded[first+i+k]
		}
	}
	return out
}

// secondDifferences returns how much s bends at each nanometre, in W/nm per nm².
func secondDifferences(s *spectra.Spectrum) []float64 {
	bends := make([]float64, spectra.Samples-2)
	for i := range bends {
		bends[i] = s[i] - 2*s[i+1] + s[i+2]
	}
	return bends
}

// solve is Recipe.Solve. Between white and colour it takes a share of both mixes: as both
// give the light asked for, so do their shares.
func (t *truest) solve(asked colour.XY, level colour.Level, toward colour.XY) emitters.Solution {
	aim, _ := t.white.Cell().Aim(asked, toward)
	at := place(aim)
	if at.share == 0 {
		return t.smooth.Solve(asked, level, toward, &emitters.Pull{})
	}
	pull := t.pull(&at)
	s := t.white.Solve(asked, level, toward, &pull)
	if at.share == 1 {
		return s
	}
	other := t.smooth.Solve(asked, level, toward, &emitters.Pull{})
	for i := range s.Drives {
		s.Drives[i] = at.share*s.Drives[i] + (1-at.share)*other.Drives[i]
	}
	return s
}

// pull returns the pull of the reference white at a place, straight between those of the
// table.
func (t *truest) pull(at *among) (p emitters.Pull) {
	a, b := &t.pulls[at.index], &t.pulls[at.index+1]
	for i := range p {
		p[i] = a[i] + at.part*(b[i]-a[i])
	}
	return p
}
