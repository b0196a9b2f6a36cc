package colour_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// rec2020Mix returns the chromaticity of linear Rec.2020 light by the matrix
// in the table, which another implementation worked out from BT.2020-2.
func rec2020Mix(t *testing.T, rgb [3]float64) colour.XY {
	t.Helper()
	var xyz [3]float64
	for _, r := range readTable(t, "rgb_spaces.csv") {
		if r["space"] != "Rec.2020" {
			continue
		}
		for i, item := range []string{"rgb_to_xyz_row_X", "rgb_to_xyz_row_Y", "rgb_to_xyz_row_Z"} {
			if r["item"] == item {
				xyz[i] = rgb[0]*r.Num(t, "c1") + rgb[1]*r.Num(t, "c2") + rgb[2]*r.Num(t, "c3")
			}
		}
	}
	return colour.XYZ{X: xyz[0], Y: xyz[1], Z: xyz[2]}.XY()
}

func white(t *testing.T, kelvin colour.Kelvin) colour.XY {
	t.Helper()
	p, err := colour.Planckian(kelvin)
	require.NoError(t, err)
	return p
}

// HSV at full saturation and value (Smith 1978): one component at 1, one at 0,
// one between by the sixth of the circle.
func TestHueIsLinearLightHSVOfRec2020(t *testing.T) {
	for hue, rgb := range map[float64][3]float64{
		0: {1, 0, 0}, 30: {1, 0.5, 0}, 60: {1, 1, 0}, 75: {0.75, 1, 0}, 120: {0, 1, 0}, 165: {0, 1, 0.75},
		180: {0, 1, 1}, 186: {0, 0.9, 1}, 240: {0, 0, 1}, 262: {22.0 / 60, 0, 1}, 300: {1, 0, 1}, 345: {1, 0, 0.25},
		360: {1, 0, 0}, -60: {1, 0, 1}, 750: {1, 0.5, 0},
	} {
		want := rec2020Mix(t, rgb)
		for _, balance := range []colour.XY{colour.D65, white(t, 3200), white(t, 4300)} {
			p, err := colour.HueSat{Hue: hue, Sat: 1}.Chromaticity(balance)
			require.NoError(t, err)
			require.InDelta(t, want.X, p.X, 1e-9, "hue %v", hue)
			require.InDelta(t, want.Y, p.Y, 1e-9, "hue %v", hue)
		}
	}
}

// BT.2020-2: the primaries, by their printed xy.
func TestHuesOfThePrimaries(t *testing.T) {
	for hue, want := range map[float64]colour.XY{0: {X: 0.708, Y: 0.292}, 120: {X: 0.170, Y: 0.797}, 240: {X: 0.131, Y: 0.046}} {
		p, err := colour.HueSat{Hue: hue, Sat: 1}.Chromaticity(white(t, 5600))
		require.NoError(t, err)
		require.InDelta(t, want.X, p.X, 1e-12)
		require.InDelta(t, want.Y, p.Y, 1e-12)
	}
}

func TestSaturationRunsStraightInUV(t *testing.T) {
	w := white(t, 4300)
	for hue := 0.0; hue < 360; hue += 7.5 {
		edge, err := colour.HueSat{Hue: hue, Sat: 1}.Chromaticity(w)
		require.NoError(t, err)
		whole := w.UV().Distance(edge.UV())
		for sat := 0.0; sat <= 1; sat += 0.125 {
			p, err := colour.HueSat{Hue: hue, Sat: sat}.Chromaticity(w)
			require.NoError(t, err)
			require.True(t, p.Valid(), "hue %v sat %v", hue, sat)
			// On the line: the two parts add up to the whole.
			require.InDelta(t, sat*whole, w.UV().Distance(p.UV()), 1e-14)
			require.InDelta(t, (1-sat)*whole, p.UV().Distance(edge.UV()), 1e-14)
		}
	}
}

func TestHueSatRefuses(t *testing.T) {
	for _, h := range []colour.HueSat{
		{Hue: 10, Sat: 1.0001}, {Hue: 10, Sat: -0.01}, {Hue: 10, Sat: math.NaN()},
		{Hue: math.NaN(), Sat: 0.5}, {Hue: math.Inf(1), Sat: 0.5},
	} {
		_, err := h.Chromaticity(colour.D65)
		requireMend(t, err)
	}
	_, err := colour.HueSat{Hue: 10, Sat: 92}.Chromaticity(colour.D65)
	require.ErrorContains(t, err, "92% is perhaps meant")
	_, err = colour.HueSat{Hue: 10, Sat: 0.5}.Chromaticity(colour.XY{})
	require.ErrorContains(t, err, "balance")
}

func TestChromaticityDoesNotAllocate(t *testing.T) {
	for _, form := range []colour.Form{
		colour.HueSat{Hue: 186, Sat: 0.9}, colour.White{CCT: colour.CCT{T: 3200}}, colour.Chroma{XY: colour.D65},
		colour.ChromaUV{UV: colour.D65.UV()}, colour.Shift{By: 131, From: 5600}, colour.Dominant{NM: 520, Purity: 0.5},
	} {
		require.Zero(t, testing.AllocsPerRun(100, func() {
			_, _ = form.Chromaticity(colour.D65)
		}), "%s", form)
	}
}

// BenchmarkChromaticity is held against "xy", a point that only needs to be
// found inside the spectral locus.
func BenchmarkChromaticity(b *testing.B) {
	for name, form := range map[string]colour.Form{
		"xy":      colour.Chroma{XY: colour.D65},
		"hue sat": colour.HueSat{Hue: 186, Sat: 0.9},
		"white":   colour.White{CCT: colour.CCT{T: 3200, Duv: 0.003}},
		"nm":      colour.Dominant{NM: 520, Purity: 0.8},
		"css":     colour.CSS{Text: "oklch(70% 0.2 150)"},
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := form.Chromaticity(colour.D65); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
