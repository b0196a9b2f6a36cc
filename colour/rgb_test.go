package colour_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// The table's matrices were worked out by another implementation from the
// primaries and whites of BT.709-6, BT.2020-2 and SMPTE EG 432-1.
func TestRGBMatrices(t *testing.T) {
	cssName := map[string]string{"Rec.709": "srgb-linear", "P3-D65": "display-p3-linear", "Rec.2020": "rec2020"}
	seen := 0
	for _, r := range readTable(t, "rgb_spaces.csv") {
		space, known := cssName[r["space"]]
		if !known {
			continue // a space that CSS Color 4 does not have
		}
		row := [3]float64{}
		if r.Has("c3") {
			row = [3]float64{r.Num(t, "c1"), r.Num(t, "c2"), r.Num(t, "c3")}
		}
		pick := map[string]func(colour.XYZ) float64{
			"rgb_to_xyz_row_X": func(c colour.XYZ) float64 { return c.X },
			"rgb_to_xyz_row_Y": func(c colour.XYZ) float64 { return c.Y },
			"rgb_to_xyz_row_Z": func(c colour.XYZ) float64 { return c.Z },
		}[r["item"]]
		if pick == nil {
			continue
		}
		// 0 and 1 are the same through any curve.
		for i, primary := range []string{"1 0 0", "0 1 0", "0 0 1"} {
			c, err := colour.ParseCSS("color(" + space + " " + primary + ")")
			require.NoError(t, err)
			require.InDelta(t, row[i], pick(c), 6e-11, "%s %s %s", space, primary, r["item"])
		}
		seen++
	}
	require.Equal(t, 9, seen)
}

func TestSRGBEveryRow(t *testing.T) {
	for _, r := range readTable(t, "rgb_spaces.csv") {
		if r["space"] != "Rec.709" || !r.Has("c3") {
			continue
		}
		want := [3]float64{r.Num(t, "c1"), r.Num(t, "c2"), r.Num(t, "c3")}
		for i, c := range []colour.XYZ{{X: 1}, {Y: 1}, {Z: 1}} {
			red, green, blue := c.SRGB()
			switch r["item"] {
			case "xyz_to_rgb_row_R":
				require.InDelta(t, want[i], red, 6e-11)
			case "xyz_to_rgb_row_G":
				require.InDelta(t, want[i], green, 6e-11)
			case "xyz_to_rgb_row_B":
				require.InDelta(t, want[i], blue, 6e-11)
			}
		}
	}
}

func TestSRGBIsNotClamped(t *testing.T) {
	green := colour.XY{X: 0.170, Y: 0.797}.XYZ(1) // of Rec.2020 [BT.2020]
	r, g, b := green.SRGB()
	require.Negative(t, r)
	require.Greater(t, g, 1.0)
	require.Negative(t, b)
	r, g, b = colour.D65.XYZ(1).SRGB()
	require.InDeltaSlice(t, []float64{1, 1, 1}, []float64{r, g, b}, 1e-14)
}
