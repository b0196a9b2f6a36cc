package quality

import (
	"math"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// CRIResult are the colour rendering indices of a light.
//
//	Ra        general index, the mean of R1 to R8; at most 100, may be negative
//	R         special indices R1 to R14 in R[0] to R[13]; at most 100, R9 (strong
//	          red) often negative
//	CCT       the temperature at which the reference was taken
//	Distance  ΔC, from the light to its reference in CIE 1960 uv, 0 and up
//
// Past a Distance of 0.0054 the standard calls the indices inexact; see Exact.
type CRIResult struct {
	Ra       float64
	R        [14]float64
	CCT      colour.CCT
	Distance float64
}

// Exact reports whether the light lies near enough to its reference for the
// indices to mean what they say [CIE 13.3].
func (r CRIResult) Exact() bool { return r.Distance < 0.0054 }

// criDaylight is where the reference turns from a black body to daylight.
const criDaylight colour.Kelvin = 5000

// CRI returns the colour rendering indices of s against a black body below
// 5000 K and a phase of daylight from 5000 K up, of the same temperature.
//
//	domain  s with powers of 0 and up in any unit; 1000 to 25000 K, |Duv| to 0.05
//	range   see CRIResult
//
// The sums run from 380 to 780 nm at 1 nm. Since the reference changes at
// 5000 K, indices of lights just there may jump by some 3 points.
// Source: [CIE 13.3].
func CRI(s spectra.Spectrum) (CRIResult, error) { return CRIAt(s, Every1) }

// CRIAt is CRI with sums at a given step; Every5 is the rule by which the
// tables of CIE 15 were made.
func CRIAt(s spectra.Spectrum, step Step) (CRIResult, error) {
	const figure = "CRI"
	test, err := prepare(figure, &s, step)
	if err != nil {
		return CRIResult{}, err
	}
	b := step.between(380, 780)
	cct, err := b.whiteOf(figure, &test)
	if err != nil {
		return CRIResult{}, err
	}
	reference, err := criReference(cct.T)
	if err != nil {
		return CRIResult{}, err
	}
	return criAgainst(b, &test, &reference, cct), nil
}

// criAgainst compares the samples under two lights.
func criAgainst(b band, test, reference *spectra.Spectrum, cct colour.CCT) CRIResult {
	seen, was := criSee(b, test), criSee(b, reference)
	out := CRIResult{CCT: cct, Distance: math.Hypot(seen.white.u-was.white.u, seen.white.v-was.white.v)}
	for i := range out.R {
		p, q := was.pair(&seen, i)
		out.R[i] = 100 - 4.6*p.distance(q)
	}
	for _, r := range out.R[:8] {
		out.Ra += r / 8
	}
	return out
}

// criReference is the reference illuminant at t.
func criReference(t colour.Kelvin) (spectra.Spectrum, error) {
	if t < criDaylight {
		return spectra.Blackbody(t)
	}
	return spectra.DaylightSPD(t)
}

// uv60 is a CIE 1960 chromaticity.
type uv60 struct{ u, v float64 }

// criSample is a sample as seen: its chromaticity and its luminance factor, 0
// to 100.
type criSample struct {
	uv60
	y float64
}

// criSeen are the samples under one light.
type criSeen struct {
	white   uv60
	samples [14]criSample
}

// criSee looks at the samples under s.
func criSee(b band, s *spectra.Spectrum) criSeen {
	var lit responses
	b.light(&lit, s, twoDegrees())
	white := b.white(&lit)
	out := criSeen{white: uv60Of(white)}
	for i := range out.samples {
		c := b.off(&lit, &tcs()[i])
		out.samples[i] = criSample{uv60Of(c), 100 * c[1] / white[1]}
	}
	return out
}

func uv60Of(c [3]float64) uv60 {
	d := c[0] + 15*c[1] + 3*c[2]
	return uv60{4 * c[0] / d, 6 * c[1] / d}
}

// adapt moves p, seen under the white from, to where an eye adapted to the
// white to sees it: the von Kries transform of [CIE 13.3].
func adapt(p, from, to uv60) uv60 {
	c, d := p.cones()
	c0, d0 := from.cones()
	c1, d1 := to.cones()
	c, d = c*c1/c0, d*d1/d0
	below := 16.518 + 1.481*c - d
	return uv60{(10.872 + 0.404*c - 4*d) / below, 5.520 / below}
}

// cones are the functions c and d of [CIE 13.3].
func (p uv60) cones() (c, d float64) {
	return (4 - p.u - 10*p.v) / p.v, (1.708*p.v + 0.404 - 1.481*p.u) / p.v
}

// uvw is a colour in CIE 1964 U*V*W*.
type uvw struct{ u, v, w float64 }

func (a uvw) distance(b uvw) float64 {
	return math.Sqrt((a.u-b.u)*(a.u-b.u) + (a.v-b.v)*(a.v-b.v) + (a.w-b.w)*(a.w-b.w))
}

// pair returns sample i under the reference s, and as it is seen under the
// test light by an eye adapted to s.
func (s *criSeen) pair(test *criSeen, i int) (reference, seen uvw) {
	p, q := s.samples[i], test.samples[i]
	return s.uvw(p, p.uv60), s.uvw(q, adapt(q.uv60, test.white, s.white))
}

// uvw places a sample of chromaticity p in U*V*W* under the white of s.
func (s *criSeen) uvw(sample criSample, p uv60) uvw {
	w := 25*math.Cbrt(sample.y) - 17
	return uvw{13 * w * (p.u - s.white.u), 13 * w * (p.v - s.white.v), w}
}
