package stage_test

import (
	"context"
	"fmt"
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// build compiles a location of three lamps.
func build(t *testing.T) *stage.Stage {
	files := fstest.MapFS{
		"show.yaml": {Data: []byte("title: T\ncamera: {fps: 24}\nsafety: {floor-light: {on: all, level: 1%, colour: 3200 K}}\n")},
		"kit.yaml":  {Data: []byte("T1: {type: tube-rgbww-4ft, mode: 8-cell}\nT2: {type: tube-rgbww-4ft, mode: 1-cell}\nP1: {type: panel-rgbww}\nS1: {type: spot-daylight}\nU1: {type: puck-rgbw}\n")},
		"locations/place.yaml": {Data: []byte(`
set:
  - {box: floor, at: [0, 0, -0.1], size: [6, 4, 0.1], albedo: 0.3}
marks: {a: [3, 2, 0]}
rig:
  round: {lamp: T1, at: [1, 3, 0.05], along: [2, 0, 0], address: 0:0:1.001}
  strip: {lamp: T2, at: [3, 3, 1], along: [1, 0, 0], aim: [3, 0, 1], address: 0:0:1.101}
  soft: {lamp: P1, at: [3, -2, 1.5], aim: [3, 2, 1.5], address: 0:0:1.201}
  hard: {lamp: S1, at: [3, -4, 1.6], aim: [3, 2, 1.6], address: 0:0:1.251}
  puck: {lamp: U1, at: [5, 1, 0.1], address: 0:0:1.301}
groups: {all: [round, strip, soft, hard, puck]}
looks: {white: {paint: [{on: all, colour: 5600 K, level: 100%}]}}
setups: {wide: {camera: [3, -3, 1.5], look-at: a, lens: 24 mm}}
cues: [{look: white, fade: 1 s}]
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

// source finds the first source of a lamp.
func source(t *testing.T, s *stage.Stage, lamp string) (int, transport.Source, solid.Surface) {
	for i := range s.Plan.Cells {
		if s.Plan.Cells[i].Lamp.ID == lamp {
			return i, s.Place.Sources[i], s.Lamps[i].Face
		}
	}
	require.FailNow(t, "no lamp", lamp)
	return 0, transport.Source{}, solid.Surface{}
}

func TestEachLampFacesWhereItShould(t *testing.T) {
	s := build(t)
	require.Len(t, s.Place.Sources, len(s.Plan.Cells))
	require.Len(t, s.Lamps, len(s.Plan.Cells))

	_, round, face := source(t, s, "round")
	require.Nil(t, round.Beam, "a tube without aim shines all round")
	require.InDelta(t, 1.15/8, round.Along.Length(), 1e-12)
	require.Equal(t, solid.Tube, face.Shape())

	_, strip, _ := source(t, s, "strip")
	require.InDelta(t, -1, strip.Facing.Y, 1e-12)
	require.Zero(t, strip.Across, "the width of a tube is nothing to its light")

	_, soft, face := source(t, s, "soft")
	require.InDelta(t, 1, soft.Facing.Y, 1e-12)
	require.InDelta(t, 0, soft.Along.Dot(soft.Facing), 1e-12)
	require.InDelta(t, 1, face.Normal(soft.Centre).Dot(soft.Facing), 1e-12)

	_, puck, _ := source(t, s, "puck")
	require.Equal(t, solid.Vec{Z: 1}, puck.Facing, "without aim, on the floor")
}

// The lux of a lamp on its axis is its candela over the square of the distance: of a
// cosine power beam, I0 = F·(m+1)/(2π), m = ln 0.5/ln cos(beam/2) (trade.md section 2,
// after CIE S 017's beam angle).
func TestSpotHasTheCandelaOfItsBeam(t *testing.T) {
	s := build(t)
	k, _, _ := source(t, s, "hard")
	m, err := transport.Compute(context.Background(), &s.Place, transport.Options{Texels: 200, Bounces: 1, Rays: 8})
	require.NoError(t, err)
	lit := transport.NewLit(&s.Place, m)
	p := s.Plan.Cells[k].Lamp.Lamp.Type.Photometry
	power := math.Log(0.5) / math.Log(math.Cos(p.BeamDeg/2*math.Pi/180))
	lux := lit.Probe(solid.Vec{X: 3, Y: 16, Z: 1.6}, solid.Vec{Y: -1})[0][k]
	require.InEpsilon(t, (power+1)/(2*math.Pi)/400, lux, 0.05, "the type's field angle bends it a little")
}

// What an eye makes of the bytes is what the solver meant: lumens as Light tells,
// and white alike in all channels at the balance.
func TestEyeReadsTheBytes(t *testing.T) {
	s := build(t)
	still, _, problems := s.Plan.Still(s.Plan.Show.Look(s.Plan.Location, "white"))
	require.False(t, problems.HasErrors())
	sensor, err := camera.SensorByName(camera.DefaultSensor)
	require.NoError(t, err)
	view, err := sensor.BalanceAt(5600)
	require.NoError(t, err)
	cells := make([]camera.Response, len(s.Plan.Cells))
	meant := make([]colour.XYZ, len(cells))
	s.Plan.Shine(still, meant)
	eye := stage.NewEye(s, view)
	eye.See(s.Plan.Frame(still, false), cells)
	for i, c := range cells {
		require.InEpsilon(t, meant[i].Y, c.Y, 0.02)
		for _, v := range []float64{c.R, c.G, c.B} {
			require.InEpsilon(t, c.Y, v, 0.35, "%s", s.Plan.Cells[i].Lamp.ID)
		}
	}
	frame := s.Plan.Frame(still, false)
	require.Zero(t, testing.AllocsPerRun(10, func() { eye.See(frame, cells) }))
}

// Behind a diffusion that widens 25 degrees to 45, a lumen gives on the axis what a
// beam of 45 degrees gives: 1553 cd against 4758 for 1000 lm (trade.md section 2, from
// the beam formula); and every lamp, all round ones too, loses the share that does not
// pass.
func TestDiffusion(t *testing.T) {
	widens := math.Sqrt(45*45 - 25*25)
	files := fstest.MapFS{
		"show.yaml": {Data: []byte("title: T\ncamera: {fps: 24}\nsafety: {floor-light: {on: all, level: 1%, colour: 3200 K}}\n")},
		"kit.yaml":  {Data: []byte("N1..N2: {type: narrow}\nT1..T2: {type: tube-rgbww-4ft, mode: 1-cell}\n")},
		"lamps/narrow.yaml": {Data: []byte("class: spot\nemitters: {white: {lumens: 1000 lm, spectrum: {peak: 560 nm, width: 200 nm}}}\n" +
			"photometry: {beam: 25 deg, field: 45.1 deg, length: 0.1 m, width: 0.1 m}\nmodes: {plain: {bits: 16, channels: [white]}}\n")},
		"locations/place.yaml": {Data: fmt.Appendf(nil, `
rig:
  bare: {lamp: N1, at: [0, 0, 2], address: 0:0:1.001}
  soft: {lamp: N2, at: [1, 0, 2], address: 0:0:1.011, diffusion: {factor: 50%%, widens: %.4f deg}}
  round: {lamp: T1, at: [0, 3, 1], along: [1, 0, 0], address: 0:0:1.021}
  dim: {lamp: T2, at: [2, 3, 1], along: [1, 0, 0], address: 0:0:1.041, diffusion: {factor: 25%%}}
groups: {all: [bare, soft, round, dim]}
looks: {white: {paint: [{on: all, colour: 5600 K, level: 100%%}]}}
cues: [{look: white, fade: 1 s}]
`, widens)},
	}
	show, problems := showfile.LoadFS(files, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	place, problems := compile.Location(show, show.Locations[0])
	require.NotNil(t, place, "%v", problems)
	s, problems := stage.Build(place)
	require.NotNil(t, s, "%v", problems)

	require.InEpsilon(t, 4.758, s.Place.Sources[0].Beam.PerLumen(1), 0.002)
	require.InEpsilon(t, 1.553, s.Place.Sources[1].Beam.PerLumen(1), 0.03)

	still, _, _ := place.Still(show.Look(place.Location, "white"))
	view, err := show.Camera.View()
	require.NoError(t, err)
	cells := make([]camera.Response, len(place.Cells))
	stage.NewEye(s, view).See(place.Frame(still, false), cells)
	require.InEpsilon(t, 0.5, cells[1].Y/cells[0].Y, 1e-9)
	require.InEpsilon(t, 0.25, cells[3].Y/cells[2].Y, 1e-9)
	require.InEpsilon(t, 0.25, cells[3].G/cells[2].G, 1e-9)
}
