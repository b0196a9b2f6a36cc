package recipe_test

import (
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/colour/recipe"
	"linkboy/colour/spectra"
	"linkboy/cues/showfile"
)

// white is the balance in these tests: a black body of 4300 K.
var white = must(colour.Planckian(4300))

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// lit lists the generic lamp types that give light.
var lit = []string{"key-bicolour", "spot-daylight", "tube-rgb-2ft", "tube-rgbww-4ft", "panel-rgbww", "panel-rgbacl", "puck-rgbw"}

func typeOf(t testing.TB, name string) (*lamp.Type, *lamp.Mode) {
	for _, typ := range showfile.BuiltinTypes() {
		if typ.Name == name {
			return typ, typ.Modes[0]
		}
	}
	t.Fatalf("no type %q", name)
	return nil, nil
}

func viewOf(sensor string) camera.View {
	return must(must(camera.SensorByName(sensor)).BalanceAt(4300))
}

var reference = sync.OnceValue(func() *recipe.Reference { return recipe.NewReference(viewOf("bayer-a")) })

func recipeOf(t testing.TB, name string, p recipe.Policy) *recipe.Recipe {
	typ, mode := typeOf(t, name)
	r, err := recipe.New(typ, mode, p, reference())
	require.NoError(t, err)
	return r
}

// mixed returns the spectrum of a mix of a lamp's cell, in W/nm.
func mixed(t testing.TB, name string, d emitters.Drives) (sum spectra.Spectrum) {
	typ, mode := typeOf(t, name)
	for i, e := range typ.Emitters {
		k := d[i] * e.Lumens / float64(mode.Cells) / e.Spectrum.XYZ().Y
		sum = sum.Add(e.Spectrum.Scale(k))
	}
	return sum
}

// anyColour draws a chromaticity that light can have.
func anyColour(r *rand.Rand) colour.XY {
	for {
		if p := (colour.XY{X: 0.75 * r.Float64(), Y: 0.85 * r.Float64()}); p.Valid() {
			return p
		}
	}
}
