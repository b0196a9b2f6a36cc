package camera_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/spectra"
)

// TestLine: the line of a light says what its response says.
func TestLine(t *testing.T) {
	v, err := sensor(t, "bayer-b").BalanceAt(3200)
	require.NoError(t, err)
	r := v.Response(gaussian(465, 23)).To(30)
	line := v.Line(r)
	require.Equal(t, "bayer-b", line.Name)
	require.InDelta(t, r.B/30, line.RGB[2], 1e-12)
	require.InDelta(t, math.Log2(line.RGB[2]), line.ExcessStops, 1e-12)
	require.Nil(t, line.CastStops, "blue is no white")

	text, err := json.Marshal(line)
	require.NoError(t, err)
	var got map[string]any
	require.NoError(t, json.Unmarshal(text, &got))
	require.Equal(t, "blue", got["hottest"])
	require.Contains(t, got, "rgb")
	require.Contains(t, got, "excess_stops")
	require.NotContains(t, got, "cast_stops")
}

// TestLineString is what people read.
func TestLineString(t *testing.T) {
	line := camera.Line{Name: "own", RGB: [3]float64{0.28, 3.734, 29.246}, ExcessStops: 4.87, Hottest: camera.Blue}
	require.Equal(t, "own: R 0.28 G 3.73 B 29.25 of the meter, blue +4.87 stops", line.String())
	cast := -0.125
	line = camera.Line{Name: "own", RGB: [3]float64{1, 0.95, 1.02}, ExcessStops: 0.03, Hottest: camera.Blue, CastStops: &cast}
	require.Equal(t, "own: R 1.00 G 0.95 B 1.02 of the meter, blue +0.03 stops, green -0.12", line.String())
}

// TestLineOfNothing: a light that the camera does not see, and none at all,
// still make a line that JSON can hold.
func TestLineOfNothing(t *testing.T) {
	v, err := sensor(t, "layered-a").BalanceAt(3200)
	require.NoError(t, err)
	for name, light := range map[string]spectra.Spectrum{"darkness": {}, "far red": gaussian(780, 5)} {
		line := v.Line(v.Response(light))
		require.InDeltaSlice(t, []float64{0, 0, 0}, line.RGB[:], 1e-9, name)
		_, err = json.Marshal(line)
		require.NoError(t, err, name)
		require.Nil(t, line.CastStops, name)
	}
	none := v.Response(spectra.Spectrum{790 - spectra.FirstNM: 1})
	stops, _ := none.Excess()
	require.True(t, math.IsInf(stops, -1))
	require.Zero(t, v.Line(none).ExcessStops)
}

// TestCastIsTint: a point above the Planckian locus, towards green, casts
// green, one below magenta, and one on it nothing, at every temperature that a
// set mixes: whites have a cast, colours have none.
func TestCastIsTint(t *testing.T) {
	lights := [3]spectra.Spectrum{gaussian(620, 60), gaussian(540, 60), gaussian(455, 40)}
	v, err := sensor(t, "bayer-a").BalanceAt(5600)
	require.NoError(t, err)
	for _, kelvin := range []colour.Kelvin{2700, 5600, 8000} {
		line := v.Line(v.Response(blackbody(t, kelvin)))
		require.NotNil(t, line.CastStops, "%v K", kelvin)
		require.InDelta(t, 0, *line.CastStops, 0.1, "%v K", kelvin)
	}
	for _, s := range camera.Sensors() {
		for balance, kelvin := range map[colour.Kelvin]colour.Kelvin{5600: 2700, 3200: 10000} {
			far, err := s.BalanceAt(balance)
			require.NoError(t, err)
			require.NotNil(t, far.Line(far.Response(blackbody(t, kelvin))).CastStops, "%s: %v K at %v K", s.Name, kelvin, balance)
		}
	}
	cast := func(mix spectra.Spectrum) float64 { return v.See(mix).Cast() }
	white := mixTo(t, blackbody(t, 5600), lights)
	green := white.Add(lights[1].Scale(0.05))
	magenta := white.Add(lights[0].Add(lights[2]).Scale(0.05))
	require.Greater(t, cast(green), cast(white))
	require.Less(t, cast(magenta), cast(white))
	require.InDelta(t, 0, cast(blackbody(t, 5600)), 1e-9)
}
