package compile_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/colour/recipe"
	"linkboy/cues"
	"linkboy/cues/compile"
)

// inBoth draws a chromaticity that the first cells of the first two lamps can show.
func inBoth(r *rand.Rand, p *compile.Place) colour.XY {
	one, two := p.Cells[0].Mix(), p.Cells[len(p.Cells)-1].Mix()
	for {
		asked := colour.XY{X: 0.75 * r.Float64(), Y: 0.85 * r.Float64()}
		if one.Reach().Contains(asked) && two.Reach().Contains(asked) {
			return asked
		}
	}
}

// decoded reads the drives of a lamp from its bytes.
func decoded(l *cues.RigLamp, bytes []byte) []emitters.Drives {
	drives := make([]emitters.Drives, l.Lamp.Mode.Cells)
	l.Lamp.Mode.Decode(l.Lamp.Type, bytes, drives)
	return drives
}

// Two unlike lamps that match agree within 0.001 in u'v' in their 16-bit bytes for 1000
// colours that both reach, and give the same lumens, by every policy that keeps the eye's
// colour.
func TestMatchedLampsAgree(t *testing.T) {
	for _, policy := range []recipe.Policy{recipe.Brightest, recipe.Truest} {
		r := newRig(t)
		r.lamp("tube-rgb-2ft", "8-cell-16-bit", "edge")
		r.lamp("panel-rgbacl", "16-bit", "edge")
		r.loc.Group("edge").Match = cues.MatchGroup
		r.loc.Group("edge").Policy = policy
		p := r.place()
		random := rand.New(rand.NewPCG(3, 4))
		apart, off := 0.0, 0.0
		for range 1000 {
			asked := inBoth(random, p)
			s, report, problems := p.Still(&cues.Look{Paint: []cues.Paint{solid("edge", colour.Chroma{XY: asked}, 0.7)}})
			for _, problem := range problems {
				require.Equal(t, cues.CodeMatchDims, problem.Code, "the panel is the stronger by far")
			}
			require.Empty(t, report.Misses)
			require.Len(t, report.Matches, 1)
			require.Zero(t, report.Matches[0].DeltaUV)
			light := wire(p, s)
			tube, panel := light[0], light[len(light)-1]
			apart = max(apart, tube.XY().UV().Distance(panel.XY().UV()))
			off = max(off, tube.XY().UV().Distance(asked.UV()), panel.XY().UV().Distance(asked.UV()))
			require.InEpsilon(t, panel.Y, 8*tube.Y, 0.01, "the panel gives what all cells of the tube give")
			require.InEpsilon(t, 0.7*report.Matches[0].Lumens, panel.Y, 0.01)
		}
		t.Logf("%s: at most %.5f in u'v' apart, %.5f from what was asked", policy, apart, off)
		require.Less(t, apart, 0.001)
		require.Less(t, off, 0.001)
	}
}

// A colour that one lamp cannot show is shown by none: all go to the nearest on the way to
// white that all have, and what that costs is told lamp by lamp, as no miss of theirs.
func TestMatchTellsWhatItCosts(t *testing.T) {
	r := newRig(t)
	key := r.lamp("key-bicolour", "16-bit", "edge")
	tube := r.lamp("tube-rgb-2ft", "8-cell-16-bit", "edge")
	look := r.look("k", solid("edge", colour.HueSat{Hue: 186, Sat: 1}, 1))
	look.Paint[0].At = cues.Pos{File: "locations/deep-end.yaml", Line: 9, Column: 3}
	p := r.place()
	alone := r.still(p, look)

	r.loc.Group("edge").Match = cues.MatchGroup
	s, report, problems := p.Still(look)
	require.Empty(t, report.Misses)
	require.Len(t, report.Matches, 1)
	m := report.Matches[0]
	require.Same(t, r.loc.Group("edge"), m.Group)
	require.Greater(t, m.DeltaUV, 0.05)
	require.Same(t, tube, m.Weakest)
	require.Len(t, m.Parts, 2)
	require.Same(t, key, m.Parts[0].Lamp)
	require.Greater(t, m.Parts[0].Stops, 2.0, "the key gives no more than the tube")
	require.Greater(t, m.Parts[1].DeltaUV, 0.05, "the tube gives up its colour")
	require.Len(t, problems, 2)
	require.Equal(t, cues.CodeColourOutOfReach, problems[0].Code)
	require.Contains(t, problems[0].What, `group "edge"`)
	require.Equal(t, look.Paint[0].At, problems[0].Pos)
	require.Equal(t, cues.CodeMatchDims, problems[1].Code)
	require.Contains(t, problems[1].What, key.ID)
	require.Contains(t, problems[1].Why, tube.ID)
	require.Equal(t, cues.Warning, problems[1].Severity)

	light, own := wire(p, s), wire(p, alone)
	require.Less(t, light[0].XY().UV().Distance(m.Aim.UV()), 0.001)
	require.Less(t, light[1].XY().UV().Distance(m.Aim.UV()), 0.001)
	require.InDelta(t, m.Parts[1].DeltaUV, own[1].XY().UV().Distance(light[1].XY().UV()), 0.001)
	require.InDelta(t, m.Parts[0].Stops, stops(own[0].Y, light[0].Y), 0.02)
}

