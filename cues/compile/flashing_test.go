package compile_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
)

// TestFlashLimit: the checks of WCAG 2.2, 2.3.1, as the project's handbook counts
// them: two opposing flips are one flash, so a flip every 0.15 s is 3.33 flashes a
// second and too many, and one every 0.17 s is 2.94 and not.
func TestFlashLimit(t *testing.T) {
	red, white, blue := colour.HueSat{Hue: 0, Sat: 1}, colour.White{CCT: colour.CCT{T: 5600}}, colour.HueSat{Hue: 240, Sat: 1}
	flip := func(every float64) cues.Motion { return cues.Motion{Kind: cues.Pulse, Period: seconds(2 * every)} }
	level := func(m cues.Motion, depth float64) *cues.Motion {
		m.Between, m.Depth = cues.BetweenLevels, colour.Level(depth)
		return &m
	}
	for _, row := range []struct {
		name    string
		paint   cues.Paint
		capture float64 // frames a second, on a timeline of 24
		flashes bool
	}{
		{"red and blue at 3.33 a second", toAndFro("edge", red, blue, 0.4, flip(0.15)), 24, true},
		{"red and blue at 2.94 a second", toAndFro("edge", red, blue, 0.4, flip(0.17)), 24, false},
		{"red and white at 3.33 a second", toAndFro("edge", red, white, 0.4, flip(0.15)), 24, true},
		{"red and white at 2.94 a second", toAndFro("edge", red, white, 0.4, flip(0.17)), 24, false},
		{"red and dark at 3.33 a second", moves(solid("edge", red, 0.4), level(flip(0.15), 1)), 24, true},
		{"red and dark at 2.94 a second", moves(solid("edge", red, 0.4), level(flip(0.17), 1)), 24, false},
		{"white and dark at 3.33 a second", moves(solid("edge", white, 0.4), level(flip(0.15), 1)), 24, true},
		{"white and dark at 2.94 a second", moves(solid("edge", white, 0.4), level(flip(0.17), 1)), 24, false},
		{"a dim lamp flashes too: the camera is exposed for it", moves(solid("edge", white, 0.02), level(flip(0.15), 1)), 24, true},
		{"15 % less is under the rule: the darker is over 0.80", moves(solid("edge", white, 0.4), level(flip(0.15), 0.15)), 24, false},
		{"25 % less is not", moves(solid("edge", white, 0.4), level(flip(0.15), 0.25)), 24, true},
		{"a sine of 4 a second", moves(solid("edge", white, 0.4), level(cues.Motion{Kind: cues.Sine, Period: seconds(0.25)}, 1)), 24, true},
		{"a sine of 2 a second", moves(solid("edge", white, 0.4), level(cues.Motion{Kind: cues.Sine, Period: seconds(0.5)}, 1)), 24, false},
		{"2 a second, captured at 12: 4 on screen", moves(solid("edge", white, 0.4), level(flip(0.25), 1)), 12, true},
		{"2 a second, captured at 60", moves(solid("edge", white, 0.4), level(flip(0.25), 1)), 60, false},
		{"4 a second, captured at 60: 1.6 on screen, but 4 on set", moves(solid("edge", white, 0.4), level(flip(0.125), 1)), 60, true},
		{"lightning", moves(solid("edge", white, 0.4), &cues.Motion{Kind: cues.Lightning, Between: cues.BetweenLevels}), 24, false},
		{"lightning twice a second", moves(solid("edge", white, 0.4), &cues.Motion{Kind: cues.Lightning, Period: seconds(0.5), Between: cues.BetweenLevels}), 24, true},
		{"lights that pass", moves(solid("edge", white, 0.4), &cues.Motion{Kind: cues.Passing, Between: cues.BetweenLevels}), 24, false},
		{"a screen", moves(solid("edge", white, 0.4), &cues.Motion{Kind: cues.Screen, Between: cues.BetweenLevels}), 24, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := newRig(t)
			r.show.Camera.FPS = row.capture
			r.lamp("tube-rgbww-4ft", "1-cell-16-bit", "edge")
			k := r.look("odd", row.paint)
			still, _, problems := r.place().Moving(k)
			if !row.flashes {
				require.Empty(t, problems.Errors())
				require.NotNil(t, still)
				return
			}
			require.Nil(t, still, "it does not run")
			require.Len(t, problems.Errors(), 1)
			require.Equal(t, cues.CodeFlashing, problems.Errors()[0].Code)
			r.show.Safety.FlashingWarned = true
			still, motion, problems := r.place().Moving(k)
			require.NotNil(t, still, "people are warned")
			require.NotNil(t, motion)
			require.Empty(t, problems.Errors())
			told := func(p *cues.Problem) bool { return p.Code == cues.CodeFlashing && p.Severity == cues.Warning }
			require.True(t, slices.ContainsFunc(problems, told), "it is told all the same")
		})
	}
}

// Cells that pulse one after another may each keep to the limit while all of
// them together, on one wall, do not.
func TestFlashLimitOfCellsTogether(t *testing.T) {
	r := newRig(t)
	for range 4 {
		r.lamp("tube-rgbww-4ft", "1-cell-16-bit", "edge")
	}
	m := &cues.Motion{Kind: cues.Pulse, Period: seconds(1), Duty: 0.1, Between: cues.BetweenLevels, Spread: cues.MotionSpread{Cycles: 1, Set: true}}
	k := r.look("chase", moves(solid("edge", colour.White{CCT: colour.CCT{T: 5600}}, 0.4), m))
	_, _, problems := r.place().Moving(k)
	require.Len(t, problems.Errors(), 1)
	require.Contains(t, problems[0].What, "what moves flashes 4.0 times in a second on set")
	m.Period = seconds(1.5)
	_, _, problems = r.place().Moving(k)
	require.Empty(t, problems.Errors())
}

// The fastest of the set-ups counts, by its own frame rate.
func TestFlashLimitOfSetups(t *testing.T) {
	r := newRig(t)
	r.show.Camera.FPS = 24
	r.lamp("tube-rgbww-4ft", "1-cell-16-bit", "edge")
	k := r.look("slow", moves(solid("edge", colour.White{CCT: colour.CCT{T: 5600}}, 0.4), wave(cues.Pulse, 0.5)))
	_, _, problems := r.place().Moving(k)
	require.Empty(t, problems.Errors())
	r.loc.Setups = []*cues.Setup{{Name: "speeded up", Own: cues.Camera{FPS: 8}}}
	_, _, problems = r.place().Moving(k)
	require.Len(t, problems.Errors(), 1)
	require.Contains(t, problems[0].What, "on screen, at 3 of the speed")
}
