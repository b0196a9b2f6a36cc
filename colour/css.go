package colour

import (
	"math"
	"strconv"
	"strings"
)

// CSS is a colour in the words of CSS Color 4 [CSS4]; only its chromaticity
// counts, how light it is and its alpha do not.
type CSS struct{ Text string }

// Chromaticity returns the point that c means; the balance counts as in Chroma.
func (c CSS) Chromaticity(balance XY) (XY, error) {
	xyz, err := ParseCSS(c.Text)
	if err != nil {
		return XY{}, err
	}
	if !(xyz.Y > 1e-9 && xyz.X+xyz.Y+xyz.Z > 0) {
		return XY{}, &Error{c.String(), "it is black: no light, so no colour for a lamp", "write the colour at a lightness above 0, or set the level to 0%"}
	}
	p := xyz.XY()
	if !p.Valid() {
		return XY{}, noLight(c, p, balance)
	}
	return p, nil
}

func (c CSS) String() string { return "{css: " + strconv.Quote(c.Text) + "}" }

// The reader is linkboy's own, after weighing the Go modules for it: the one
// that is well kept and to be had (go-colorful v1.4.1) reads hex only, brings
// the OKLab matrices that are not neutral at D65 and a D50 that comes back from
// D65 off by 3.7e-4. No module that reads whole CSS colours, color() included
// and not cut to sRGB, was to be had. What remains is a few hundred lines over
// the matrices that this package needs anyway; colorjs.io and culori check it
// in the tests.

// ParseCSS reads a CSS Color 4 colour and returns it as XYZ relative to D65
// white at Y = 1. It knows hex, the named colours, rgb(), hsl(), hwb(), lab(),
// lch(), oklab(), oklch() and color() in the spaces srgb, srgb-linear,
// display-p3, display-p3-linear, a98-rgb, prophoto-rgb, rec2020, xyz, xyz-d50
// and xyz-d65, with the older comma syntax. Colours seen under D50 are adapted
// by Bradford. rec2020 has the 2.4 power of BT.1886 that CSS Color 4 now
// gives it, not the older camera curve.
//
// Nothing is clamped to a gamut: rgb(300 -20 0) is taken as an extended sRGB
// value, where CSS would clamp it, because a lamp may well reach it. Lightness
// and chroma are held to their ranges as in CSS. Alpha is read and dropped,
// `none` is 0. calc(), relative colours, color-mix(), currentcolor and system
// colours need a page around them and are refused.
func ParseCSS(text string) (XYZ, error) {
	c, err := parseCSS(cssLower(strings.Trim(text, cssSpace)))
	if err == nil && (math.IsNaN(c.X+c.Y+c.Z) || math.IsInf(c.X+c.Y+c.Z, 0)) {
		err = &cssFault{"its numbers are too large", "write numbers within the ranges of CSS Color 4"}
	}
	if err != nil {
		return XYZ{}, &Error{"CSS colour " + strconv.Quote(text), err.why, err.mend}
	}
	return c, nil
}

// cssFault is what is wrong with a CSS colour, before it is known which.
type cssFault struct{ why, mend string }

func parseCSS(text string) (XYZ, *cssFault) {
	if text == "" {
		return XYZ{}, &cssFault{"it is empty", `write a colour such as "teal", "#0a8" or "oklch(70% 0.2 150)"`}
	}
	if hex, found := strings.CutPrefix(text, "#"); found {
		return cssHex(hex)
	}
	name, rest, call := strings.Cut(text, "(")
	if !call {
		return cssNamed(text)
	}
	if name == "color" {
		return cssColor(rest)
	}
	read, known := cssFunctions[name]
	if !known {
		return XYZ{}, &cssFault{
			strconv.Quote(name+"()") + " is no colour function that can be used here",
			"use rgb(), hsl(), hwb(), lab(), lch(), oklab(), oklch() or color()",
		}
	}
	args, fault := cssArguments(rest)
	if fault != nil {
		return XYZ{}, fault
	}
	return read(args)
}

// cssFunctions are the colour functions but color(), which begins with a word.
// The ...a names are older spellings of the same functions.
var cssFunctions = map[string]func(cssArgs) (XYZ, *cssFault){
	"rgb": cssRGB, "rgba": cssRGB,
	"hsl": cssHSL, "hsla": cssHSL,
	"hwb": cssHWB,
	"lab": cssLab, "lch": cssLCH,
	"oklab": cssOKLab, "oklch": cssOKLCH,
}

// cssNamed looks a keyword up.
func cssNamed(word string) (XYZ, *cssFault) {
	if rgb, known := cssNames[word]; known {
		return srgbToXYZ([3]float64{
			float64(rgb>>16) / 255, float64(rgb>>8&0xff) / 255, float64(rgb&0xff) / 255,
		}), nil
	}
	switch word {
	case "transparent":
		return XYZ{}, nil // black with alpha 0 [CSS4]
	case "currentcolor":
		return XYZ{}, &cssFault{"currentcolor is the colour of text on a page", "name the colour itself"}
	}
	return XYZ{}, &cssFault{
		strconv.Quote(word) + " is not among the named colours of CSS",
		`write a CSS name such as teal, or a value such as "#0a8080" or "oklch(70% 0.2 150)"`,
	}
}

// cssHex reads the digits after #: 3 or 6, or 4 or 8 with alpha.
func cssHex(digits string) (XYZ, *cssFault) {
	fault := &cssFault{"# is followed by " + strconv.Quote(digits) + ", not by 3, 4, 6 or 8 hexadecimal digits", `write it like "#0a8" or "#00aa88"`}
	width := 1
	switch len(digits) {
	case 3, 4:
	case 6, 8:
		width = 2
	default:
		return XYZ{}, fault
	}
	if _, err := strconv.ParseUint(digits, 16, 32); err != nil {
		return XYZ{}, fault
	}
	full := float64(int(1)<<(4*width) - 1)
	var rgb [3]float64
	for i := range rgb {
		v, _ := strconv.ParseUint(digits[i*width:(i+1)*width], 16, 8)
		rgb[i] = float64(v) / full
	}
	return srgbToXYZ(rgb), nil
}
