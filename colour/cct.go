package colour

import (
	"fmt"
	"math"
)

// CCT is a white: its correlated colour temperature and its distance from the
// Planckian locus.
//
// Both are defined in CIE 1960 uv: T is the temperature of the nearest point
// of the Planckian locus and Duv the signed distance to it, positive above
// (towards green) [CIE 15; Ohno2014]. The locus is summed from
// the 1 nm table of the observer, so the way there and the way back agree.
//
// The idea of a white holds for 1000 K to 1e6 K and |Duv| up to 0.05.
type CCT struct {
	T   Kelvin
	Duv Duv
}

// MaxDuv is the largest distance from the Planckian locus at which a
// correlated colour temperature has a meaning [CIE 15].
const MaxDuv Duv = 0.05

// endSlack is how far, in mired, rounding may push the foot of a point at the
// very end of the locus past that end.
const endSlack = 1e-6

// XY returns the chromaticity of c: the point of the Planckian locus at T,
// moved by Duv along the normal of the locus. T is 1000 K to 1e6 K and |Duv|
// at most 0.05. At low temperatures a large positive Duv gives a point that
// no light has; see XY.Valid.
func (c CCT) XY() (XY, error) {
	if err := checkKelvin(c.T); err != nil {
		return XY{}, err
	}
	if !(math.Abs(float64(c.Duv)) <= float64(MaxDuv)) {
		return XY{}, &Error{
			What: fmt.Sprintf("a tint of %s", number(float64(c.Duv))),
			Why:  "a tint is a Duv; past 0.05 from the Planckian locus a colour is no white of any temperature",
			Mend: "write a tint of -0.05 to 0.05 (0.003 is a little green), or name the colour by hue and sat",
		}
	}
	p, _ := planckAt(planckLocus(), c.T.Mired())
	k := float64(c.Duv) / math.Sqrt(p.slope.dot(p.slope))
	return uv60{p.at.u - k*p.slope.v, p.at.v + k*p.slope.u}.xy(), nil
}

// checkKelvin says why t is not a temperature of the Planckian locus.
func checkKelvin(t Kelvin) error {
	if t >= minKelvin && t <= maxKelvin {
		return nil
	}
	mend := "write a temperature of 1000 K to 1000000 K"
	if t > 0 && t < 100 {
		mend += fmt.Sprintf("; %s K is perhaps meant", number(float64(t)*1000))
	}
	return &Error{
		What: number(float64(t)) + " K",
		Why:  "the Planckian locus is known here from 1000 K to 1000000 K",
		Mend: mend,
	}
}

// CCT returns the correlated colour temperature of p and its Duv. A p that is
// further than 0.05 from the Planckian locus, or that lies past an end of it,
// has none: that is an error.
func (p XY) CCT() (CCT, error) {
	c, inside := nearestOnLocus(p)
	chromaticity := p.X >= 0 && p.Y > 0 && !math.IsInf(p.X, 0) && !math.IsInf(p.Y, 0)
	if chromaticity && inside && math.Abs(float64(c.Duv)) <= float64(MaxDuv)*(1+1e-9) {
		return c, nil
	}
	what := fmt.Sprintf("the colour temperature of xy %s, %s", number(p.X), number(p.Y))
	const mend = "name this colour by xy, or by hue and sat"
	switch {
	case !chromaticity:
		return CCT{}, &Error{what, "this is no chromaticity", "give x and y of a light: both above 0, together at most 1"}
	case !inside && c.T < 2*minKelvin:
		return CCT{}, &Error{what, "it is redder than any black body of 1000 K and up", mend}
	case !inside:
		return CCT{}, &Error{what, "it is bluer than a black body of 1000000 K", mend}
	}
	return CCT{}, &Error{what, fmt.Sprintf("it lies %.3f in uv from the Planckian locus, and past 0.05 a temperature means nothing", math.Abs(float64(c.Duv))), mend}
}

// nearestOnLocus finds the foot of p on the Planckian locus; inside is false
// when the foot is an end of the locus and p lies past it.
func nearestOnLocus(p XY) (c CCT, inside bool) {
	q := p.uv60()
	nodes := planckLocus()
	// Looking at every node leaves no way to be caught in a wrong valley,
	// which stepping from a guess does far below the locus.
	nearest, best := 0, math.Inf(1)
	for i := range nodes {
		d := q.sub(nodes[i].at)
		if far := d.dot(d); far < best {
			nearest, best = i, far
		}
	}
	m, inside := footNear(nodes, q, nearest)
	at, _ := planckAt(nodes, m)
	off := q.sub(at.at)
	duv := at.slope.cross(off) / math.Sqrt(at.slope.dot(at.slope))
	return CCT{m.Kelvin(), Duv(duv)}, inside
}

// footNear finds, between the neighbours of the given node, where the line
// from q meets the locus at a right angle: Newton's method kept in a bracket.
func footNear(nodes *[locusNodes]locusPoint, q uv60, node int) (m Mired, inside bool) {
	m = minMired + Mired(node)*locusStep
	lo, hi := max(m-locusStep, minMired), min(m+locusStep, maxMired)
	if ahead := miredAhead(nodes[node], q); m == minMired && ahead < -endSlack || m == maxMired && ahead > endSlack {
		return m, false
	}
	for range 60 {
		p, bend := planckAt(nodes, m)
		off := q.sub(p.at)
		f := off.dot(p.slope)
		if f > 0 {
			lo = m
		} else {
			hi = m
		}
		next := m + Mired(f/(p.slope.dot(p.slope)-off.dot(bend)))
		if !(next > lo && next < hi) {
			next = lo + (hi-lo)/2
		}
		if math.Abs(float64(next-m)) <= 1e-12*float64(m) {
			return next, true
		}
		m = next
	}
	return m, true
}

// miredAhead is about how far, in mired, the foot of q lies past p.
func miredAhead(p locusPoint, q uv60) Mired {
	return Mired(q.sub(p.at).dot(p.slope) / p.slope.dot(p.slope))
}
