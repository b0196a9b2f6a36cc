package recipe_test

import (
	"fmt"
	"testing"
	"math"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/quality"
	"linkboy/colour/recipe"
)

func TestTruestRendersBetter(t *testing.T) {
	for _, name := range []string{"tube-rgbww-4ft", "panel-rgbww", "panel-rgbacl", "puck-rgbw"} {
		b, tr, c := recipeOf(t, name, recipe.Brightest), recipeOf(t, name, recipe.Truest), recipeOf(t, name, recipe.ForCamera)
		for _, temp := range []colour.Kelvin{2700, 3200, 4300, 5600, 6500} {
			asked := must(colour.Planckian(temp))
			if temp > 5000 {
				asked = must(colour.Daylight(temp))
			}
			line := ""
			for _, r := range []*recipe.Recipe{b, tr, c} {
				s := r.Solve(asked, 0.3, white)
				require.False(t, s.Clipped)
				f := must(quality.Measure(mixed(t, name, s.Drives)))
				if f.CRI == nil || f.SSI == nil {
					line += fmt.Sprintf("  none %v", f.Missing)
					continue
				}
				line += fmt.Sprintf("  | Ra %5.1f R9 %6.1f Rf %5.1f SSI %5.1f TLCI %5.1f du %.4f", f.CRI.Ra, f.CRI.R[8], f.TM30.Rf, f.SSI.Value, f.TLCI.Q, s.DeltaUV)
			}
			fmt.Println(name, temp, line)
		}
	}
}

func TestUnlikeLampsAgree(t *testing.T) {
	for _, pol := range []recipe.Policy{recipe.Brightest, recipe.ForCamera} {
		tube, panel := recipeOf(t, "tube-rgb-2ft", pol), recipeOf(t, "panel-rgbacl", pol)
		view := reference().View()
		n, reached, worst, worstUV, sumUV, eye := 0, 0, 0.0, 0.0, 0.0,0.0
		worstLum := 0.0
		for x := 0.02; x < 0.75; x += 0.02 {
			for y := 0.02; y < 0.85; y += 0.02 {
				p := colour.XY{X: x, Y: y}
				if !p.Valid() {
					continue
				}
				a, b := tube.Solve(p, 1, white), panel.Solve(p, 1, white)
				if _, cl := tube.Cell().Aim(p, white); cl {
					continue
				}
				if _, cl := panel.Cell().Aim(p, white); cl {
					continue
				}
				n++
				if a.Clipped || b.Clipped {
					continue
				}
				reached++
				l := 0.5 * min(tube.Full(p, white), panel.Full(p, white))
				a, b = tube.Solve(p, colour.Level(l/tube.Full(p, white)), white), panel.Solve(p, colour.Level(l/panel.Full(p, white)), white)
				ra, rb := view.See(mixed(t, "tube-rgb-2ft", a.Drives)), view.See(mixed(t, "panel-rgbacl", b.Drives))
				for _, q := range [][2]float64{{ra.R, rb.R}, {ra.G, rb.G}, {ra.B, rb.B}} {
					worst = max(worst, math.Abs(math.Log2(q[0]/q[1])))
				}
				worstLum = max(worstLum, math.Abs(math.Log2(a.Lumens/b.Lumens)))
				d := a.Reached.UV().Distance(b.Reached.UV())
				worstUV = max(worstUV, d)
				sumUV += d
				eye = max(eye, a.DeltaUV, b.DeltaUV)
			}
		}
		fmt.Printf("%s: %d colours in reach of both, %d reached, channels worst %.3g stops, between them u'v' mean %.4f worst %.4f, lum %.3f stops; from asked worst %.4f\n", pol, n, reached, worst, sumUV/float64(reached), worstUV, worstLum, eye)
	}
}
