package colour

// The white points of the RGB spaces and of CSS, in the four digits of their
// standards, so that every matrix here is neutral at its own white.
var (
	// D65 is the white of Rec.709, Rec.2020, Display P3 and sRGB [BT.709].
	D65 = XY{0.3127, 0.3290}
	// d50 is the white of ROMM RGB and of CIELAB in CSS [CSS4].
	d50 = XY{0.3457, 0.3585}
)

// bradford turns XYZ into the sharpened cone responses in which CSS adapts
// from one white to another [Lam1985; CSS4].
var bradford = mat3{
	{0.8951, 0.2664, -0.1614},
	{-0.7502, 1.7135, 0.0367},
	{0.0389, -0.0685, 1.0296},
}

// d50ToD65 adapts XYZ seen under D50 to D65.
var d50ToD65 = adaptation(d50, D65)

// Adapted returns c, seen by an eye adapted to white from, as it looks to one adapted
// to white to: Bradford's transform [Lam1985; CSS4]. White from itself becomes
// white to.
func (c XYZ) Adapted(from, to XY) XYZ {
	v := adaptation(from, to).apply(c.vector())
	return XYZ{v[0], v[1], v[2]}
}

// adaptation scales cone responses so that white from becomes white to.
func adaptation(from, to XY) mat3 {
	f, t := bradford.apply(from.XYZ(1).vector()), bradford.apply(to.XYZ(1).vector())
	gain := diagonal([3]float64{t[0] / f[0], t[1] / f[1], t[2] / f[2]})
	return bradford.inverse().mul(gain).mul(bradford)
}
