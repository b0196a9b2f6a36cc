package colour_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// Every row against two libraries; testdata/css_colors.mjs made the table.
func TestCSSEveryRow(t *testing.T) {
	names := 0
	for _, r := range readTable(t, "css_colors.csv") {
		css := r["css"]
		got, err := colour.ParseCSS(css)
		require.NoError(t, err, css)
		require.InDelta(t, r.Num(t, "X"), got.X, 1e-11, css)
		require.InDelta(t, r.Num(t, "Y"), got.Y, 1e-11, css)
		require.InDelta(t, r.Num(t, "Z"), got.Z, 1e-11, css)
		if !strings.ContainsAny(css, "#(") {
			names++
		}
		if r["Xc"] == "" {
			require.True(t, css == "RGB(10 20 30)" || strings.Contains(css, "display-p3-linear"), css)
			continue // CSS is case-insensitive, culori is not; nor does it know the space
		}
		if strings.HasPrefix(css, "color(rec2020") && !onlyZeroAndOne(css) {
			continue // culori has the camera curve of BT.2020, as CSS had before it took BT.1886
		}
		require.InDelta(t, r.Num(t, "Xc"), got.X, 1e-7, css) // its matrices are rounded
		require.InDelta(t, r.Num(t, "Yc"), got.Y, 1e-7, css)
		require.InDelta(t, r.Num(t, "Zc"), got.Z, 1e-7, css)
	}
	require.Equal(t, 148, names) // CSS Color 4 lists 148 names
}

// onlyZeroAndOne reports whether the components of color(rec2020 ...) are the
// same through any curve.
func onlyZeroAndOne(css string) bool {
	components := strings.TrimSuffix(strings.TrimPrefix(css, "color(rec2020 "), ")")
	return strings.Trim(components, "01 ") == ""
}

// CSS Color 4 says of each of these pairs that they are the same colour.
func TestCSSSameColour(t *testing.T) {
	for a, b := range map[string]string{
		"  Teal\n":                          "#008080",
		"rgb(0 128 128)":                    "#008080ff",
		"rgba(0,128,128,.5)":                "rgb(0 128 128/50%)",
		"hsl(.5turn 100% 50%)":              "hsl(200grad 100 50)",
		"hwb(180deg 0% 0%)":                 "cyan",
		"hwb(0 0 300%)":                     "black",
		"lab(50% 125 -125)":                 "lab(50 100% -100%)",
		"lch(50 150 40deg)":                 "lch(50% 100% 40)",
		"oklab(0.5 0.4 -0.4)":               "oklab(50% 100% -100%)",
		"oklch(0.5 0.4 40)":                 "oklch(50% 100% 40)",
		"oklch(0.5 -0.4 40)":                "oklch(0.5 0 0)", // chroma is held to 0 and up
		"lab(140 10 10)":                    "lab(100 10 10)", // lightness is held to its range
		"hsl(30 -20% 50%)":                  "hsl(30 0% 50%)", // so is saturation
		"color(xyz none none none)":         "black",          // none is 0
		"color(xyz-d65 .1 .2 .3/none)":      "color(xyz .1 .2 .3)",
		"color(srgb 1 .5 0)":                "rgb(100% 50% 0%)",
		"color( display-p3   0.5 0.5 0.5 )": "color(srgb 50% 50% 50%)",
		"transparent":                       "rgb(0 0 0 / 0)",
		"grey":                              "gray",
		"rgb(1-2+3)":                        "rgb(1 -2 3)", // css-syntax-3: a sign begins a number
	} {
		want, err := colour.ParseCSS(b)
		require.NoError(t, err, b)
		got, err := colour.ParseCSS(a)
		require.NoError(t, err, a)
		require.InDelta(t, want.X, got.X, 1e-12, "%s = %s", a, b)
		require.InDelta(t, want.Y, got.Y, 1e-12, "%s = %s", a, b)
		require.InDelta(t, want.Z, got.Z, 1e-12, "%s = %s", a, b)
	}
}

func TestCSSWhitesAreD65(t *testing.T) {
	for _, css := range []string{
		"white", "lab(100 0 0)", "lch(80 0 20)", "oklab(0.7 0 0)", "color(prophoto-rgb 1 1 1)", "color(display-p3 0.4 0.4 0.4)",
		"color(a98-rgb 1 1 1)", "color(rec2020 0.5 0.5 0.5)", "hsl(20 0% 60%)", "color(xyz-d50 0.9642956764295676 1 0.8251046025104602)",
	} {
		p, err := colour.CSS{Text: css}.Chromaticity(colour.XY{})
		require.NoError(t, err, css)
		require.InDelta(t, 0.3127, p.X, 1e-12, css)
		require.InDelta(t, 0.3290, p.Y, 1e-12, css)
	}
}

