package colour

import (
	"math"
	"sync"
)

// Range of the Planckian locus. Below 1000 K a black body gives hardly any
// light; past 1e6 K the locus has all but reached its end at infinity
// (u, v = 0.18006, 0.26352).
const (
	minKelvin Kelvin = 1000
	maxKelvin Kelvin = 1e6
	minMired  Mired  = 1
	maxMired  Mired  = 1000
)

// secondRadiation is Planck's c2 in nm·mired/1: an exponent c2/(λT) is
// secondRadiation·mired/nm. CCT is computed with c2 = 1.4388e-2 m·K
// [CIE 15]; the 2019 SI value would move temperatures by 16 parts in a million.
const secondRadiation = 1.4388e-2 * 1e9 / 1e6

// locusPoint is a point of the Planckian locus in CIE 1960 uv with the locus's
// derivative by mired. Mired, not kelvin, because the locus runs along it at a
// nearly even speed.
type locusPoint struct{ at, slope uv60 }

// planckSum sums Planck's law times the observer at 1 nm.
func planckSum(m Mired) locusPoint {
	var sum, rate [3]float64
	for i, cmf := range Observer1931() {
		nm := float64(observerFirstNM + i)
		e := secondRadiation / nm
		n := math.Expm1(e * float64(m))
		ratio := 560 / nm
		power := ratio * ratio * ratio * ratio * ratio / n
		powerRate := -power * e * (n + 1) / n
		for k := range 3 {
			sum[k] += power * cmf[k]
			rate[k] += powerRate * cmf[k]
		}
	}
	d := sum[0] + 15*sum[1] + 3*sum[2]
	dRate := rate[0] + 15*rate[1] + 3*rate[2]
	at := uv60{4 * sum[0] / d, 6 * sum[1] / d}
	return locusPoint{at, uv60{
		(4*rate[0] - at.u*dRate) / d,
		(6*rate[1] - at.v*dRate) / d,
	}}
}

// The locus is summed once at evenly spaced nodes and is a cubic between them.
// At this step the cubic leaves the summed locus by less than 2e-10 in uv,
// far under the rounding of any published chromaticity.
const (
	locusStep  Mired = 3
	locusNodes       = int((maxMired-minMired)/locusStep) + 1
)

var planckLocus = sync.OnceValue(func() *[locusNodes]locusPoint {
	nodes := new([locusNodes]locusPoint)
	for i := range nodes {
		nodes[i] = planckSum(minMired + Mired(i)*locusStep)
	}
	return nodes
})

// planckAt returns the locus at m, with its second derivative, from the nodes
// around it (cubic Hermite).
func planckAt(nodes *[locusNodes]locusPoint, m Mired) (p locusPoint, bend uv60) {
	i := min(max(int((m-minMired)/locusStep), 0), locusNodes-2)
	h := float64(locusStep)
	t := float64(m-minMired)/h - float64(i)
	a, b := &nodes[i], &nodes[i+1]
	p.at.u, p.slope.u, bend.u = hermite(a.at.u, a.slope.u*h, b.at.u, b.slope.u*h, t)
	p.at.v, p.slope.v, bend.v = hermite(a.at.v, a.slope.v*h, b.at.v, b.slope.v*h, t)
	p.slope = uv60{p.slope.u / h, p.slope.v / h}
	return p, uv60{bend.u / (h * h), bend.v / (h * h)}
}

// hermite returns the cubic through p0 and p1 with slopes s0 and s1 at t in
// 0..1, and its first two derivatives.
func hermite(p0, s0, p1, s1, t float64) (at, slope, bend float64) {
	c2 := 3*(p1-p0) - 2*s0 - s1
	c3 := 2*(p0-p1) + s0 + s1
	at = p0 + t*(s0+t*(c2+t*c3))
	slope = s0 + t*(2*c2+t*3*c3)
	bend = 2*c2 + 6*c3*t
	return at, slope, bend
}
