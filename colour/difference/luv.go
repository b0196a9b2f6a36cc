package difference

import (
	"math"

	"linkboy/colour"
)

// Luv is a colour in CIE 1976 L*u*v* under some white.
//
//	L  lightness, 0 (black) to 100 (the white), the same as of Lab
//	U  red (+) against green (-), about -100 to 200
//	V  yellow (+) against blue (-), about -150 to 120
type Luv struct{ L, U, V float64 }

// LuvOf returns c in CIELUV under white:
//
//	L* as of CIELAB,  u* = 13 L* (u' - u'n),  v* = 13 L* (v' - v'n)
//
// Domain: c and white in one unit, white with X, Y, Z above 0. Black, a c
// without a chromaticity (X + 15Y + 3Z not above 0) and a white that is none
// give the zero Luv. Source: [CIE 15], ISO/CIE 11664-5.
func LuvOf(c, white colour.XYZ) Luv {
	if !isWhite(white) || !(c.X+15*c.Y+3*c.Z > 0) {
		return Luv{}
	}
	l := 116*labFold(c.Y/white.Y) - 16
	p, n := uvOf(c), uvOf(white)
	return Luv{l, 13 * l * (p.U - n.U), 13 * l * (p.V - n.V)}
}

// XYZ returns the colour of p under white, in white's unit: the inverse of
// LuvOf for L above 0. Black, a v' of 0 or less, which no colour has, and a
// white that is none give the zero XYZ.
func (p Luv) XYZ(white colour.XYZ) colour.XYZ {
	if !isWhite(white) || !(p.L > 0) {
		return colour.XYZ{}
	}
	n := uvOf(white)
	u, v := p.U/(13*p.L)+n.U, p.V/(13*p.L)+n.V
	if !(v > 0) {
		return colour.XYZ{}
	}
	y := white.Y * labUnfold((p.L+16)/116)
	return colour.XYZ{X: y * 9 * u / (4 * v), Y: y, Z: y * (12 - 3*u - 20*v) / (4 * v)}
}

// Chroma returns C*uv, the distance from the grey axis, 0 and up.
func (p Luv) Chroma() float64 { return math.Hypot(p.U, p.V) }

// Hue returns h_uv in degrees, 0 up to but not 360. A grey has hue 0.
func (p Luv) Hue() float64 { return hueOf(p.U, p.V) }

// Distance returns ΔE*uv, the straight distance from p to q, 0 and up.
func (p Luv) Distance(q Luv) float64 { return length(p.L-q.L, p.U-q.U, p.V-q.V) }

// uvOf returns the CIE 1976 chromaticity straight from XYZ, which keeps the
// digits that the way over xy loses in near-black colours.
func uvOf(c colour.XYZ) colour.UV {
	d := c.X + 15*c.Y + 3*c.Z
	return colour.UV{U: 4 * c.X / d, V: 9 * c.Y / d}
}
