package colour

import (
	"math"
	"strconv"
)

// cssRGB reads rgb(): numbers to 255 or percentages.
func cssRGB(a cssArgs) (XYZ, *cssFault) {
	var rgb [3]float64
	for i := range rgb {
		if a.commas && (a.values[i].kind == cssPercent) != (a.values[0].kind == cssPercent) {
			return XYZ{}, &cssFault{"with commas, rgb() takes three numbers or three percentages, not both", "write all three alike"}
		}
		v, fault := a.share(i, 255)
		if fault != nil {
			return XYZ{}, fault
		}
		rgb[i] = v / 255
	}
	return srgbToXYZ(rgb), nil
}

// cssHSL reads hsl(): hue, saturation and lightness of sRGB [CSS4].
func cssHSL(a cssArgs) (XYZ, *cssFault) {
	if a.commas && (a.values[1].kind != cssPercent || a.values[2].kind != cssPercent) {
		return XYZ{}, &cssFault{"with commas, hsl() takes saturation and lightness as percentages", "write it like \"hsl(150, 80%, 50%)\""}
	}
	h, s, l, fault := a.hueAndShares()
	if fault != nil {
		return XYZ{}, fault
	}
	return srgbToXYZ(hslToRGB(h, max(s, 0), l)), nil
}

// cssHWB reads hwb(): hue, whiteness and blackness of sRGB [CSS4].
func cssHWB(a cssArgs) (XYZ, *cssFault) {
	if a.commas {
		return XYZ{}, &cssFault{"hwb() takes no commas", "write it like \"hwb(150 10% 20%)\""}
	}
	h, white, black, fault := a.hueAndShares()
	if fault != nil {
		return XYZ{}, fault
	}
	if white+black >= 1 {
		grey := white / (white + black)
		return srgbToXYZ([3]float64{grey, grey, grey}), nil
	}
	rgb := hslToRGB(h, 1, 0.5)
	for i, v := range rgb {
		rgb[i] = v*(1-white-black) + white
	}
	return srgbToXYZ(rgb), nil
}

// hueAndShares reads a hue and two shares, whose numbers run to 100.
func (a cssArgs) hueAndShares() (h, s, t float64, fault *cssFault) {
	h, fault = a.hue(0)
	if fault == nil {
		s, fault = a.share(1, 100)
	}
	if fault == nil {
		t, fault = a.share(2, 100)
	}
	return h, s / 100, t / 100, fault
}

func hslToRGB(h, s, l float64) [3]float64 {
	var rgb [3]float64
	for i, v := range pureHue(h) {
		rgb[i] = l + 2*s*min(l, 1-l)*(v-0.5)
	}
	return rgb
}

// The transfer curves, from encoded to linear, odd about 0 so that they go on
// outside 0..1 [CSS4].
func srgbCurve(v float64) float64 {
	if math.Abs(v) <= 0.04045 {
		return v / 12.92
	}
	return oddPower((math.Abs(v)+0.055)/1.055, 2.4, v)
}

func proPhotoCurve(v float64) float64 {
	if math.Abs(v) < 16.0/512 {
		return v / 16
	}
	return oddPower(v, 1.8, v)
}

func a98Curve(v float64) float64     { return oddPower(v, 563.0/256, v) }
func rec2020Curve(v float64) float64 { return oddPower(v, 2.4, v) }
func straight(v float64) float64     { return v }

// oddPower is |base| to the exponent, with the sign of sign.
func oddPower(base, exponent, sign float64) float64 {
	return math.Copysign(math.Pow(math.Abs(base), exponent), sign)
}

func srgbToXYZ(rgb [3]float64) XYZ {
	for i, v := range rgb {
		rgb[i] = srgbCurve(v)
	}
	return xyzOf(rec709Linear.apply(rgb))
}

// cssSpaces are the spaces of color(): a curve, then a matrix to XYZ under D65.
var cssSpaces = map[string]struct {
	curve func(float64) float64
	toXYZ mat3
}{
	"srgb":              {srgbCurve, rec709Linear},
	"srgb-linear":       {straight, rec709Linear},
	"display-p3":        {srgbCurve, p3Linear},
	"display-p3-linear": {straight, p3Linear},
	"a98-rgb":           {a98Curve, a98Linear},
	"prophoto-rgb":      {proPhotoCurve, d50ToD65.mul(proPhotoLinear)},
	"rec2020":           {rec2020Curve, rec2020Linear},
	"xyz":               {straight, diagonal([3]float64{1, 1, 1})},
	"xyz-d65":           {straight, diagonal([3]float64{1, 1, 1})},
	"xyz-d50":           {straight, d50ToD65},
}

// cssColor reads color(); text begins after the parenthesis.
func cssColor(text string) (XYZ, *cssFault) {
	s := cssScanner{text}
	s.space()
	name := s.word()
	space, known := cssSpaces[name]
	if !known {
		return XYZ{}, &cssFault{
			strconv.Quote(name) + " is no colour space that color() has here",
			"use srgb, srgb-linear, display-p3, display-p3-linear, a98-rgb, prophoto-rgb, rec2020, xyz, xyz-d50 or xyz-d65",
		}
	}
	args, fault := cssArguments(s.rest)
	if fault != nil {
		return XYZ{}, fault
	}
	if args.commas {
		return XYZ{}, &cssFault{"color() takes no commas", "write it like \"color(" + name + " 0.2 0.9 0.5)\""}
	}
	var v [3]float64
	for i := range v {
		if v[i], fault = args.share(i, 1); fault != nil {
			return XYZ{}, fault
		}
		v[i] = space.curve(v[i])
	}
	return xyzOf(space.toXYZ.apply(v)), nil
}
