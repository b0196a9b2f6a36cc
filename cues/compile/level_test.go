package compile_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
)

// lumenTable is light that a test makes up: lux for a lumen of each cell, at every mark.
type lumenTable []float64

func (l lumenTable) PerLumen(_ *cues.Mark, cells []int, _, _, dst []float64) {
	for k, i := range cells {
		dst[k] = l[i]
	}
}

func underLevel(stops float64, group string) cues.Level {
	return cues.Level{Kind: cues.StopsUnder, Value: stops, Group: group, Mark: "a"}
}

func luxLevel(lux float64) cues.Level { return cues.Level{Kind: cues.Lux, Value: lux, Mark: "a"} }

func paintAt(on string, l cues.Level) cues.Paint {
	return cues.Paint{On: on, Pattern: cues.Solid, Colours: forms(white), Level: l}
}

// levelRig has a key, an edge of two and a back of two lamps, all alike, and mark a;
// near is the first of the edge.
func levelRig(t *testing.T, mode string) *rig {
	r := newRig(t)
	r.loc.Marks = []cues.Mark{{Name: "a", Points: []cues.Point{{1, 1, 0}}}}
	r.lamp("panel-rgbww", mode, "key")
	r.lamp("panel-rgbww", mode, "edge", "near")
	r.lamp("panel-rgbww", mode, "edge")
	r.lamp("panel-rgbww", mode, "back")
	r.lamp("panel-rgbww", mode, "back")
	return r
}

// lit compiles a look in the light of a table and gives what each group gives at the
// mark by its bytes.
func lit(t *testing.T, r *rig, k *cues.Look, table lumenTable) (lux map[string]float64, report compile.Report, problems cues.Problems) {
	p := r.place().WithLight(table)
	still, report, problems := p.Still(k)
	require.NotNil(t, still, "%v", problems)
	light := make([]colour.XYZ, len(p.Cells))
	p.Light(p.Frame(still, true), light)
	lux = map[string]float64{}
	for _, g := range r.loc.Groups {
		for _, i := range p.Members(g.Name) {
			lux[g.Name] += light[i].Y * table[i]
		}
	}
	return lux, report, problems
}

var even = lumenTable{0.05, 0.05, 0.05, 0.05, 0.05}

// A level in lux is that many lux, and each stop under is half (ISO 2720, exposure values).
func TestLevelsInAChain(t *testing.T) {
	r := levelRig(t, "16-bit")
	k := r.look("k", paintAt("back", underLevel(-1, "edge")), paintAt("edge", underLevel(-1.5, "key")), paintAt("key", luxLevel(40)))
	lux, report, problems := lit(t, r, k, even)
	require.Empty(t, problems)
	require.InEpsilon(t, 40, lux["key"], 0.005)
	require.InEpsilon(t, 40*math.Exp2(-1.5), lux["edge"], 0.005)
	require.InEpsilon(t, 40*math.Exp2(-2.5), lux["back"], 0.005)
	require.Len(t, report.Levels, 3)
	require.Equal(t, "back", report.Levels[0].Group.Name)
	require.InEpsilon(t, 40*math.Exp2(-2.5), report.Levels[0].Target, 0.005)
	require.InDelta(t, 0, report.Levels[0].Off(), 0.01)
}

// What later paint has covered counts with the level that it has then, and a group whose
// paint is all covered asks for nothing.
func TestLevelsUnderLaterPaint(t *testing.T) {
	r := levelRig(t, "16-bit")
	full := lumensOf(r) * 0.05
	k := r.look("k", paintAt("key", share(0.5)), paintAt("edge", luxLevel(0.8*full)), paintAt("near", share(0.5)))
	lux, _, problems := lit(t, r, k, even)
	require.Empty(t, problems)
	require.InEpsilon(t, 0.5*full, lux["near"], 0.005)
	require.InEpsilon(t, 0.8*full, lux["edge"], 0.005, "the other lamp makes up for the rest")

	covered := r.look("covered", paintAt("edge", luxLevel(3)), paintAt("edge", share(0.5)))
	_, report, problems := lit(t, r, covered, even)
	require.Empty(t, problems)
	require.Empty(t, report.Levels)
}

