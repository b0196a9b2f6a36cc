package compile

import (
	"math"

	"linkboy/colour"
)

// How far the straight drives between two knots may be from the true way. They
// keep a fade within a CIEDE2000 of 1, about the least that is seen, at every
// moment, with the cell's most light as the white.
const (
	// labNear is a distance in OKLab, where 0.02 is about the least that is
	// seen side by side (common practice, no source): a tenth of that.
	labNear = 0.002
	// uvNear is a distance in u'v' for light that is bright enough to judge a
	// colour by: under a third of one step of CIE TN 001:2014 (0.0011), so that
	// the rounding to channel bytes fits beside it within 0.0005.
	uvNear = 0.0003
	// uvFrom is the share of the most light at a chromaticity from which
	// uvNear holds.
	uvFrom = 0.15
	// dimNear is a share of the cell's most light, 17 stops under it: half a step
	// of a linear 16-bit channel. A square law has finer steps there, but they
	// are under what is seen beside the rest (common practice, no source).
	dimNear = 0.5 / 65535
)

// closer is into how many parts a segment is cut to look for corners.
const closer = 4

// straight tells whether straight drives from a to b, which has m at its middle,
// keep to the way. Where the way has corners, at the edge of a gamut or where
// an emitter has no room for another mix, its middle alone does not tell.
func (w *walker) straight(a, m, b *point) bool {
	if !w.near(a, m, b) {
		return false
	}
	if !w.cornered {
		return true
	}
	for k := range closer - 1 {
		at := w.at(a.t + (b.t-a.t)*float64(k+1)/closer)
		if !w.near(a, &at, b) {
			return false
		}
	}
	return true
}

// near tells whether straight drives from a to b pass m nearly enough.
func (w *walker) near(a, m, b *point) bool {
	k := (m.t - a.t) / (b.t - a.t)
	got := colour.XYZ{
		X: a.light.X + k*(b.light.X-a.light.X),
		Y: a.light.Y + k*(b.light.Y-a.light.Y),
		Z: a.light.Z + k*(b.light.Z-a.light.Z),
	}
	want := m.light
	if math.Abs(got.X-want.X) < dimNear && math.Abs(got.Y-want.Y) < dimNear && math.Abs(got.Z-want.Z) < dimNear {
		return true
	}
	g, l := got.OKLab(), m.lab
	if dl, da, db := g.L-l.L, g.A-l.A, g.B-l.B; dl*dl+da*da+db*db > labNear*labNear {
		return false
	}
	if !a.bright && !m.bright && !b.bright {
		return true
	}
	u, v := got.XY().UV(), want.XY().UV()
	du, dv := u.U-v.U, u.V-v.V
	return du*du+dv*dv <= uvNear*uvNear
}
