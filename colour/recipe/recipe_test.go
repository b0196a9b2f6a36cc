package recipe_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/colour/recipe"
	"linkboy/colour/spectra"
)

var policies = []recipe.Policy{recipe.Brightest, recipe.Truest, recipe.ForCamera}

// anyAsk draws a colour and level as looks ask for them: whites, colours, out of reach too.
func anyAsk(r *rand.Rand) (colour.XY, colour.Level) {
	level := colour.Level(r.Float64())
	switch r.IntN(8) {
	case 0:
		level = 1
	case 1:
		level = colour.Level(math.Exp2(-12 * r.Float64()))
	}
	if r.IntN(2) == 0 {
		return recipe.WhiteLight(60 + 500*r.Float64()).XYZ().XY(), level
	}
	return anyColour(r), level
}

// Brightest is the cell's own solve; truest gives the same light for every colour and
// level, whatever the lamp, by drives that it has.
func TestTruestGivesTheLightAsked(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(13, 14))
	for _, name := range lit {
		brightest, truest := recipeOf(t, name, recipe.Brightest), recipeOf(t, name, recipe.Truest)
		for range 3000 {
			asked, level := anyAsk(r)
			want := brightest.Cell().Solve(asked, level, white)
			require.Equal(t, want, brightest.Solve(asked, level, white))
			got := truest.Solve(asked, level, white)
			require.Equal(t, want.Most, got.Most)
			require.Equal(t, want.Clipped, got.Clipped)
			a, b := truest.Cell().Light(want.Drives), truest.Cell().Light(got.Drives)
			size := a.X + a.Y + a.Z
			require.InDelta(t, a.X, b.X, 1e-6*size, "%s: %v at %g", name, asked, level)
			require.InDelta(t, a.Y, b.Y, 1e-6*size)
			require.InDelta(t, a.Z, b.Z, 1e-6*size)
			require.Equal(t, want.Most, truest.Full(asked, white))
		}
	}
}

// Drives are 0..1 and never NaN, also for what is no colour.
func TestDrivesAreDrives(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(15, 16))
	odd := []float64{0, -1, 1, math.NaN(), math.Inf(1), math.Inf(-1), 1e300, 1e-300, 0.3}
	for _, name := range lit {
		for _, p := range policies {
			rec := recipeOf(t, name, p)
			for range 2000 {
				asked, level := anyAsk(r)
				toward := white
				switch r.IntN(4) {
				case 0:
					asked = colour.XY{X: odd[r.IntN(len(odd))], Y: odd[r.IntN(len(odd))]}
				case 1:
					toward = colour.XY{X: odd[r.IntN(len(odd))], Y: odd[r.IntN(len(odd))]}
				case 2:
					level = colour.Level(odd[r.IntN(len(odd))])
				}
				s := rec.Solve(asked, level, toward)
				for i, d := range s.Drives {
					require.True(t, d >= 0 && d <= 1, "%s %s: %v toward %v at %g: %v", name, p, asked, toward, level, s.Drives)
					require.True(t, i < rec.Cell().Len() || d == 0)
				}
				require.False(t, math.IsNaN(s.Lumens) || math.IsNaN(s.Most) || s.Lumens > s.Most*(1+1e-9)+1e-9 && p != recipe.ForCamera)
				require.GreaterOrEqual(t, rec.Full(asked, toward), 0.0)
			}
		}
	}
}

// A small change of colour, level or white makes a small change of the light and mix.
func TestSolvesAreContinuous(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(17, 18))
	const step = 1e-8
	for _, name := range lit {
		for _, p := range policies {
			rec := recipeOf(t, name, p)
			for range 1500 {
				asked, level := anyAsk(r)
				level = min(level, 0.95)
				a := rec.Solve(asked, level, white)
				b := rec.Solve(colour.XY{X: asked.X + step*r.NormFloat64(), Y: asked.Y + step*r.NormFloat64()}, level+colour.Level(step), white)
				for i := range a.Drives {
					require.InDelta(t, a.Drives[i], b.Drives[i], 1e-3, "%s %s: %v at %g", name, p, asked, level)
				}
				require.InDelta(t, a.DeltaUV, b.DeltaUV, 1e-4)
			}
		}
	}
}

// distances are what truest makes least, worked out from the spectra themselves: to the
// reference white, and how much the spectrum bends.
func distances(t testing.TB, name string, d emitters.Drives, mired float64) (fromWhite, bend float64) {
	s := mixed(t, name, d)
	ref := recipe.WhiteLight(mired).Scale(s.XYZ().Y)
	a, b := recipe.Blurred(&s), recipe.Blurred(&ref)
	for i := range a {
		fromWhite += (a[i] - b[i]) * (a[i] - b[i])
	}
	for _, v := range recipe.SecondDifferences(&s) {
		bend += v * v
	}
	return fromWhite, bend
}

