package colour

import "math"

// OKLab is a colour in OKLab: L from 0 (black) to 1 (white), a from green to
// red and b from blue to yellow. Equal distances look about equal [Ottosson2020].
type OKLab struct{ L, A, B float64 }

// The matrices of CSS Color 4, re-derived for the white 0.3127, 0.3290, which
// they map to a = b = 0 exactly; the first published ones leave b = -1.2e-4
// there [CSS4]. The ways back are their inverses.
var (
	xyzToLMS = mat3{
		{0.8190224379967030, 0.3619062600528904, -0.1288737815209879},
		{0.0329836539323885, 0.9292868615863434, 0.0361446663506424},
		{0.0481771893596242, 0.2642395317527308, 0.6335478284694309},
	}
	lmsToOKLab = mat3{
		{0.2104542683093140, 0.7936177747023054, -0.0040720430116193},
		{1.9779985324311684, -2.4285922420485799, 0.4505937096174110},
		{0.0259040424655478, 0.7827717124575296, -0.8086757549230774},
	}
	lmsToXYZ   = xyzToLMS.inverse()
	okLabToLMS = lmsToOKLab.inverse()
)

// OKLab returns c, relative to a D65 white of Y = 1, in OKLab. Light in
// lumens must first be scaled to such a white.
func (c XYZ) OKLab() OKLab {
	// Written out: this runs for every cell and frame of a fade, and the loop
	// form takes four times as long.
	m, n := &xyzToLMS, &lmsToOKLab
	l := math.Cbrt(m[0][0]*c.X + m[0][1]*c.Y + m[0][2]*c.Z)
	k := math.Cbrt(m[1][0]*c.X + m[1][1]*c.Y + m[1][2]*c.Z)
	s := math.Cbrt(m[2][0]*c.X + m[2][1]*c.Y + m[2][2]*c.Z)
	return OKLab{
		n[0][0]*l + n[0][1]*k + n[0][2]*s,
		n[1][0]*l + n[1][1]*k + n[1][2]*s,
		n[2][0]*l + n[2][1]*k + n[2][2]*s,
	}
}

// XYZ returns o as XYZ relative to a D65 white of Y = 1, the inverse of XYZ.OKLab.
func (o OKLab) XYZ() XYZ {
	m, n := &okLabToLMS, &lmsToXYZ
	l := m[0][0]*o.L + m[0][1]*o.A + m[0][2]*o.B
	k := m[1][0]*o.L + m[1][1]*o.A + m[1][2]*o.B
	s := m[2][0]*o.L + m[2][1]*o.A + m[2][2]*o.B
	l, k, s = l*l*l, k*k*k, s*s*s
	return XYZ{
		n[0][0]*l + n[0][1]*k + n[0][2]*s,
		n[1][0]*l + n[1][1]*k + n[1][2]*s,
		n[2][0]*l + n[2][1]*k + n[2][2]*s,
	}
}
