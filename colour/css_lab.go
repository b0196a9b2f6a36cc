package colour

import "math"

// cssLab reads lab(): CIELAB under D50; 100% is 100 for L, 125 for a and b
// [CSS4].
func cssLab(a cssArgs) (XYZ, *cssFault) {
	l, x, y, fault := a.rectangular(100, 125)
	if fault != nil {
		return XYZ{}, fault
	}
	return labToXYZ(l, x, y), nil
}

// cssLCH reads lch(): the same by chroma, 100% being 150, and hue.
func cssLCH(a cssArgs) (XYZ, *cssFault) {
	l, x, y, fault := a.polar(100, 150)
	if fault != nil {
		return XYZ{}, fault
	}
	return labToXYZ(l, x, y), nil
}

// cssOKLab reads oklab(); 100% is 1 for L, 0.4 for a and b [CSS4].
func cssOKLab(a cssArgs) (XYZ, *cssFault) {
	l, x, y, fault := a.rectangular(1, 0.4)
	if fault != nil {
		return XYZ{}, fault
	}
	return OKLab{l, x, y}.XYZ(), nil
}

// cssOKLCH reads oklch(): the same by chroma, 100% being 0.4, and hue.
func cssOKLCH(a cssArgs) (XYZ, *cssFault) {
	l, x, y, fault := a.polar(1, 0.4)
	if fault != nil {
		return XYZ{}, fault
	}
	return OKLab{l, x, y}.XYZ(), nil
}

// rectangular reads lightness, held to its range, and two axes.
func (a cssArgs) rectangular(white, axis float64) (l, x, y float64, fault *cssFault) {
	if a.commas {
		return 0, 0, 0, &cssFault{"only rgb() and hsl() take commas", "put spaces between the components, as in \"oklch(70% 0.2 150)\""}
	}
	l, fault = a.share(0, white)
	if fault == nil {
		x, fault = a.share(1, axis)
	}
	if fault == nil {
		y, fault = a.share(2, axis)
	}
	return min(max(l, 0), white), x, y, fault
}

// polar reads lightness, chroma held to 0 and up, and hue, as rectangular.
func (a cssArgs) polar(white, chroma float64) (l, x, y float64, fault *cssFault) {
	hue, fault := a.hue(2)
	if fault != nil {
		return 0, 0, 0, fault
	}
	a.values[2] = cssValue{}
	l, c, _, fault := a.rectangular(white, chroma)
	sin, cos := math.Sincos(hue * math.Pi / 180)
	c = max(c, 0)
	return l, c * cos, c * sin, fault
}

// labToXYZ turns CIELAB under D50 into XYZ under D65 [CIE 15].
func labToXYZ(l, a, b float64) XYZ {
	const (
		kappa   = 24389.0 / 27
		epsilon = 216.0 / 24389
	)
	fy := (l + 16) / 116
	unfold := func(f float64) float64 {
		if cube := f * f * f; cube > epsilon {
			return cube
		}
		return (116*f - 16) / kappa
	}
	white := d50.XYZ(1)
	return xyzOf(d50ToD65.apply([3]float64{
		white.X * unfold(fy+a/500),
		white.Y * unfold(fy),
		white.Z * unfold(fy-b/200),
	}))
}
