package showfile_test

import (
	"bytes"
	"image"
	"image/png"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/showfile"
)

// window is a picture of 4 by 2 points, white on the left.
func window(t *testing.T) []byte {
	img := image.NewGray(image.Rect(0, 0, 4, 2))
	for i := range img.Pix {
		if i%4 < 2 {
			img.Pix[i] = 255
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, img))
	return b.Bytes()
}

func withGobo(t *testing.T, lamp, keys string) (*cues.Show, cues.Problems) {
	return showfile.LoadFS(fstest.MapFS{
		"show.yaml":         {Data: []byte("title: T\ncamera: {fps: 24}\n")},
		"kit.yaml":          {Data: []byte("L1: {type: " + lamp + "}\n")},
		"things/window.png": {Data: window(t)},
		"locations/place.yaml": {Data: []byte("marks: {a: [0, 0, 0]}\nrig: {L1: {at: [0, 0, 3], aim: a, address: 0:0:1.001, " + keys + "}}\n" +
			"groups: {all: [L1]}\nlooks: {on: {paint: [{on: all, colour: 5600 K, level: 100%}]}}\n")},
	}, "test")
}

func TestGobo(t *testing.T) {
	show, problems := withGobo(t, "spot-daylight", "gobo: {picture: things/window.png, angle: 40 deg, turn: -20 deg, soft: 2}")
	require.False(t, problems.HasErrors(), "%v", problems)
	g := show.Locations[0].Rig[0].Gobo
	require.Equal(t, "things/window.png", g.File)
	require.Equal(t, []byte{255, 255, 0, 0, 255, 255, 0, 0}, g.Picture.Pass)
	require.Equal(t, [3]float64{40, -20, 2}, [3]float64{g.AngleDeg, g.TurnDeg, g.SoftDeg})
}

// A lamp without a lens projects nothing, and what is spread shows no picture.
func TestGoboNeedsALens(t *testing.T) {
	for lamp, keys := range map[string]string{
		"tube-rgbww-4ft": "gobo: {picture: things/window.png}",
		"panel-rgbww":    "gobo: {picture: things/window.png}",
		"spot-daylight":  "gobo: {picture: things/window.png}, diffusion: {factor: 50%, widens: 10 deg}",
	} {
		_, problems := withGobo(t, lamp, keys)
		require.Len(t, problems.Errors(), 1, lamp)
		p := problems.Errors()[0]
		require.Equal(t, cues.CodeBadGobo, p.Code)
		require.Equal(t, 2, p.Pos.Line)
		require.False(t, strings.Contains(p.Error(), "%!"), p.Error())
	}
	_, problems := withGobo(t, "spot-daylight", "gobo: {picture: things/window.png}, diffusion: {factor: 50%}")
	require.False(t, problems.HasErrors(), "a filter that spreads nothing")
}
