package compile_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
)

func seconds(v float64) cues.Duration { return cues.Duration{Amount: v, Unit: cues.Seconds} }

func kelvin(t float64) colour.Form { return colour.White{CCT: colour.CCT{T: colour.Kelvin(t)}} }

// sheet is a rig of four 8-bit pucks and a key lamp with a cue sheet: warm, then
// the cue given.
func sheet(t *testing.T, mode string, c cues.Cue, to ...cues.Paint) cues.Problems {
	r := newRig(t)
	r.show.Camera = cues.Camera{FPS: 24, Balance: 4300, Under: 8}
	for range 4 {
		r.lamp("puck-rgbw", mode, "pucks")
	}
	r.lamp("key-bicolour", "16-bit", "key")
	r.look("warm", solid("pucks", kelvin(3200), 0.02), solid("key", kelvin(3200), 0.3))
	r.look("next", to...)
	c.Number, c.Look, c.Fade.At = 2, "next", cues.Pos{File: "locations/deep-end.yaml", Line: 40, Column: 20}
	r.loc.Cues = []*cues.Cue{{Number: 1, Look: "warm", Fade: seconds(60)}, &c}
	return r.place().CheckCues()
}

func TestSlowFadesInFewBitsAreTold(t *testing.T) {
	up := []cues.Paint{solid("pucks", kelvin(3200), 0.3), solid("key", kelvin(3200), 0.3)}
	ps := sheet(t, "8-bit", cues.Cue{Fade: seconds(8)}, up...)
	require.Len(t, ps, 1)
	require.Equal(t, cues.CodeFadeSteps, ps[0].Code)
	require.Equal(t, cues.Warning, ps[0].Severity)
	require.Equal(t, cues.Pos{File: "locations/deep-end.yaml", Line: 40, Column: 20}, ps[0].Pos)
	require.Contains(t, ps[0].What, "cue 2 at deep-end: 4 lamps of type puck-rgbw fade in 8 bits")
	require.Contains(t, ps[0].Mend, `use the lamps in mode "16-bit", or fade in `)

	require.Empty(t, sheet(t, "16-bit", cues.Cue{Fade: seconds(8)}, up...), "16 bits have no steps to see")
	require.Empty(t, sheet(t, "8-bit", cues.Cue{Fade: seconds(0.5)}, up...), "in half a second no code is held")
	require.Empty(t, sheet(t, "8-bit", cues.Cue{Fade: seconds(8)}, solid("pucks", kelvin(3200), 0.02), up[1]), "what stays is not told")
}

func TestFadesThatJumpAreTold(t *testing.T) {
	away := []cues.Paint{solid("pucks", kelvin(5600), 1), solid("key", kelvin(3200), 0.3)}
	ps := sheet(t, "16-bit", cues.Cue{Fade: seconds(0.21)}, away...)
	require.Len(t, ps, 1)
	require.Equal(t, cues.CodeFadeJumps, ps[0].Code)
	require.Contains(t, ps[0].Why, "0.21 s is 5 frames of the camera")
	for _, fade := range []float64{0, 0.08, 1} {
		require.Empty(t, sheet(t, "16-bit", cues.Cue{Fade: seconds(fade)}, away...), "a flip of two frames is meant, a second is smooth")
	}
}

func TestMiredBetweenColoursIsTold(t *testing.T) {
	white := solid("key", kelvin(5600), 0.3)
	cue := cues.Cue{Fade: seconds(2), Path: cues.PathMired}
	require.Empty(t, sheet(t, "16-bit", cue, solid("pucks", kelvin(5600), 0.3), white))
	require.Empty(t, sheet(t, "16-bit", cue, white), "from white to dark there is only one white")
	ps := sheet(t, "16-bit", cue, solid("pucks", colour.HueSat{Hue: 150, Sat: 1}, 0.3), white)
	require.Len(t, ps, 1)
	require.Equal(t, cues.CodePathNoWhite, ps[0].Code)
	require.Contains(t, ps[0].What, "at-L1 and 3 more show no white and go the short way")
}

// What cannot be is told where it is written, not here.
func TestCuesThatCannotBeAreLeftOut(t *testing.T) {
	r := newRig(t)
	r.lamp("puck-rgbw", "8-bit", "pucks")
	r.look("warm", solid("pucks", kelvin(3200), 0.3))
	r.loc.Cues = []*cues.Cue{
		{Number: 1, Look: "warm", Fade: seconds(30)},
		{Number: 2, Look: "nobody", Fade: seconds(30)},
		{Number: 3, Look: "warm", Fade: seconds(30)},
		{Number: 4, Look: "warm", Fade: cues.Duration{Amount: 2, Unit: cues.Bars}},
		{Number: 5, Look: "warm", Fade: seconds(30), Spread: &cues.Spread{Over: seconds(1), Along: "nothing"}},
	}
	require.Empty(t, r.place().CheckCues())
}
