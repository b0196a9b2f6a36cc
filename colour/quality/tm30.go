package quality

import (
	"math"

	"linkboy/colour"
	"linkboy/colour/spectra"
)

// TM30Result is the colour rendition of a light by TM-30.
//
//	Rf    fidelity index, 0 to 100, the same as of CIE 224
//	Rg    gamut index: 100 as large a gamut as the reference's, more is more
//	      vivid; far from 100 only where Rf is low, 60 to 140 for lights of
//	      Rf 60 and up
//	Rs    fidelity of each of the 99 samples CES01 to CES99, 0 to 100
//	Bins  the 16 hue bins, bin 1 (reds) in Bins[0]
//	CCT   the temperature at which the reference was taken
type TM30Result struct {
	Rf, Rg float64
	Rs     [99]float64
	Bins   [16]TM30Bin
	CCT    colour.CCT
}

// TM30Bin is what a light does to the samples of one hue bin, 22.5 degrees
// wide in CAM02-UCS, the first from 0 to 22.5 degrees.
//
//	Rf       local fidelity, 0 to 100
//	Chroma   local chroma shift as a share: +0.1 is 10 % more vivid
//	Hue      local hue shift in radians, positive from red to yellow to green
//	Samples  how many samples fall into the bin under the reference; with
//	         none the figures are 0
type TM30Bin struct {
	Rf, Chroma, Hue float64
	Samples         int
}

// The reference blends from a black body at 4000 K to daylight at 5000 K.
const (
	tm30Black    colour.Kelvin = 4000
	tm30Daylight colour.Kelvin = 5000
)

// TM30 returns fidelity and gamut of s: how 99 samples look under it compared
// with a black body or daylight of the same temperature.
//
//	domain  s with powers of 0 and up in any unit; 1000 to 25000 K, |Duv| to 0.05
//	range   see TM30Result
//
// The samples are seen by the 10-degree observer in CAM02-UCS, the temperature
// is that of the 2-degree observer. The sums run from 380 to 780 nm at 1 nm.
// Source: [TM-30], unchanged from TM-30-18; Rf is that of [CIE 224].
func TM30(s spectra.Spectrum) (TM30Result, error) { return TM30At(s, Every1) }

// TM30At is TM30 with sums at a given step; the standard allows either.
func TM30At(s spectra.Spectrum, step Step) (TM30Result, error) {
	const figure = "TM-30"
	test, err := prepare(figure, &s, step)
	if err != nil {
		return TM30Result{}, err
	}
	b := step.between(380, 780)
	cct, err := b.whiteOf(figure, &test)
	if err != nil {
		return TM30Result{}, err
	}
	reference, err := b.tm30Reference(cct.T)
	if err != nil {
		return TM30Result{}, err
	}
	var seen, was [99]jab
	b.tm30See(&seen, &test)
	b.tm30See(&was, &reference)
	out := TM30Result{CCT: cct}
	var sum float64
	for i := range out.Rs {
		de := was[i].distance(seen[i])
		out.Rs[i] = fidelity(de)
		sum += de
	}
	out.Rf = fidelity(sum / float64(len(out.Rs)))
	out.bin(&was, &seen)
	return out, nil
}

// fidelity turns a colour difference into an index of 0 to 100 [CIE 224].
func fidelity(de float64) float64 { return 10 * math.Log1p(math.Exp((100-6.73*de)/10)) }

// tm30Reference is the reference light at t; between 4000 and 5000 K both
// lights are mixed at equal luminance of the 10-degree observer.
func (b band) tm30Reference(t colour.Kelvin) (spectra.Spectrum, error) {
	if t <= tm30Black {
		return spectra.Blackbody(t)
	}
	day, err := spectra.DaylightSPD(t)
	if err != nil || t >= tm30Daylight {
		return day, err
	}
	black, err := spectra.Blackbody(t)
	if err != nil {
		return spectra.Spectrum{}, err
	}
	share := float64((t - tm30Black) / (tm30Daylight - tm30Black))
	return black.Scale((1 - share) / b.luminance10(&black)).Add(day.Scale(share / b.luminance10(&day))), nil
}

// luminance10 is Y of s for the 10-degree observer, in no unit.
func (b band) luminance10(s *spectra.Spectrum) float64 {
	var lit responses
	b.light(&lit, s, tenDegrees())
	return b.white(&lit)[1]
}

// tm30See looks at the samples under s.
func (b band) tm30See(out *[99]jab, s *spectra.Spectrum) {
	var lit responses
	b.light(&lit, s, tenDegrees())
	eye := adapted(b.white(&lit))
	samples := ces()
	for i := range out {
		out[i] = eye.see(b.off(&lit, &samples[i]))
	}
}

// tm30Sum adds up the samples of one bin under both lights.
type tm30Sum struct {
	was, seen  jab
	difference float64
}

// bin sorts the samples by their hue under the reference, and works out the
// bins and, from the two polygons of their means, the gamut [TM-30].
func (r *TM30Result) bin(was, seen *[99]jab) {
	var sums [16]tm30Sum
	for i := range was {
		k := was[i].bin()
		r.Bins[k].Samples++
		sums[k].was = sums[k].was.add(was[i])
		sums[k].seen = sums[k].seen.add(seen[i])
		sums[k].difference += was[i].distance(seen[i])
	}
	// An empty bin has no corner: the polygons go straight past it.
	var corners [2][16]jab
	before, after := corners[0][:0], corners[1][:0]
	for k := range r.Bins {
		n := float64(r.Bins[k].Samples)
		if n == 0 {
			continue
		}
		p, q := sums[k].was.scale(1/n), sums[k].seen.scale(1/n)
		before, after = append(before, p), append(after, q)
		sin, cos := math.Sincos((float64(k) + 0.5) * math.Pi / 8)
		chroma := math.Hypot(p.a, p.b)
		r.Bins[k].Rf = fidelity(sums[k].difference / n)
		r.Bins[k].Chroma = ((q.a-p.a)*cos + (q.b-p.b)*sin) / chroma
		r.Bins[k].Hue = ((q.b-p.b)*cos - (q.a-p.a)*sin) / chroma
	}
	r.Rg = 100 * area(after) / area(before)
}

// bin returns the hue bin of p, 0 to 15.
func (p jab) bin() int {
	hue := math.Atan2(p.b, p.a)
	if hue < 0 {
		hue += 2 * math.Pi
	}
	return min(int(hue/(2*math.Pi)*16), 15)
}

// area returns the area of the polygon through p, by the shoelace formula.
func area(p []jab) float64 {
	var twice float64
	for i, q := range p {
		next := p[(i+1)%len(p)]
		twice += q.a*next.b - q.b*next.a
	}
	return twice / 2
}