// Of all mixes of the light, truest has the spectrum nearest to the reference white for
// whites, and the smoothest for colours. The other mixes lie on the way to the brightest.
func TestTruestIsNearest(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(19, 20))
	for _, name := range []string{"tube-rgbww-4ft", "panel-rgbacl", "puck-rgbw"} {
		truest, brightest := recipeOf(t, name, recipe.Truest), recipeOf(t, name, recipe.Brightest)
		compared := 0
		for range 500 {
			asked, level := anyAsk(r)
			s := truest.Solve(asked, level, white)
			mired, _, share := recipe.Place(s.Reached)
			if share > 0 && share < 1 || level < 0.001 {
				continue
			}
			other := brightest.Solve(asked, level, white).Drives
			for _, part := range []float64{0.01, 0.1, 1} {
				d := s.Drives
				for i := range d {
					d[i] += part * (other[i] - d[i])
				}
				ownWhite, ownBend := distances(t, name, s.Drives, mired)
				white, bend := distances(t, name, d, mired)
				// The ridge that makes the mix unique may cost a millionth of the square
				// of the spectrum.
				if share == 1 {
					require.LessOrEqual(t, ownWhite, white*(1+1e-3), "%s: %v at %g", name, asked, level)
				} else {
					require.LessOrEqual(t, ownBend, bend*(1+1e-3), "%s: %v at %g", name, asked, level)
				}
				compared++
			}
		}
		require.Greater(t, compared, 300)
	}
}

func TestNewRefuses(t *testing.T) {
	panel, mode := typeOf(t, "panel-rgbacl")
	_, err := recipe.New(panel, mode, "loudest", nil)
	require.ErrorIs(t, err, recipe.ErrPolicy)
	_, err = recipe.New(panel, mode, recipe.ForCamera, nil)
	require.ErrorIs(t, err, recipe.ErrNoCamera)
	fog, fogMode := typeOf(t, "fog")
	_, err = recipe.New(fog, fogMode, recipe.Brightest, nil)
	require.ErrorIs(t, err, recipe.ErrNoLight)

	far := *panel
	far.Emitters = append([]lamp.Emitter(nil), panel.Emitters...)
	far.Emitters[0].Spectrum = spectra.Ohno(820, 5) // which the eye still sees a little
	_, err = recipe.New(&far, mode, recipe.ForCamera, reference())
	require.ErrorIs(t, err, recipe.ErrUnseen)
	require.ErrorContains(t, err, `sensor "bayer-a"`)
	_, err = recipe.New(&far, mode, recipe.Truest, nil)
	require.NoError(t, err)

	r, err := recipe.New(panel, mode, "", nil)
	require.NoError(t, err)
	require.Equal(t, recipe.Brightest, r.Policy())
}

func TestEveryBuiltinTypeHasEveryRecipe(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	for _, sensor := range camera.Sensors() {
		ref := recipe.NewReference(viewOf(sensor.Name))
		require.Equal(t, sensor.Name, ref.View().Name())
		for _, name := range lit {
			typ, _ := typeOf(t, name)
			for _, mode := range typ.Modes {
				_, err := recipe.New(typ, mode, recipe.ForCamera, ref)
				require.NoError(t, err)
			}
		}
	}
}

// Stops is how far the camera's channels are from the reference, worked out here from the
// spectra: nothing where it is met, and what is missing where the lamp cannot.
func TestStops(t *testing.T) {
	r := rand.New(rand.NewPCG(25, 26))
	view := reference().View()
	met, missed := 0, 0
	for _, name := range lit {
		rec := recipeOf(t, name, recipe.ForCamera)
		for range 500 {
			asked, level := anyAsk(r)
			s := rec.Solve(asked, level, white)
			got := rec.Stops(s, white)
			aim, _ := rec.Cell().Aim(asked, white)
			a, b := view.See(mixed(t, name, s.Drives)), reference().At(aim)
			k := (b.R + b.G + b.B) / (a.R + a.G + a.B)
			want := 0.0
			for _, c := range [][2]float64{{a.R, b.R}, {a.G, b.G}, {a.B, b.B}} {
				want = max(want, math.Abs(math.Log2(k*c[0]/c[1])))
			}
			require.InDelta(t, want, got, 1e-6+1e-4*want, "%s: %v", name, asked)
			if _, out := rec.Cell().Aim(asked, white); !out && !s.Clipped {
				require.Less(t, got, 1e-3, "%s: %v", name, asked)
				met++
			} else if got > 0.05 {
				missed++
			}
		}
		require.Zero(t, recipeOf(t, name, recipe.Truest).Stops(emitters.Solution{Lumens: 1}, white))
		require.Zero(t, rec.Stops(emitters.Solution{}, white))
	}
	require.Greater(t, met, 500)
	require.Greater(t, missed, 50)
}
