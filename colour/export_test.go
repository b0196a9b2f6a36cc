package colour

// NearestOnLocus is the search behind XY.CCT without its limits.
func NearestOnLocus(p XY) (CCT, bool) { return nearestOnLocus(p) }

// LocusError is how far, in uv, the interpolated locus lies from the summed
// one at m.
func LocusError(m Mired) float64 {
	p, _ := planckAt(planckLocus(), m)
	d := p.at.sub(planckSum(m).at)
	return max(d.u, -d.u, d.v, -d.v)
}

// PlanckSum sums the locus once, the measure of speed that CCT is held against.
func PlanckSum(m Mired) XY { return planckSum(m).at.xy() }

// LocusStep is the distance of the nodes of the interpolated locus.
const LocusStep = locusStep

// SpectralLocus are the points of the spectral locus.
func SpectralLocus() []XY { return spectralLocus()[:] }

// UV60 gives p in CIE 1960 uv.
func UV60(p XY) (u, v float64) { q := p.uv60(); return q.u, q.v }

// FromUV60 gives the xy of a CIE 1960 uv.
func FromUV60(u, v float64) XY { return uv60{u, v}.xy() }
