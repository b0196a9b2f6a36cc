package meter_test

import (
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/flicker"
	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// pulsing meters lamps of one emitter that dim by pulses, all at one level.
func pulsing(t *testing.T, pwm, camera, level string) []meter.Pulse {
	show, problems := showfile.LoadFS(fstest.MapFS{
		"show.yaml": {Data: []byte("title: T\ncamera: {" + camera + "}\nsafety: {floor-light: {on: all, level: 0%, colour: 4300 K}}\n")},
		"kit.yaml":  {Data: []byte("A1: {type: dims}\nA2: {type: steady}\n")},
		"lamps/dims.yaml": {Data: []byte("class: puck\nemitters: {white: {lumens: 1000 lm, spectrum: {peak: 560 nm, width: 200 nm}}}\n" +
			"photometry: {beam: 90 deg, field: 143 deg, length: 0.1 m, width: 0.1 m}\npwm: " + pwm + "\nmodes: {plain: {bits: 16, channels: [white]}}\n")},
		"lamps/steady.yaml": {Data: []byte("class: puck\nemitters: {white: {lumens: 1000 lm, spectrum: {peak: 560 nm, width: 200 nm}}}\n" +
			"photometry: {beam: 90 deg, field: 143 deg, length: 0.1 m, width: 0.1 m}\nmodes: {plain: {bits: 16, channels: [white]}}\n")},
		"locations/place.yaml": {Data: []byte("rig:\n  dims: {lamp: A1, at: [0, 0, 1], aim: [0, 5, 1], address: 0:0:1.001}\n  steady: {lamp: A2, at: [1, 0, 1], aim: [0, 5, 1], address: 0:0:1.011}\n" +
			"groups: {all: [dims, steady]}\nlooks: {on: {paint: [{on: all, colour: 5600 K, level: " + level + "}]}}\n" +
			"setups: {front: {camera: [0, 5, 1], look-at: [0, 0, 1]}}\n")},
	}, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	place, problems := compile.Location(show, show.Locations[0])
	require.NotNil(t, place, "%v", problems)
	set, problems := stage.Build(place)
	require.NotNil(t, set, "%v", problems)
	light, err := transport.Compute(t.Context(), &set.Place, transport.Options{})
	require.NoError(t, err)
	m, err := meter.New(set, transport.NewLit(&set.Place, light), place.Location.Setups[0])
	require.NoError(t, err)
	still, _, problems := place.Still(show.Look(place.Location, "on"))
	require.False(t, problems.HasErrors(), "%v", problems)
	m.Set(place.Frame(still, false))
	return m.Pulses()
}

// The swings of the handbook cases (trade.md section 4, after integrating pulses over an
// exposure): 1 kHz, 1/240 s, at 10 %: 0.32 stop; 1 kHz, 1/48: 0.07; 4 kHz, 1/240, at 5 %:
// 0.09; 25 kHz, 1/240, at 1 %: 0.014. Here the frequency may be 1 % off, which makes some
// worse but never more than one pulse in those that there are.
func TestPulsesFollowTheHandbook(t *testing.T) {
	for _, c := range []struct {
		hz, fps, seconds float64
		level            string
		least            float64
	}{
		{1000, 120, 1.0 / 240, "10%", 0.315}, {1000, 24, 1.0 / 48, "10%", 0.065}, {4000, 120, 1.0 / 240, "5%", 0.085}, {25000, 120, 1.0 / 240, "1%", 0.0135},
	} {
		all := pulsing(t, fmt.Sprintf("%g Hz", c.hz), fmt.Sprintf("fps: %g, shutter: 180 deg", c.fps), c.level)
		require.Len(t, all, 1, "the other tells nothing of its pulses")
		p := all[0]
		require.Equal(t, "dims", p.ID)
		require.GreaterOrEqual(t, p.Swing, c.least)
		n := float64(int(c.hz * c.seconds * 0.99))
		require.LessOrEqual(t, p.Swing, flicker.PWM{Hz: n + 0.5, Duty: 1e-6}.SwingStops(1)+1e-3, "(n+1)/n")
		require.InDelta(t, c.hz*0.021, p.Bars, 1e-9, "f times the readout")
	}
}

// At an angle that holds whole pulses little is left, but for what the frequency may be off;
// what is undimmed or dark does not pulse, and light between the pulses makes less of them.
func TestPulsesThatDoNotShow(t *testing.T) {
	const camera = "fps: 24, shutter: 180 deg"
	require.Empty(t, pulsing(t, "1000 Hz", camera, "100%"))
	require.Empty(t, pulsing(t, "1000 Hz", camera, "0%"))
	require.False(t, pulsing(t, "25000 Hz", camera, "10%")[0].Shows)
	p := pulsing(t, "1000 Hz", camera, "50%")[0]
	require.True(t, p.Shows)
	require.True(t, p.HasNearest)
	require.InDelta(t, 21/1000.0*24*360, float64(p.Nearest), 1e-9, "21 pulses: 181.4 degrees")
	require.Less(t, pulsing(t, "{rate: 1000 Hz, between: 30%}", camera, "50%")[0].Swing, p.Swing)
	require.False(t, pulsing(t, "50 Hz", "fps: 120, shutter: 180 deg", "50%")[0].HasNearest, "a frame is shorter than a pulse")
}
