package stage_test

import (
	"bytes"
	"context"
	"image"
	"image/png"
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// projected compiles a spot that throws the upper left quarter of a square picture of 20
// degrees on a wall 5 m away.
func projected(t *testing.T, gobo, sets string) *stage.Stage {
	img := image.NewGray(image.Rect(0, 0, 64, 64))
	for i := range img.Pix {
		if i%64 < 32 && i/64 < 32 {
			img.Pix[i] = 255
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	show, problems := showfile.LoadFS(fstest.MapFS{
		"show.yaml":  {Data: []byte("title: T\ncamera: {fps: 24}\n")},
		"kit.yaml":   {Data: []byte("S1: {type: spot-daylight, mode: 16-bit}\n")},
		"corner.png": {Data: b.Bytes()},
		"locations/place.yaml": {Data: []byte("rig: {S1: {at: [0, 0, 1], aim: [0, 5, 1], address: 0:0:1.001, gobo: {picture: corner.png, angle: 20 deg" + gobo + "}}}\n" +
			"groups: {all: [S1]}\nlooks: {on: {paint: [{on: all, colour: 5600 K, level: 100%" + sets + "}]}}\n" +
			"setups: {front: {camera: [-0.2, 5, 1.2], look-at: [0, 0, 1], lens: 24 mm}, other: {camera: [0.2, 5, 1.2], look-at: [0, 0, 1], lens: 24 mm}}\n")},
	}, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	place, problems := compile.Location(show, show.Locations[0])
	require.NotNil(t, place, "%v", problems)
	set, problems := stage.Build(place)
	require.NotNil(t, set, "%v", problems)
	return set
}

// lightAt meters a source on the wall, x to the right and z up from the axis, as seen from
// the lamp: against what it gives without its mask.
func lightAt(t *testing.T, s *stage.Stage, source int, x, z float64) float64 {
	p := transport.Place{Sources: []transport.Source{s.Place.Sources[source], s.Place.Sources[source]}}
	p.Sources[1].Mask = nil
	m, err := transport.Compute(context.Background(), &p, transport.Options{})
	require.NoError(t, err)
	row := transport.NewLit(&p, m).Probe(solid.Vec{X: x, Y: 5, Z: 1 + z}, solid.Vec{Y: -1})[0]
	return float64(row[0] / row[1])
}

// The picture lies on the wall as it is in the file, upright and not mirrored, as far as its
// angle says: 2·5 m·tan 10° wide (plane geometry); turn turns it counterclockwise.
func TestGoboIsThrownUpright(t *testing.T) {
	s := projected(t, "", "")
	half := 5 * math.Tan(10*math.Pi/180)
	require.InDelta(t, 1, lightAt(t, s, 0, -half/2, half/2), 1e-6)
	for _, dark := range [][2]float64{{half / 2, half / 2}, {-half / 2, -half / 2}, {half / 2, -half / 2}, {-1.03 * half, half / 2}, {-half / 2, 1.03 * half}} {
		require.Zero(t, lightAt(t, s, 0, dark[0], dark[1]), "%v", dark)
	}
	require.InDelta(t, 1, lightAt(t, s, 0, -0.97*half, 0.97*half), 1e-6)

	s = projected(t, ", turn: 90 deg", "")
	require.InDelta(t, 1, lightAt(t, s, 0, -half/2, -half/2), 1e-6, "the upper left turned to the lower left")
	require.Zero(t, lightAt(t, s, 0, -half/2, half/2))
}

// An edge is as soft as asked: over 4 degrees of 5 m, 0.35 m.
func TestSoftGobo(t *testing.T) {
	s := projected(t, ", soft: 4 deg", "")
	reach := 5 * math.Tan(2*math.Pi/180)
	require.InDelta(t, 0.5, lightAt(t, s, 0, 0, 0.4), 0.03)
	require.InDelta(t, 1, lightAt(t, s, 0, -1.1*reach, 0.4), 0.01)
	require.InDelta(t, 0, lightAt(t, s, 0, 1.1*reach, 0.4), 0.01)
	require.Greater(t, lightAt(t, s, 0, 0.7*reach, 0.4), 0.01)
}

// A lens makes the picture larger with the beam, by the ratio of the tangents, and each
// angle that looks set has a picture of its own.
func TestGoboGoesWithTheSpread(t *testing.T) {
	s := projected(t, "", ", set: {spread: 50 deg}")
	require.Equal(t, []int{0, 1}, s.Lamps[0].Sources, "30 degrees and 50")
	half := 5 * math.Tan(10*math.Pi/180) * math.Tan(25*math.Pi/180) / math.Tan(15*math.Pi/180)
	require.InDelta(t, 1, lightAt(t, s, 1, -0.97*half, 0.97*half), 1e-6)
	require.Zero(t, lightAt(t, s, 1, -1.03*half, 0.97*half))
	a, b, share := s.Blend(0, 50)
	require.Equal(t, []int{0, 1}, []int{a, b})
	require.Equal(t, 1.0, share)
}

// The scene tells what of the lamp's light a camera gets to see.
func TestSceneTellsGobos(t *testing.T) {
	scene, err := projected(t, "", "").Scene()
	require.NoError(t, err)
	require.Equal(t, []float64{1, 0}, scene.Lamps[0].Pass)
}

// However soft and narrow, light can be computed for it.
func TestSoftestGoboCanBeComputed(t *testing.T) {
	s := projected(t, ", soft: 60 deg", "")
	_, err := transport.Task{Place: &s.Place}.AppendBinary(nil)
	require.NoError(t, err)
}
