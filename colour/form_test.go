package colour_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

func TestFormsAreWrittenAsInAShow(t *testing.T) {
	for want, form := range map[string]colour.Form{
		"{hue: 32, sat: 92%}":               colour.HueSat{Hue: 32, Sat: 0.92},
		"{hue: 186.5, sat: 7%}":             colour.HueSat{Hue: 186.5, Sat: 0.07}, // 0.07*100 is 7.000000000000001
		"3200 K":                            colour.White{CCT: colour.CCT{T: 3200}},
		"{cct: 5600 K, tint: 0.003}":        colour.White{CCT: colour.CCT{T: 5600, Duv: 0.003}},
		"{cct: 5600 K, tint: -0.00001}":     colour.White{CCT: colour.CCT{T: 5600, Duv: -1e-5}},
		"{xy: [0.3127, 0.329]}":             colour.Chroma{XY: colour.D65},
		"{uv: [0.1978, 0.4683]}":            colour.ChromaUV{UV: colour.UV{U: 0.1978, V: 0.4683}},
		"{shift: +131 mired, from: 5600 K}": colour.Shift{By: 131, From: 5600},
		"{shift: -131 mired, from: 3200 K}": colour.Shift{By: -131, From: 3200},
		"{nm: 520, purity: 80%}":            colour.Dominant{NM: 520, Purity: 0.8},
		"{nm: -508.9, purity: 43.86%}":      colour.Dominant{NM: -508.9, Purity: 0.4386},
		`{css: "color(rec2020 0 1 0)"}`:     colour.CSS{Text: "color(rec2020 0 1 0)"},
		`{css: "a \"quoted\" word"}`:        colour.CSS{Text: `a "quoted" word`},
	} {
		require.Equal(t, want, form.String())
	}
}

func TestWhiteIsOnTheLocus(t *testing.T) {
	for _, kelvin := range []colour.Kelvin{2000, 3200, 5600, 10000} {
		p, err := colour.White{CCT: colour.CCT{T: kelvin}}.Chromaticity(colour.XY{})
		require.NoError(t, err)
		require.Equal(t, white(t, kelvin), p)
	}
	// 1500 K at Duv 0.03 is xy 0.674685, 0.489516 (xy_from_cct_duv.csv): x + y > 1.
	_, err := colour.White{CCT: colour.CCT{T: 1500, Duv: 0.03}}.Chromaticity(colour.D65)
	requireMend(t, err)
	require.ErrorContains(t, err, "no light")
	_, err = colour.White{CCT: colour.CCT{T: 500}}.Chromaticity(colour.D65)
	requireMend(t, err)
}

// Mired shifts add (common practice, no source): 1e6/5600 + 131 = 1e6/3230.3.
func TestShift(t *testing.T) {
	p, err := colour.Shift{By: 131, From: 5600}.Chromaticity(colour.XY{})
	require.NoError(t, err)
	c, err := p.CCT()
	require.NoError(t, err)
	require.InDelta(t, 3230.27, float64(c.T), 0.01)
	require.InDelta(t, 0, float64(c.Duv), 1e-12)

	for _, s := range []colour.Shift{{By: -178, From: 5600}, {By: 822, From: 5600}, {By: 131}, {By: colour.Mired(math.NaN()), From: 5600}} {
		_, err := s.Chromaticity(colour.D65)
		requireMend(t, err)
	}
	_, err = colour.Shift{By: -300, From: 5600}.Chromaticity(colour.D65)
	require.ErrorContains(t, err, "-177 to +821 mired")
}

func TestPointsOutsideTheLocusNameThePurestColour(t *testing.T) {
	p, err := colour.Chroma{XY: colour.XY{X: 0.2, Y: 0.7}}.Chromaticity(colour.D65)
	require.NoError(t, err)
	require.Equal(t, colour.XY{X: 0.2, Y: 0.7}, p)

	_, err = colour.Chroma{XY: colour.XY{X: 0.9, Y: 0.3290}}.Chromaticity(colour.D65)
	requireMend(t, err)
	// From D65 straight along y = 0.3290 lies the locus at 608.5 nm, x = 0.6708:
	// there x + y is all but 1, as the locus is nearly straight.
	require.ErrorContains(t, err, "{xy: [0.6708, 0.329]}")

	_, err = colour.Chroma{XY: colour.XY{X: math.NaN(), Y: 0.3}}.Chromaticity(colour.D65)
	requireMend(t, err)
	_, err = colour.Chroma{XY: colour.XY{X: 0.9, Y: 0.3}}.Chromaticity(colour.XY{})
	requireMend(t, err)
}

func TestChromaUV(t *testing.T) {
	// D65 in u'v' is 0.1978, 0.4683 (CIE 15, rounded).
	p, err := colour.ChromaUV{UV: colour.UV{U: 0.1978, V: 0.4683}}.Chromaticity(colour.XY{})
	require.NoError(t, err)
	require.InDelta(t, 0.3127, p.X, 1e-4)
	require.InDelta(t, 0.3290, p.Y, 1e-4)
	for _, q := range []colour.UV{{U: 0.7, V: 0.1}, {U: math.Inf(1), V: 0.4}, {U: math.NaN(), V: 0.4}, {U: 0.2, V: math.NaN()}, {}} {
		_, err := colour.ChromaUV{UV: q}.Chromaticity(colour.D65)
		requireMend(t, err)
	}
	// Past 6u' - 16v' + 12 = 0 there is no xy to speak of.
	_, err = colour.ChromaUV{UV: colour.UV{U: 0.1, V: 0.9}}.Chromaticity(colour.D65)
	requireMend(t, err)
	require.ErrorContains(t, err, "so far out")
}
