package compile

import (
	"linkboy/colour"
	"linkboy/cues"
)

// path is the way of one cell's light through a fade, in OKLab of the light as
// a share of the cell's most light.
//
// OKLab is a perceptual space of light against a surround: equal steps along a
// straight line look like equal steps, and hue stays where a straight line in
// light would bend it. As it is homogeneous (all its axes go with the cube root
// of light) the line between two lights is the same line however bright the
// white is taken to be, so the choice of the cell's most light as the white
// sets only the scale of the tolerances. For the same reason a line to or from
// black keeps the chromaticity of its lit end all the way.
type path struct {
	a, middle, b colour.OKLab
	bent         bool // through middle, else straight from a to b
}

// newPath gives the way from light a to light b. Through white it passes the
// balance white half-way, at the lightness half-way; from or to black there is
// no hue to hide, and it goes straight.
func newPath(a, b colour.XYZ, kind cues.Path, white colour.XY) path {
	p := path{a: a.OKLab(), b: b.OKLab()}
	if kind != cues.PathWhite || a.Y <= 0 || b.Y <= 0 {
		return p
	}
	w := white.XYZ(1).OKLab()
	if w.L <= 0 {
		return p
	}
	k := (p.a.L + p.b.L) / 2 / w.L
	p.middle = colour.OKLab{L: w.L * k, A: w.A * k, B: w.B * k}
	p.bent = true
	return p
}

// at gives the light at t, 0..1, of the way.
func (p *path) at(t float64) colour.OKLab {
	switch {
	case !p.bent:
		return mix(p.a, p.b, t)
	case t < 0.5:
		return mix(p.a, p.middle, 2*t)
	}
	return mix(p.middle, p.b, 2*t-1)
}

func mix(a, b colour.OKLab, t float64) colour.OKLab {
	return colour.OKLab{L: a.L + t*(b.L-a.L), A: a.A + t*(b.A-a.A), B: a.B + t*(b.B-a.B)}
}