// Colours of a pattern are matched each by itself, and cells of a lamp that are not in the
// group do not count.
func TestMatchOfPatternsAndParts(t *testing.T) {
	r := newRig(t)
	tube := r.lamp("tube-rgb-2ft", "8-cell-16-bit")
	r.member("edge", tube, 0, 3)
	panel := r.lamp("panel-rgbacl", "16-bit")
	r.member("edge", panel, 0, 0)
	r.lamp("fog", "", "edge")
	r.loc.Group("edge").Match = cues.MatchGroup
	look := r.look("k", cues.Paint{On: "edge", Pattern: cues.Halves, Level: share(1),
		Colours: []cues.Colour{{Form: colour.White{CCT: colour.CCT{T: 3200}}}, {Form: colour.White{CCT: colour.CCT{T: 5600}}}}})
	p := r.place()
	s, report, problems := p.Still(look)
	require.Len(t, problems, 1, "of both colours the worse")
	require.Equal(t, cues.CodeMatchDims, problems[0].Code)
	require.Len(t, report.Matches, 2)
	light := wire(p, s)
	require.InEpsilon(t, report.Matches[0].Lumens, 4*light[0].Y, 0.01, "four cells of the tube")
	require.InEpsilon(t, report.Matches[1].Lumens, light[8].Y, 0.01)
	require.Zero(t, light[4].Y, "the other cells are dark")
	require.Len(t, report.Matches[0].Parts, 2, "a fog machine has no part in it")
}

// Lamps with nothing in common do what each can, with one warning.
func TestMatchWithNothingInCommon(t *testing.T) {
	r := newRig(t)
	// one emitter of the panel alone, in a mode of its one channel
	narrow := func(name string, emitter int) {
		kind := *r.types["panel-rgbacl"]
		mode := *kind.Modes[0]
		channel := mode.Channels[1+emitter]
		channel.Offset, channel.Emitter = 0, 0
		mode.Channels, mode.Footprint = []lamp.Channel{channel}, 1
		kind.Name, kind.Emitters, kind.Modes = name, kind.Emitters[emitter:emitter+1], []*lamp.Mode{&mode}
		r.types[name] = &kind
	}
	narrow("red", 0)
	narrow("green", 1)
	r.lamp("red", "", "edge")
	r.lamp("green", "", "edge")
	r.loc.Group("edge").Match = cues.MatchGroup
	look := r.look("k", cues.Paint{On: "edge", Pattern: cues.Alternate, Level: share(0.5), Colours: []cues.Colour{
		{Form: colour.White{CCT: colour.CCT{T: 3200}}}, {Form: colour.White{CCT: colour.CCT{T: 5600}}}}})
	p := r.place()
	s, report, problems := p.Still(look)
	require.Len(t, report.Misses, 2)
	require.Empty(t, report.Matches)
	codes := map[string]int{}
	for _, problem := range problems {
		codes[problem.Code]++
	}
	require.Equal(t, 1, codes[cues.CodeNothingInCommon])
	require.InDelta(t, 0.5, s[0], 1e-6)
}

func stops(a, b float64) float64 { return math.Log2(a / b) }
