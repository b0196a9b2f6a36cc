package compile

import (
	"math"

	"linkboy/colour"
	"linkboy/cues"
)

// path is the way of one cell's light through a fade, in OKLab of the light as
// a share of the cell's most light.
//
// OKLab is a perceptual space of light against a surround: equal steps along a
// straight line look like equal steps, and hue stays where a straight line in
// light would bend it [Ottosson 2020, "A perceptual color space for image
// processing"]. Two things make it the right one of its kind for lamps. It is
// homogeneous (all its axes go with the cube root of light), so the line
// between two lights is the same line however bright the white is taken to be:
// the choice of the cell's most light as the white sets only the scale of the
// tolerances, and a line to or from black keeps the chromaticity of its lit end
// all the way. And its axes are sums of cube roots of cone responses, which
// adapting to another white only multiplies (von Kries), so the line is the same
// line whatever white the camera is balanced to. CIELAB has the first, but for
// its straight piece near black, and bends blues towards purple; CAM16-UCS has
// neither and needs an adapting luminance, which a lamp alone does not tell.
//
// In every path the lightness L goes straight from end to end, so it never
// turns back; only the path through dark takes it down to none on purpose. What
// a lamp shows of it turns back only between two full levels, where it is less
// light on the way, by no more than is seen (a lamp of two emitters that goes
// through a white it is not so light in, by more).
type path struct {
	kind cues.Path // short also where the path asked for has nothing to go round, through or along
	a, b colour.OKLab
	grey axis
	// Of the path through white: the white half-way.
	middle colour.OKLab
	// Of the paths round: chroma and hue in radians at a and how far they go.
	chroma, hue, further, turn float64
	// Of the path in mired: the white at a and how far it goes.
	white, along tint
}

// tint is a white by mired and Duv, or the difference of two.
type tint struct{ mired, duv float64 }

// axis is the line of all greys, the lights with the chromaticity of the balance
// white: for each unit of lightness its a and b. Hue and chroma are counted
// from it, as a show counts hue and saturation from the balance white.
type axis struct{ a, b float64 }

// greys gives the axis of a white.
func greys(white colour.XY) axis {
	w := white.XYZ(1).OKLab()
	if !(w.L > 0) {
		return axis{}
	}
	return axis{w.A / w.L, w.B / w.L}
}

// at gives the grey of lightness l.
func (g axis) at(l float64) colour.OKLab { return colour.OKLab{L: l, A: g.a * l, B: g.b * l} }

// off gives how far c is from the grey of its lightness.
func (g axis) off(c colour.OKLab) (a, b float64) { return c.A - g.a*c.L, c.B - g.b*c.L }

// colourless is the chroma, as a share of lightness, under which a light has no
// hue to go round by: about the least difference from white that is seen
// (common practice, no source).
const colourless = 0.02

// newPath gives the way from light a to light b of a kind. Where that kind is
// not possible it is the short one: from or to black there is no hue to hide or
// to go round; round, an end without colour has no hue of its own; in mired,
// both ends must be whites.
func newPath(a, b colour.XYZ, kind cues.Path, white colour.XY) path {
	p := path{kind: cues.PathShort, a: a.OKLab(), b: b.OKLab(), grey: greys(white)}
	if a.Y <= 0 || b.Y <= 0 {
		return p
	}
	switch kind {
	case cues.PathWhite:
		p.kind = kind
		p.middle = p.grey.at((p.a.L + p.b.L) / 2)
	case cues.PathDark:
		p.kind = kind
	case cues.PathRound, cues.PathOther:
		p.goRound(kind)
	case cues.PathMired:
		p.goMired(a.XY(), b.XY())
	}
	return p
}

// goRound sets the path up to go round the hue circle.
func (p *path) goRound(kind cues.Path) {
	ax, ay := p.grey.off(p.a)
	bx, by := p.grey.off(p.b)
	ca, cb := math.Hypot(ax, ay), math.Hypot(bx, by)
	if ca <= colourless*p.a.L || cb <= colourless*p.b.L {
		return
	}
	from := math.Atan2(ay, ax)
	turn := math.Remainder(math.Atan2(by, bx)-from, 2*math.Pi)
	if kind == cues.PathOther {
		turn -= math.Copysign(2*math.Pi, turn)
	}
	p.kind, p.chroma, p.hue, p.further, p.turn = kind, ca, from, cb-ca, turn
}

// goMired sets the path up to go along the Planckian locus.
func (p *path) goMired(a, b colour.XY) {
	from, ok := tintOf(a)
	to, also := tintOf(b)
	if !ok || !also {
		return
	}
	p.kind, p.white, p.along = cues.PathMired, from, tint{to.mired - from.mired, to.duv - from.duv}
}

// tintOf gives a chromaticity as a white; it is false when it is none: CIE 15
// defines the temperature of whites up to a Duv of 0.05.
func tintOf(p colour.XY) (tint, bool) {
	c, err := p.CCT()
	if err != nil {
		return tint{}, false
	}
	return tint{float64(c.T.Mired()), float64(c.Duv)}, true
}

// at gives the light at t, 0..1, of the way.
func (p *path) at(t float64) colour.OKLab {
	switch p.kind {
	case cues.PathWhite:
		if t < 0.5 {
			return mix(p.a, p.middle, 2*t)
		}
		return mix(p.middle, p.b, 2*t-1)
	case cues.PathDark:
		if t < 0.5 {
			return mix(p.a, colour.OKLab{}, 2*t)
		}
		return mix(colour.OKLab{}, p.b, 2*t-1)
	case cues.PathRound, cues.PathOther:
		return p.round(t)
	case cues.PathMired:
		return p.whiteAt(t)
	}
	return mix(p.a, p.b, t)
}

// round gives the light at t of the way round the hue circle: lightness, chroma
// and hue go straight.
func (p *path) round(t float64) colour.OKLab {
	l := p.a.L + t*(p.b.L-p.a.L)
	c := p.grey.at(l)
	sin, cos := math.Sincos(p.hue + t*p.turn)
	chroma := p.chroma + t*p.further
	return colour.OKLab{L: l, A: c.A + chroma*cos, B: c.B + chroma*sin}
}

// crossed gives the light at t of a cross-fade from a to b, as dark as the way
// is there. It is in reach of whatever can show both ends: lightness is concave
// in light, so a cross-fade is nowhere darker than the way.
func (p *path) crossed(t float64) colour.OKLab {
	a, b := p.a.XYZ(), p.b.XYZ()
	c := colour.XYZ{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y), Z: a.Z + t*(b.Z-a.Z)}.OKLab()
	return mix(colour.OKLab{}, c, (p.a.L+t*(p.b.L-p.a.L))/c.L)
}

// whiteAt gives the light at t of the way in mired: lightness, mired and Duv go
// straight. Equal steps of mired look about equal, those of kelvin do not.
func (p *path) whiteAt(t float64) colour.OKLab {
	line := mix(p.a, p.b, t)
	c := colour.CCT{
		T:   colour.Mired(p.white.mired + t*p.along.mired).Kelvin(),
		Duv: colour.Duv(p.white.duv + t*p.along.duv),
	}
	xy, err := c.XY()
	if err != nil { // both ends are whites, and so is all that lies between
		return line
	}
	w := xy.XYZ(1).OKLab()
	k := line.L / w.L
	return colour.OKLab{L: line.L, A: w.A * k, B: w.B * k}
}

func mix(a, b colour.OKLab, t float64) colour.OKLab {
	return colour.OKLab{L: a.L + t*(b.L-a.L), A: a.A + t*(b.A-a.A), B: a.B + t*(b.B-a.B)}
}
