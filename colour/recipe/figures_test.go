package recipe_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/quality"
	"linkboy/colour/recipe"
)

// On whites, truest renders better than brightest: nearer to the reference by SSI at every
// temperature, and better on the whole by Ra. The figures are those of the published
// methods in package quality; run with -v for the table.
func TestTruestRendersBetter(t *testing.T) {
	for _, name := range []string{"tube-rgbww-4ft", "panel-rgbww", "panel-rgbacl"} {
		bright, true1 := recipeOf(t, name, recipe.Brightest), recipeOf(t, name, recipe.Truest)
		gained := 0.0
		temps := []colour.Kelvin{2700, 3200, 4300, 5600, 6500}
		for _, temp := range temps {
			asked := recipe.WhiteLight(1e6 / float64(temp)).XYZ().XY()
			a := must(quality.Measure(mixed(t, name, bright.Solve(asked, 0.3, white).Drives)))
			b := must(quality.Measure(mixed(t, name, true1.Solve(asked, 0.3, white).Drives)))
			t.Logf("%-15s %g K  brightest: %v, Ra %.0f, Rf %.0f, TLCI %.0f; truest: %v, Ra %.0f, Rf %.0f, TLCI %.0f",
				name, temp, a.SSI, a.CRI.Ra, a.TM30.Rf, a.TLCI.Q, b.SSI, b.CRI.Ra, b.TM30.Rf, b.TLCI.Q)
			require.Greater(t, b.SSI.Value, a.SSI.Value, "%s at %g K", name, temp)
			require.Greater(t, b.CRI.Ra, 90.0, "%s at %g K", name, temp)
			gained += (b.CRI.Ra - a.CRI.Ra) / float64(len(temps))
		}
		require.Greater(t, gained, 4.0, name)
	}
}

// pair is two unlike lamps by one policy.
type pair struct {
	a, b         *recipe.Recipe
	nameA, nameB string
}

// meeting is what comes of one colour asked of both at one light.
type meeting struct {
	channels float64 // stops, the worst of the three
	apart    float64 // u'v' between the two lamps, to the eye
	off      float64 // u'v' from the colour asked, the worse of the two
	lumens   float64 // stops
}

// meet asks both lamps for a colour at half the light of the weaker one; ok is false when
// it is out of reach of one.
func (p *pair) meet(t testing.TB, view camera.View, asked colour.XY) (m meeting, ok bool) {
	fullA, fullB := p.a.Full(asked, white), p.b.Full(asked, white)
	light := 0.5 * min(fullA, fullB)
	a := p.a.Solve(asked, colour.Level(light/fullA), white)
	b := p.b.Solve(asked, colour.Level(light/fullB), white)
	if a.Clipped || b.Clipped {
		return m, false
	}
	seenA, seenB := view.See(mixed(t, p.nameA, a.Drives)), view.See(mixed(t, p.nameB, b.Drives))
	stops := func(x, y float64) float64 { return math.Abs(math.Log2(x / y)) }
	return meeting{
		channels: max(stops(seenA.R, seenB.R), stops(seenA.G, seenB.G), stops(seenA.B, seenB.B)),
		apart:    a.Reached.UV().Distance(b.Reached.UV()),
		off:      max(a.DeltaUV, b.DeltaUV),
		lumens:   stops(a.Lumens, b.Lumens),
	}, true
}

// Two unlike lamps, a tube with three emitters and a panel with six, agree in the camera
// within 0.05 stop per channel and in level, for every colour of a grid that both reach;
// what that costs the eye is told. By the brightest mixes they agree for the eye and not
// for the camera.
func TestUnlikeLampsAgreeInTheCamera(t *testing.T) {
	for _, sensor := range camera.Sensors() {
		view := viewOf(sensor.Name)
		ref := recipe.NewReference(view)
		for _, policy := range []recipe.Policy{recipe.Brightest, recipe.ForCamera} {
			p := pair{nameA: "tube-rgb-2ft", nameB: "panel-rgbacl"}
			typ, mode := typeOf(t, p.nameA)
			p.a = must(recipe.New(typ, mode, policy, ref))
			typ, mode = typeOf(t, p.nameB)
			p.b = must(recipe.New(typ, mode, policy, ref))
			var worst, sum meeting
			colours, eyeReach := 0, 0
			for x := 0.02; x < 0.75; x += 0.013 {
				for y := 0.02; y < 0.85; y += 0.013 {
					asked := colour.XY{X: x, Y: y}
					_, outA := p.a.Cell().Aim(asked, white)
					_, outB := p.b.Cell().Aim(asked, white)
					if outA || outB {
						continue
					}
					eyeReach++
					m, ok := p.meet(t, view, asked)
					if !ok {
						continue
					}
					colours++
					worst = meeting{max(worst.channels, m.channels), max(worst.apart, m.apart), max(worst.off, m.off), max(worst.lumens, m.lumens)}
					sum.channels, sum.apart = sum.channels+m.channels, sum.apart+m.apart
				}
			}
			n := float64(colours)
			t.Logf("%s, %s: %d of %d colours: channels %.3f stops apart (mean %.3f); to the eye %.4f in u'v' (mean %.4f) and %.2f stops, %.4f from what was asked",
				sensor.Name, policy, colours, eyeReach, worst.channels, sum.channels/n, worst.apart, sum.apart/n, worst.lumens, worst.off)
			require.Greater(t, n/float64(eyeReach), 0.8)
			if policy == recipe.ForCamera {
				require.Less(t, worst.channels, 0.05, sensor.Name)
				require.Less(t, worst.off, 0.12)
				continue
			}
			require.Less(t, worst.apart, 1e-6)
			require.Greater(t, worst.channels, 0.3, "without the policy the camera sees them differ")
		}
	}
}
