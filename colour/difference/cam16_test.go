package difference_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/difference"
)

// eyeOf adapts an eye to the conditions of a row.
func eyeOf(t testing.TB, r row) *difference.Eye {
	t.Helper()
	eye, err := difference.NewEye(difference.Viewing{
		White: r.xyz(t, "w"), Adapting: r.Num(t, "L_A"), Background: r.Num(t, "Y_b") / 100, Surround: difference.Average,
	})
	require.NoError(t, err)
	return eye
}

// Inputs and correlates from the tests of the colour-science library 0.4.6
// (Li et al. 2017), to its 8 decimals.
func TestCAM16EveryRow(t *testing.T) {
	for _, r := range readTable(t, "cam16_pairs.csv") {
		eye, c := eyeOf(t, r), r.xyz(t, "")
		seen := eye.See(c)
		for column, got := range map[string]float64{
			"J": seen.J, "C": seen.C, "h": seen.H, "s": seen.S, "Q": seen.Q, "M": seen.M,
			"H":  quadrature97(seen.H),
			"Jp": seen.UCS().J, "ap": seen.UCS().A, "bp": seen.UCS().B,
		} {
			require.InDelta(t, r.Num(t, column), got, 6e-9, column)
		}
		if seen.H >= 20.14 && seen.H < 237.53 {
			require.InDelta(t, r.Num(t, "H"), difference.HueQuadrature(seen.H), 6e-9)
		}
		requireXYZ(t, c, eye.XYZ(seen), 1e-11)
		requireXYZ(t, c, eye.XYZ(seen.UCS().CAM16()), 1e-11)
	}
}

// quadrature97 is hue quadrature as the library has it: between blue and red,
// 237.53 to 380.14 degrees, it keeps the split at 360 degrees of the older
// CIECAM97s, where Li et al. 2017 run straight through; 0.8 apart at most.
// Elsewhere the two are one.
func quadrature97(h float64) float64 {
	switch {
	case h < 20.14:
		return 385.9 + 14.1*(h/0.856)/(h/0.856+(20.14-h)/0.8)
	case h >= 237.53:
		return 300 + 85.9*((h-237.53)/1.2)/((h-237.53)/1.2+(360-h)/0.856)
	}
	return difference.HueQuadrature(h)
}

// The unique hues of Li et al. 2017, table A2, and the way round.
func TestHueQuadrature(t *testing.T) {
	for h, want := range map[float64]float64{20.14: 0, 90: 100, 164.25: 200, 237.53: 300, 380.14 - 1e-9: 400, -270: 100, 450: 100} {
		require.InDelta(t, want, difference.HueQuadrature(h), 1e-8)
	}
	last := -1.0
	for h := 20.14; h < 380.14; h += 0.1 {
		got := difference.HueQuadrature(h)
		require.Greater(t, got, last)
		last = got
	}
}

// The unit of the light must not matter, only its ratio to the white.
func TestCAM16TakesColoursRelativeToTheWhite(t *testing.T) {
	r := readTable(t, "cam16_pairs.csv")[1]
	v := difference.Viewing{White: r.xyz(t, "w").Scale(37), Adapting: 31.83, Background: 0.2, Surround: difference.Average}
	eye, err := difference.NewEye(v)
	require.NoError(t, err)
	require.InDelta(t, r.Num(t, "J"), eye.See(r.xyz(t, "").Scale(37)).J, 6e-9)
}

// White is J = 100 by definition; with the adaptation complete it is grey.
func TestCAM16White(t *testing.T) {
	for _, surround := range []difference.Surround{difference.Average, difference.Dim, difference.Dark} {
		white := colour.D65.XYZ(100)
		eye, err := difference.NewEye(difference.Viewing{White: white, Adapting: 20, Background: 0.2, Surround: surround, Discount: true})
		require.NoError(t, err)
		seen := eye.See(white)
		require.InDelta(t, 100, seen.J, 1e-12)
		require.InDelta(t, 0, seen.M, 1e-9)
		require.InDelta(t, 100, seen.UCS().J, 1e-12)
		require.Zero(t, eye.See(colour.XYZ{}))
		require.Zero(t, eye.XYZ(difference.CAM16{}))
	}
}

func TestViewingRefuses(t *testing.T) {
	good := difference.Viewing{White: colour.D65.XYZ(1), Adapting: 64, Background: 0.2, Surround: difference.Average}
	_, err := difference.NewEye(good)
	require.NoError(t, err)
	for name, spoil := range map[string]func(*difference.Viewing){
		"no white":         func(v *difference.Viewing) { v.White = colour.XYZ{} },
		"infinite white":   func(v *difference.Viewing) { v.White.Z = math.Inf(1) },
		"imaginary white":  func(v *difference.Viewing) { v.White = colour.XYZ{X: 9, Y: 1, Z: 1} },
		"night":            func(v *difference.Viewing) { v.Adapting = 0 },
		"no luminance":     func(v *difference.Viewing) { v.Adapting = math.NaN() },
		"no background":    func(v *difference.Viewing) { v.Background = 0 },
		"percent":          func(v *difference.Viewing) { v.Background = 20 },
		"no surround":      func(v *difference.Viewing) { v.Surround = difference.Surround{} },
		"unknown surround": func(v *difference.Viewing) { v.Surround.C = math.NaN() },
	} {
		v := good
		spoil(&v)
		_, err := difference.NewEye(v)
		var e *colour.Error
		require.ErrorAs(t, err, &e, name)
		require.NotEmpty(t, e.Mend, name)
	}
}
