package colour

// The linear RGB spaces, as matrices from linear RGB to XYZ with Y = 1 at
// white, worked out from primaries and white alone [RP177].
var (
	rec709Linear   = rgbToXYZ(XY{0.640, 0.330}, XY{0.300, 0.600}, XY{0.150, 0.060}, D65)                   // [BT.709]
	p3Linear       = rgbToXYZ(XY{0.680, 0.320}, XY{0.265, 0.690}, XY{0.150, 0.060}, D65)                   // [CSS4]
	rec2020Linear  = rgbToXYZ(XY{0.708, 0.292}, XY{0.170, 0.797}, XY{0.131, 0.046}, D65)                   // [BT.2020]
	a98Linear      = rgbToXYZ(XY{0.640, 0.330}, XY{0.210, 0.710}, XY{0.150, 0.060}, D65)                   // [CSS4]
	proPhotoLinear = rgbToXYZ(XY{0.734699, 0.265301}, XY{0.159597, 0.840403}, XY{0.036598, 0.000105}, d50) // [CSS4]

	rec709FromXYZ = rec709Linear.inverse()
)

// rgbToXYZ returns the matrix of the space whose primaries add up to white.
func rgbToXYZ(r, g, b, white XY) mat3 {
	rs, gs, bs := r.XYZ(1), g.XYZ(1), b.XYZ(1)
	m := mat3{{rs.X, gs.X, bs.X}, {rs.Y, gs.Y, bs.Y}, {rs.Z, gs.Z, bs.Z}}
	share := m.inverse().apply(white.XYZ(1).vector())
	return m.mul(diagonal(share))
}

// SRGB returns c as linear-light Rec.709/sRGB, 1, 1, 1 being D65 at Y = 1.
// Nothing is clamped: a component below 0 or above 1 says that a screen of
// these primaries cannot show c.
func (c XYZ) SRGB() (r, g, b float64) {
	v := rec709FromXYZ.apply(c.vector())
	return v[0], v[1], v[2]
}
