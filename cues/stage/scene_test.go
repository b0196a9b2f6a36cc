package stage_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/solid"
)

// What a page draws from a scene is what rays meet: the points that SceneShape gives are
// those of the surfaces, and beams are those of the sources.
func TestSceneIsThePlace(t *testing.T) {
	s := build(t)
	scene, err := s.Scene()
	require.NoError(t, err)
	require.Len(t, scene.Surfaces, len(s.Place.Pieces))
	require.Len(t, scene.Lamps, len(s.Place.Sources))

	point := func(at, u, v [3]float64, w *[3]float64, x, y, z float64) solid.Vec {
		p := [3]float64{}
		for i := range p {
			p[i] = at[i] + x*u[i] + y*v[i]
			if w != nil {
				p[i] += z * w[i]
			}
		}
		return solid.Vec{X: p[0], Y: p[1], Z: p[2]}
	}
	near := func(want, got solid.Vec) {
		t.Helper()
		require.InDelta(t, 0, want.Sub(got).Length(), 4e-6, "%v is not %v", got, want)
	}
	for i, f := range scene.Surfaces {
		want, _ := s.Place.Pieces[i].Surface.At(0.25, 0.75)
		near(want, point(f.At, f.U, f.V, f.W, 0.25, 0.75, 0))
		require.Equal(t, [3]float64{0.3, 0.3, 0.3}, f.Finish)
		require.Equal(t, -1, f.Twin)
	}
	shapes := map[string]int{}
	for i, l := range scene.Lamps {
		shapes[l.Shape]++
		require.InEpsilon(t, s.Lamps[i].Face.Area(), l.Area, 1e-9)
		want, _ := s.Lamps[i].Face.At(0.25, 0.75)
		if l.Shape == "tube" {
			near(want, point(l.At, l.U, l.V, l.W, math.Cos(math.Pi/2), math.Sin(math.Pi/2), 0.75))
			require.Equal(t, -1, l.Beam, "it shines all round")
			continue
		}
		near(want, point(l.At, l.U, l.V, l.W, 0.25, 0.75, 0))
		b := scene.Beams[l.Beam]
		for _, cos := range []float64{1, 0.9, 0.5, 0.1} {
			x := math.Pow(b.Power*math.Log2(1/cos), b.Shape)
			require.InDelta(t, s.Place.Sources[i].Beam.PerLumen(cos), b.Peak*math.Exp2(-x), 1e-9)
		}
	}
	require.Equal(t, map[string]int{"tube": 8, "rectangle": 4}, shapes)
	require.Less(t, len(scene.Beams), len(scene.Lamps), "alike beams are told once")
}

func TestSceneTellsTheCameras(t *testing.T) {
	s := build(t)
	scene, err := s.Scene()
	require.NoError(t, err)
	require.Len(t, scene.Setups, 1)
	u := scene.Setups[0]
	require.Equal(t, "wide", u.Name)
	require.Equal(t, [3]float64{3, -3, 1.5}, u.Camera)
	require.Equal(t, [3]float64{3, 2, 1}, u.LookAt, "a chest over the mark")
	require.Equal(t, 24.0, u.LensMM)
	require.InDelta(t, s.Plan.Show.Camera.KeyLux(), u.KeyLux, 1e-12)
	require.Equal(t, [3]float64{1, 1, 1}, u.Gain, "it has the show's balance")
	text, err := json.Marshal(scene)
	require.NoError(t, err)
	require.NotContains(t, string(text), "null")
}