// A group may be part of what it is measured under: n = (n + r)/4 is r/3.
func TestLevelFeedsOnItself(t *testing.T) {
	r := levelRig(t, "16-bit")
	k := r.look("k", paintAt("edge", share(0.6)), paintAt("near", underLevel(-2, "edge")))
	lux, _, problems := lit(t, r, k, even)
	require.Empty(t, problems)
	require.InEpsilon(t, 0.6*lumensOf(r)*0.05/3, lux["near"], 0.005)
	require.InEpsilon(t, lux["edge"]/4, lux["near"], 0.005)

	// And both may be asked for: 60 lx in all of which near is half.
	both := r.look("both", paintAt("edge", luxLevel(60)), paintAt("near", underLevel(-1, "edge")))
	lux, _, problems = lit(t, r, both, even)
	require.Empty(t, problems)
	require.InEpsilon(t, 60, lux["edge"], 0.005)
	require.InEpsilon(t, 30, lux["near"], 0.005)
}

// lumensOf is what one lamp of the rig gives of white at full.
func lumensOf(r *rig) float64 {
	p := r.place()
	k := &cues.Look{Name: "full", Paint: []cues.Paint{paintAt("key", share(1))}}
	return wire(p, r.still(p, k))[0].Y
}

// Twice the light that there is is one stop short: the lamps are at full, and what is
// measured under them follows what they give.
func TestLevelOutOfReach(t *testing.T) {
	r := levelRig(t, "16-bit")
	full := lumensOf(r) * 0.05
	k := r.look("k", paintAt("key", luxLevel(2*full)), paintAt("edge", underLevel(-1, "key")))
	lux, report, problems := lit(t, r, k, even)
	require.InEpsilon(t, full, lux["key"], 0.005)
	require.InEpsilon(t, full/2, lux["edge"], 0.005)
	require.Len(t, problems, 1)
	require.Equal(t, cues.CodeLevelOff, problems[0].Code)
	require.Equal(t, cues.Warning, problems[0].Severity)
	require.Contains(t, problems[0].What, "1.0 stops short")
	require.EqualValues(t, 1, report.Levels[0].Share)
	require.InDelta(t, -1, report.Levels[0].Off(), 0.01)
}

func TestLevelBrighterByItself(t *testing.T) {
	r := levelRig(t, "16-bit")
	full := lumensOf(r) * 0.05
	k := r.look("k", paintAt("edge", luxLevel(full/4)), paintAt("near", share(0.5)))
	lux, report, problems := lit(t, r, k, even)
	require.InEpsilon(t, full/2, lux["edge"], 0.005)
	require.EqualValues(t, 0, report.Levels[0].Share)
	require.Len(t, problems, 1)
	require.Contains(t, problems[0].What, "brighter than")
}

// Floor light counts, as it is on while people move: a level under it cannot be, and one
// over it is what it says.
func TestLevelsOverFloorLight(t *testing.T) {
	r := levelRig(t, "16-bit")
	r.show.Safety.Floor = cues.FloorLight{On: "back", Level: 0.1, Colour: forms(white)[0]}
	full := lumensOf(r) * 0.05
	lux, _, problems := lit(t, r, r.look("over", paintAt("back", luxLevel(full))), even)
	require.Empty(t, problems)
	require.InEpsilon(t, full, lux["back"], 0.005)
	lux, report, problems := lit(t, r, r.look("under", paintAt("back", luxLevel(full/10))), even)
	require.InEpsilon(t, full/5, lux["back"], 0.01)
	require.EqualValues(t, 0, report.Levels[0].Share)
	require.Len(t, problems, 1)
	require.Contains(t, problems[0].Why, "floor light")
}

