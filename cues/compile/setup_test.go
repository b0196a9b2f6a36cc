package compile_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
)

// shotBy gives what the groups of a look give at the mark, by the bytes, in the light of
// even as set-up u shoots it.
func shotBy(t *testing.T, r *rig, k *cues.Look, u *cues.Setup) (lux map[string]float64, report compile.Report, problems cues.Problems) {
	p := r.place().WithLight(even).WithSetup(u)
	still, report, problems := p.Still(k)
	require.NotNil(t, still, "%v", problems)
	light := make([]colour.XYZ, len(p.Cells))
	p.Light(p.Frame(still, true), light)
	lux = map[string]float64{}
	for _, g := range r.loc.Groups {
		for _, i := range p.Members(g.Name) {
			lux[g.Name] += light[i].Y * even[i]
		}
	}
	return lux, report, problems
}

func swapOf(a, b string) []cues.Swap { return []cues.Swap{{{Group: a}, {Group: b}}} }

// A stop is twice the light (ISO 2720): 1.6 stops down is a factor of 2^-1.6. What is
// measured under the key stays where it was solved.
func TestTrimsComeOnTopOfWhatIsSolved(t *testing.T) {
	r := levelRig(t, "16-bit")
	k := r.look("k", paintAt("key", luxLevel(40)), paintAt("edge", underLevel(-1.5, "key")), paintAt("back", share(0.2)))
	plain, _, problems := shotBy(t, r, k, nil)
	require.Empty(t, problems)
	lux, report, problems := shotBy(t, r, k, &cues.Setup{Name: "reverse", Trims: []cues.Trim{
		{Group: "key", Stops: -1.6}, {Group: "back", Stops: 1}, {Group: "edge", Stops: 0.5}, {Group: "near", Stops: -1.5},
	}})
	require.Empty(t, problems)
	require.InEpsilon(t, 40*math.Exp2(-1.6), lux["key"], 0.002)
	require.InEpsilon(t, 2*plain["back"], lux["back"], 0.002)
	each := 40 * math.Exp2(-1.5) / 2 // of the two lamps of the edge
	require.InEpsilon(t, each*math.Exp2(-1), lux["near"], 0.002, "its two trims add up")
	require.InEpsilon(t, each*(math.Exp2(-1)+math.Exp2(0.5)), lux["edge"], 0.002)
	require.Len(t, report.Levels, 2)
	for _, l := range report.Levels {
		require.InDelta(t, 0, l.Off(), 0.01, "levels are told as they are before the trim")
	}
}

// A trim past full light gives full light, and says by how much it falls short.
func TestTrimsPastFullAreTold(t *testing.T) {
	r := levelRig(t, "16-bit")
	k := r.look("k", paintAt("key", share(0.8)), paintAt("edge", share(0.25)))
	at := cues.Pos{File: "locations/deep-end.yaml", Line: 7, Column: 3}
	u := &cues.Setup{Name: "tele", Trims: []cues.Trim{{Group: "key", Stops: 1, At: at}, {Group: "edge", Stops: 2}}}
	lux, _, problems := shotBy(t, r, k, u)
	require.InEpsilon(t, lumensOf(r)*0.05, lux["key"], 0.002)
	require.InEpsilon(t, 2*lumensOf(r)*0.05, lux["edge"], 0.002, "0.25 and two stops are full, and no more")
	require.Len(t, problems, 1)
	require.Equal(t, cues.CodeTrimOver, problems[0].Code)
	require.Equal(t, cues.Warning, problems[0].Severity)
	require.Equal(t, at, problems[0].Pos)
	require.Contains(t, problems[0].What, `set-up "tele" trims "key" 0.68 stops past full`) // log2 of 1.6
}

// Groups that are swapped do each other's job, also that of being measured under; trims
// are of the lamps themselves.
func TestSwapsExchangeJobs(t *testing.T) {
	r := levelRig(t, "16-bit")
	k := r.look("k", paintAt("key", share(0.5)), paintAt("edge", luxLevel(20)), paintAt("back", underLevel(-1, "edge")))
	lux, report, problems := shotBy(t, r, k, &cues.Setup{Name: "reverse", Swaps: swapOf("edge", "back"), Trims: []cues.Trim{{Group: "back", Stops: -1}}})
	require.Empty(t, problems)
	require.InEpsilon(t, 20*0.5, lux["back"], 0.005)
	require.InEpsilon(t, 10, lux["edge"], 0.005)
	require.Equal(t, "back", report.Levels[0].Group.Name, "whose lamps they are")
}

