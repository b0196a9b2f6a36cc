package stage_test

import (
	"context"
	"fmt"
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/camera"
	"linkboy/colour/photometry"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// zoomed compiles a place of two spots of 1000 lm with a lens from 15 to 60 degrees, of
// which the looks spread one, and one behind a diffusion.
func zoomed(t *testing.T, angles string) *stage.Stage {
	files := fstest.MapFS{
		"show.yaml": {Data: []byte("title: T\ncamera: {fps: 24}\nsafety: {floor-light: {on: all, level: 1%, colour: 3200 K}}\n")},
		"kit.yaml":  {Data: []byte("Z1..Z3: {type: lens}\n")},
		"lamps/lens.yaml": {Data: []byte("class: spot\nemitters: {white: {lumens: 1000 lm, spectrum: {peak: 560 nm, width: 200 nm}}}\n" +
			"photometry: {beam: 30 deg, field: 53.9 deg, length: 0.1 m, width: 0.1 m}\n" +
			"parameters: {spread: {unit: deg, range: " + angles + ", safe: 30}}\nmodes: {plain: {bits: 16, channels: [white, spread]}}\n")},
		"locations/place.yaml": {Data: []byte(`
set: [{plane: wall, at: [-6, 5, -6], along: [12, 0, 0], across: [0, 0, 12], albedo: 0.4}]
marks: {a: [0, 4, -1.6]}
rig:
  moves: {lamp: Z1, at: [0, 0, 0], aim: [0, 5, 0], address: 0:0:1.001}
  stays: {lamp: Z2, at: [0.5, 0, 0], aim: [0.5, 5, 0], address: 0:0:1.011}
  soft: {lamp: Z3, at: [1, 0, 0], aim: [1, 5, 0], address: 0:0:1.021, diffusion: {factor: 80%, widens: 20 deg}}
groups: {key: [moves], stays: [stays], soft: [soft], all: [moves, stays, soft]}
looks:
  narrow: {paint: [{on: all, colour: 5600 K, level: 100%}, {on: key, set: {spread: 25 deg}}, {on: soft, set: {spread: 15 deg}}]}
  wide: {paint: [{on: all, colour: 5600 K, level: 100%}, {on: key, set: {spread: 45 deg}}]}
  lux: {paint: [{on: key, colour: 5600 K, level: 30 lx at a, set: {spread: 20 deg}}]}
setups: {front: {camera: [0, -3, 0], look-at: a, lens: 24 mm}}
`)},
	}
	show, problems := showfile.LoadFS(files, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	place, problems := compile.Location(show, show.Locations[0])
	require.NotNil(t, place, "%v", problems)
	set, problems := stage.Build(place)
	require.NotNil(t, set, "%v", problems)
	return set
}

// seen gives what the sources give in a frame with the spread of the first lamp put to
// an angle of its range.
func seen(t *testing.T, s *stage.Stage, look string, degrees float64) []camera.Response {
	still, _, problems := s.Plan.Still(s.Plan.Show.Look(s.Plan.Location, look))
	require.False(t, problems.HasErrors(), "%v", problems)
	frame := s.Plan.Frame(still, false)
	if degrees > 0 {
		zoom := s.Plan.Cells[0].Lamp.Lamp.Mode.Zoom()
		v := uint16(math.Round(zoom.Share(degrees) * 65535))
		frame[0][2], frame[0][3] = byte(v>>8), byte(v)
	}
	view, err := s.Plan.Show.Camera.View()
	require.NoError(t, err)
	cells := make([]camera.Response, len(s.Place.Sources))
	stage.NewEye(s, view).See(frame, cells)
	return cells
}

// What a meter on the axis reads follows the bytes by the beam formula, I0 = F·(m+1)/(2π),
// m = ln 0.5/ln cos(beam/2) (CIE S 017, IES Lighting Handbook): 25 degrees against 45 at
// the same lumens is 4758 cd against 1553, 3.06 times (trade.md section 2). No lumen is
// made or lost.
func TestSpreadFollowsTheBytes(t *testing.T) {
	s := zoomed(t, "[15, 60]")
	require.Equal(t, []int{0, 3, 4, 5}, s.Lamps[0].Sources)
	require.Equal(t, []int{1}, s.Lamps[1].Sources, "no look spreads it")
	require.Len(t, s.Lamps[2].Sources, 4)
	require.Equal(t, []int{0, 3, 4, 5, 1}, s.SourcesOf([]int{0, 1}))

	m, err := transport.Compute(context.Background(), &s.Place, transport.Options{Texels: 400, Rays: 8, Bounces: 1})
	require.NoError(t, err)
	row := transport.NewLit(&s.Place, m).Probe(solid.Vec{Y: 4.9}, solid.Vec{Y: -1})[0]
	candela := func(cells []camera.Response) float64 {
		sum := 0.0
		for _, k := range s.Lamps[0].Sources {
			sum += cells[k].Y * float64(row[k])
		}
		return sum * 4.9 * 4.9
	}
	for _, degrees := range []float64{15, 17, 19, 22, 25, 30, 35, 40, 45, 50, 55, 60} {
		cells := seen(t, s, "narrow", degrees)
		lumens := 0.0
		for _, k := range s.Lamps[0].Sources {
			lumens += cells[k].Y
		}
		require.InEpsilon(t, 1000, lumens, 1e-3)
		m := math.Log(0.5) / math.Log(math.Cos(degrees/2*math.Pi/180))
		require.InEpsilon(t, 1000*(m+1)/(2*math.Pi), candela(cells), 0.01, "%v degrees", degrees)
	}
	require.InEpsilon(t, 4758.0/1553, candela(seen(t, s, "narrow", 0))/candela(seen(t, s, "wide", 0)), 0.005)
	frame, cells := s.Plan.Frame(s.Plan.Dark(), false), make([]camera.Response, len(s.Place.Sources))
	view, _ := s.Plan.Show.Camera.View()
	eye := stage.NewEye(s, view)
	require.Zero(t, testing.AllocsPerRun(10, func() { eye.See(frame, cells) }))
}

// Between the spreads that light is computed for, the sum of two beams is nearly as wide
// as the one beam: how far off the angles of half and of a tenth of the light are.
func TestBlendIsNearlyTheBeam(t *testing.T) {
	for text, within := range map[string]struct{ half, tenth float64 }{
		"[15, 60]": {0.07, 0.04}, "[4, 60]": {0.24, 0.14},
	} {
		s := zoomed(t, text)
		zoom := s.Plan.Cells[0].Lamp.Lamp.Mode.Zoom()
		half, tenth := 0.0, 0.0
		for degrees := zoom.Min; degrees <= zoom.Max; degrees++ {
			a, b, share := s.Blend(0, degrees)
			light := func(deg float64) float64 {
				cos := math.Cos(deg / 2 * math.Pi / 180)
				return (1-share)*s.Place.Sources[a].Beam.PerLumen(cos) + share*s.Place.Sources[b].Beam.PerLumen(cos)
			}
			angle := func(of float64) float64 {
				low, high := 0.0, 179.0
				for range 60 {
					if mid := (low + high) / 2; light(mid) > of*light(0) {
						low = mid
					} else {
						high = mid
					}
				}
				return low
			}
			base, err := photometry.NewBeam(1, photometry.Degrees(degrees))
			require.NoError(t, err)
			half = max(half, math.Abs(angle(0.5)/degrees-1))
			tenth = max(tenth, math.Abs(angle(0.1)/float64(base.FieldAngle())-1))
		}
		t.Logf("%s: beam angle within %.3f, field angle within %.3f", text, half, tenth)
		require.Less(t, half, within.half, text)
		require.Less(t, tenth, within.tenth, text)
	}
}

// The narrow beam behind a diffusion, too: candela as photometry says of the two together.
func TestSpreadBehindADiffusion(t *testing.T) {
	s := zoomed(t, "[15, 60]")
	b, err := photometry.NewBeam(1, 15)
	require.NoError(t, err)
	b, err = photometry.Diffusion{Factor: 1, Widening: 20}.Beam(b)
	require.NoError(t, err)
	require.InEpsilon(t, float64(b.Peak), s.Place.Sources[2].Beam.PerLumen(1), 0.01)
}

// The scene names whose face a lamp at another spread has.
func TestSceneTellsSpreads(t *testing.T) {
	s := zoomed(t, "[15, 60]")
	scene, err := s.Scene()
	require.NoError(t, err)
	var of []int
	for _, l := range scene.Lamps {
		of = append(of, l.Of)
	}
	require.Equal(t, "[-1 -1 -1 0 0 0 2 2 2]", fmt.Sprint(of))
	require.Equal(t, scene.Lamps[0].SceneShape, scene.Lamps[4].SceneShape)
}