// Another level is used, and told, where there is nothing to measure.
func TestLevelStandsIn(t *testing.T) {
	for name, c := range map[string]struct {
		paint []cues.Paint
		table lumenTable
		code  string
		text  string
	}{
		"behind a wall": {[]cues.Paint{paintAt("key", share(0.5)), paintAt("back", underLevel(-1, "key"))}, lumenTable{0.05, 0.05, 0.05, 0, 0}, cues.CodeLevelNoLight, `no light of "back"`},
		"under a dark":  {[]cues.Paint{paintAt("back", underLevel(-1, "key"))}, even, cues.CodeLevelNoLight, `"key" is dark`},
		"no light yet":  {[]cues.Paint{paintAt("key", share(0.5)), paintAt("back", underLevel(-1, "key"))}, nil, cues.CodeNeedsPhotometry, "waits"},
		"no such mark":  {[]cues.Paint{paintAt("back", cues.Level{Kind: cues.Lux, Value: 10, Mark: "b"})}, even, cues.CodeUnknownMark, `no mark "b"`},
		"no such group": {[]cues.Paint{paintAt("back", underLevel(-1, "moon"))}, even, cues.CodeGroupNotHere, `no group "moon"`},
	} {
		t.Run(name, func(t *testing.T) {
			r := levelRig(t, "16-bit")
			p := r.place()
			require.False(t, p.NeedsLight())
			k := r.look("k", c.paint...)
			require.True(t, p.NeedsLight())
			if c.table != nil {
				p = p.WithLight(c.table)
			}
			still, report, problems := p.Still(k)
			require.NotNil(t, still)
			require.Len(t, problems, 1)
			require.Equal(t, c.code, problems[0].Code)
			require.Equal(t, cues.Warning, problems[0].Severity)
			require.Contains(t, problems[0].What, c.text)
			require.Contains(t, problems[0].Why, "20 %")
			require.NotEmpty(t, problems[0].Mend)
			require.Len(t, report.Levels, 1)
			require.False(t, report.Levels[0].Solved)
			require.Equal(t, compile.Unmeasured, report.Levels[0].Share)
			require.InEpsilon(t, 0.2*lumensOf(r), wire(p, still)[3].Y, 0.005)
		})
	}
}

func TestLevelsInARing(t *testing.T) {
	for name, paint := range map[string][]cues.Paint{
		"of two":    {paintAt("edge", underLevel(-1, "back")), paintAt("back", underLevel(-1, "edge"))},
		"of itself": {paintAt("edge", underLevel(-1, "edge"))},
		"of three":  {paintAt("key", underLevel(1, "back")), paintAt("edge", underLevel(-1, "key")), paintAt("back", underLevel(-1, "edge"))},
	} {
		t.Run(name, func(t *testing.T) {
			r := levelRig(t, "16-bit")
			at := cues.Pos{File: "locations/deep-end.yaml", Line: 7, Column: 9}
			paint[0].Level.At = at
			k := r.look("k", paint...)
			for _, p := range []*compile.Place{r.place(), r.place().WithLight(even)} {
				still, _, problems := p.Still(k)
				require.Nil(t, still)
				require.Len(t, problems, 1)
				require.Equal(t, cues.CodeLevelRing, problems[0].Code)
				require.Equal(t, cues.Error, problems[0].Severity)
				require.Equal(t, at, problems[0].Pos)
			}
		})
	}
}

// Eight bits on a straight curve step by more than a stop at the bottom, which is told.
func TestLevelTooFineForItsLamps(t *testing.T) {
	r := levelRig(t, "8-bit")
	full := lumensOf(r) * 0.05
	told := 0
	for _, level := range []float64{1.0 / 300, 1.0 / 500, 1.0 / 700, 1.0 / 900} {
		lux, _, problems := lit(t, r, &cues.Look{Name: "k", Paint: []cues.Paint{paintAt("key", luxLevel(level*full))}}, even)
		if off := math.Abs(math.Log2(lux["key"] / (level * full))); off > 0.05 {
			told++
			require.Len(t, problems, 1)
			require.Contains(t, problems[0].Why, "coarse")
		} else {
			require.Empty(t, problems)
		}
	}
	require.NotZero(t, told, "some level must miss, or this test tells nothing")
}