// Mirrored, cell k of n is what cell n+1-k was, for patterns and for spreads; other
// groups stay.
func TestMirrorsTurnOrderRound(t *testing.T) {
	r := newRig(t)
	for range 3 {
		r.lamp("tube-rgbww-4ft", "8-cell-16-bit", "lanes")
	}
	r.lamp("tube-rgbww-4ft", "8-cell-16-bit", "edge")
	red, blue := colour.HueSat{Hue: 0, Sat: 0.9}, colour.HueSat{Hue: 240, Sat: 0.9}
	paint := func(on string) cues.Paint {
		return cues.Paint{On: on, Pattern: cues.Gradient, Colours: []cues.Colour{{Form: red}, {Form: blue}}, Level: share(0.5)}
	}
	k := r.look("k", paint("lanes"), paint("edge"))
	p := r.place()
	u := &cues.Setup{Name: "reverse", Mirrors: []cues.Named{{Group: "lanes"}}}
	plain, turned := wire(p, r.still(p, k)), wire(p, r.still(p.WithSetup(u), k))
	lanes := p.Group("lanes")
	for n, i := range lanes {
		require.Equal(t, plain[lanes[len(lanes)-1-n]], turned[i])
	}
	require.NotEqual(t, plain[lanes[0]], turned[lanes[0]])
	for _, i := range p.Group("edge") {
		require.Equal(t, plain[i], turned[i])
	}
	all := wire(p, r.still(p.WithSetup(&cues.Setup{MirrorAll: true}), k))
	edge := p.Group("edge")
	require.Equal(t, plain[edge[0]], all[edge[len(edge)-1]])

	timing := compile.Timing{Fade: time.Second, Spread: time.Second, Along: "lanes", Path: cues.PathLight}
	starts := func(p *compile.Place) []float32 {
		f, err := p.Fade(p.Dark(), r.still(p, k), timing)
		require.NoError(t, err)
		var out []float32
		for _, m := range f.Moves[:len(lanes)] {
			out = append(out, m.Start)
		}
		return out
	}
	there, back := starts(p), starts(p.WithSetup(u))
	slices.Reverse(back)
	require.Equal(t, there, back)
}

// 4 s on screen, shot at 60 frames for an edit at 24, are 1.6 s on set: it plays at 40 %
// (common practice, no source).
func TestTimesAreThoseOfTheSetUpsCamera(t *testing.T) {
	r := newRig(t)
	r.lamp("panel-rgbww", "16-bit", "key")
	c := &cues.Cue{Fade: cues.Duration{Amount: 4, Unit: cues.Seconds, OnScreen: true}}
	slow := r.place().WithSetup(&cues.Setup{Name: "slow", Own: cues.Camera{FPS: 60}})
	timing, err := slow.Timing(c)
	require.NoError(t, err)
	require.Equal(t, 1600*time.Millisecond, timing.Fade)
	timing, err = slow.WithSetup(nil).Timing(c)
	require.NoError(t, err)
	require.Equal(t, 2*time.Second, timing.Fade, "the show's 48 frames")
}

// A dark cue runs without floor light, so its levels are met by the lamps alone; else
// floor light by itself is more than what is asked here.
func TestLevelsOfDarkCuesLeaveFloorLightOut(t *testing.T) {
	r := levelRig(t, "16-bit")
	r.show.Safety.Floor = cues.FloorLight{On: "edge", Level: 0.05, Colour: cues.Colour{Form: white}}
	k := r.look("k", paintAt("edge", luxLevel(6)))
	p := r.place().WithLight(even)
	still, _, problems := p.StillOf(k, true)
	require.Empty(t, problems)
	light := make([]colour.XYZ, len(p.Cells))
	p.Light(p.Frame(still, false), light)
	sum := 0.0
	for _, i := range p.Members("edge") {
		sum += light[i].Y * even[i]
	}
	require.InEpsilon(t, 6, sum, 0.005)
	_, _, problems = p.Still(k)
	require.Len(t, problems, 1, "floor light alone is brighter")
	require.Equal(t, cues.CodeLevelOff, problems[0].Code)
}
