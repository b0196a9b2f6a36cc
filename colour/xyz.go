package colour

// XYZ is a CIE 1931 2-degree tristimulus value. Y is luminance-like: for a
// lamp it is luminous flux in lumens, for a surface colour it is relative to 1.
// Negative components are possible only as intermediate results.
type XYZ struct{ X, Y, Z float64 }

// XY is a CIE 1931 chromaticity. The zero value means "no light".
type XY struct{ X, Y float64 }

// Add returns the sum: light adds up.
func (c XYZ) Add(d XYZ) XYZ { return XYZ{c.X + d.X, c.Y + d.Y, c.Z + d.Z} }

// Scale returns c times k.
func (c XYZ) Scale(k float64) XYZ { return XYZ{c.X * k, c.Y * k, c.Z * k} }

// XY returns the chromaticity of c, or the zero XY when c carries no light.
func (c XYZ) XY() XY {
	sum := c.X + c.Y + c.Z
	if sum <= 0 {
		return XY{}
	}
	return XY{c.X / sum, c.Y / sum}
}

// XYZ returns the colour of chromaticity p at luminance y.
// A chromaticity on the line y = 0 has no luminance; it gives the zero XYZ.
func (p XY) XYZ(y float64) XYZ {
	if p.Y <= 0 {
		return XYZ{}
	}
	return XYZ{p.X / p.Y * y, y, (1 - p.X - p.Y) / p.Y * y}
}