func TestCSSRefuses(t *testing.T) {
	for css, why := range map[string]string{
		"":                             "empty",
		"   ":                          "empty",
		"tomatoe":                      "not among the named colours",
		"blac\u212a":                   "not among the named colours", // the Kelvin sign
		"currentColor":                 "text on a page",
		"canvastext":                   "not among the named colours",
		"#12":                          "3, 4, 6 or 8",
		"#12345":                       "3, 4, 6 or 8",
		"#12345g":                      "3, 4, 6 or 8",
		"#+12":                         "3, 4, 6 or 8",
		"rgb(1 2)":                     "2 components",
		"rgb(1 2 3 4)":                 "4 components",
		"rgb(1 2 3 4 5 6 7)":           "components",
		"rgb(1, 2 3)":                  "mixed",
		"rgb(1 2, 3)":                  "mixed",
		"rgb(1, 2, 3 / 50%)":           "mixed",
		"rgb(1 2 3 / 0.5 / 0.5)":       "mixed",
		"rgb(1 2 3 / 0.5 6)":           "follows the /",
		"rgb(1, 2%, 3)":                "not both",
		"rgb(1, none, 3)":              "none",
		"rgb(1 2 3":                    "ends early",
		"rgb(":                         "ends early",
		"rgb(1 2 3) red":               "follows the colour",
		"rgb(1 2deg 3)":                "angle",
		"rgb(1 2px 3)":                 "no unit",
		"rgb(1. 2 3)":                  "where a number should",
		"rgb(1 ! 3)":                   "where a number should",
		"rgb(calc(1) 2 3)":             "calc",
		"rgb(from red r g b)":          "relative",
		"rgb(1e400 0 0)":               "too large",
		"lab(50 1e200 0)":              "too large",
		"hsl(50% 10% 10%)":             "hue is a percentage",
		"hsl(50, 10, 10)":              "as percentages",
		"hwb(50, 10%, 10%)":            "no commas",
		"lch(50 10 20%)":               "hue is a percentage",
		"lab(50, 10, 20)":              "take commas",
		"oklch(0.5, 0.1, 20)":          "take commas",
		"color(srgb, 1, 1, 1)":         "where a number should",
		"color(srgb 1, 1, 1)":          "no commas",
		"color(cmyk 1 1 1)":            "no colour space",
		"color(--mine 1 1 1)":          "no colour space",
		"color-mix(in lab, red, blue)": "no colour function",
		"hsv(1 2 3)":                   "no colour function",
	} {
		_, err := colour.ParseCSS(css)
		requireMend(t, err)
		require.ErrorContains(t, err, why, css)
		require.ErrorContains(t, err, strconv.Quote(css))
	}
}

func TestCSSIsNotBlackWhenItIsOnlyDark(t *testing.T) {
	p, err := colour.CSS{Text: "#010101"}.Chromaticity(colour.D65) // Y = 0.0003
	require.NoError(t, err)
	require.InDelta(t, colour.D65.X, p.X, 1e-12)
}

func TestCSSWithoutAChromaticity(t *testing.T) {
	for _, css := range []string{"black", "transparent", "#000", "lab(0 40 0)", "oklch(0 0 0)", "color(xyz 1 -1 1)"} {
		_, err := colour.CSS{Text: css}.Chromaticity(colour.D65)
		requireMend(t, err)
		require.ErrorContains(t, err, "black", css)
	}
	for _, css := range []string{"color(prophoto-rgb 0 0 1)", "color(xyz 0 1 0)", "oklch(60% 0.4 130)"} {
		_, err := colour.CSS{Text: css}.Chromaticity(colour.D65)
		requireMend(t, err)
		require.ErrorContains(t, err, "spectral locus", css)
	}
}

// FuzzParseCSS writes what it read as color(xyz ...) and reads it again.
func FuzzParseCSS(f *testing.F) {
	for _, css := range []string{
		"teal", "#0a8", "#00aa8844", "rgb(1, 2, 3)", "rgba(10% 20% 30% / 0.5)", "hsl(0.5turn 10% none)", "hwb(20grad 1 2)",
		"lab(50 -10 1e1)", "lch(50 10 2rad)", "oklab(50% .1 -.1)", "oklch(0.7 0.2 150)", "color(display-p3 1 .5 0 / 50%)", "color(xyz-d50 1 1 1)",
	} {
		f.Add(css)
	}
	f.Fuzz(func(t *testing.T, css string) {
		c, err := colour.ParseCSS(css)
		if err != nil {
			requireMend(t, err)
			return
		}
		require.False(t, math.IsNaN(c.X+c.Y+c.Z) || math.IsInf(c.X+c.Y+c.Z, 0))
		again, err := colour.ParseCSS(fmt.Sprintf("color(xyz %v %v %v)", c.X, c.Y, c.Z))
		require.NoError(t, err)
		require.Equal(t, c, again)

		padded, err := colour.ParseCSS(" \t" + strings.ToUpper(css) + "\n")
		require.NoError(t, err)
		require.Equal(t, c, padded)
		p, err := colour.CSS{Text: css}.Chromaticity(colour.D65)
		if err != nil {
			requireMend(t, err)
			return
		}
		require.True(t, p.Valid())
	})
}
