package colour

import "math"

// UV is a CIE 1976 u'v' chromaticity, the plane in which linkboy measures
// chromaticity differences.
type UV struct{ U, V float64 }

// UV returns p in CIE 1976 u'v' [CIE 15].
func (p XY) UV() UV {
	d := -2*p.X + 12*p.Y + 3
	return UV{4 * p.X / d, 9 * p.Y / d}
}

// XY returns p in CIE 1931 xy, the inverse of XY.UV.
func (p UV) XY() XY {
	d := 6*p.U - 16*p.V + 12
	return XY{9 * p.U / d, 4 * p.V / d}
}

// Distance is the straight distance from p to q in u'v'. About 0.004 is where
// a careful eye begins to tell two patches side by side apart (common
// practice, no source).
func (p UV) Distance(q UV) float64 { return math.Hypot(p.U-q.U, p.V-q.V) }

// Lerp returns the point that lies share t of the way from p to q on the
// straight line between them; t may lie outside 0..1.
func (p UV) Lerp(q UV, t float64) UV {
	return UV{p.U + t*(q.U-p.U), p.V + t*(q.V-p.V)}
}

// uv60 is a CIE 1960 uv chromaticity, the plane in which CCT and Duv are
// defined; u is u' and v is 2/3 of v'.
type uv60 struct{ u, v float64 }

func (p XY) uv60() uv60 {
	q := p.UV()
	return uv60{q.U, q.V / 1.5}
}

func (p uv60) xy() XY { return UV{p.u, p.v * 1.5}.XY() }

func (p uv60) sub(q uv60) uv60      { return uv60{p.u - q.u, p.v - q.v} }
func (p uv60) dot(q uv60) float64   { return p.u*q.u + p.v*q.v }
func (p uv60) cross(q uv60) float64 { return p.u*q.v - p.v*q.u }
