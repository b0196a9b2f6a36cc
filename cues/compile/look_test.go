package compile_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
)

var (
	amber = colour.HueSat{Hue: 38, Sat: 0.5}
	aqua  = colour.HueSat{Hue: 186, Sat: 0.3}
	white = colour.White{CCT: colour.CCT{T: 4300}}
)

func forms(f ...colour.Form) []cues.Colour {
	var out []cues.Colour
	for _, form := range f {
		out = append(out, cues.Colour{Form: form})
	}
	return out
}

// What each pattern gives to a row of cells, written as shares of the way in
// CIE 1976 u'v' from the first colour (0) over the middle to the last (1).
func TestPatterns(t *testing.T) {
	for _, c := range []struct {
		pattern cues.Pattern
		colours int
		cells   int
		want    []float64
	}{
		{cues.Solid, 1, 3, []float64{0, 0, 0}},
		{cues.Alternate, 2, 5, []float64{0, 1, 0, 1, 0}},
		{cues.Alternate, 3, 4, []float64{0, 0.5, 1, 0}},
		{cues.Halves, 2, 6, []float64{0, 0, 0, 1, 1, 1}},
		{cues.Halves, 2, 5, []float64{0, 0, 0, 1, 1}},
		{cues.Halves, 3, 6, []float64{0, 0, 0.5, 0.5, 1, 1}},
		{cues.Gradient, 2, 5, []float64{0, 0.25, 0.5, 0.75, 1}},
		{cues.Gradient, 3, 5, []float64{0, 0.25, 0.5, 0.75, 1}},
		{cues.Gradient, 2, 1, []float64{0}},
		{cues.Mirror, 2, 5, []float64{0, 0.5, 1, 0.5, 0}},
		{cues.Mirror, 2, 6, []float64{0, 0.5, 1, 1, 0.5, 0}},
		{cues.Mirror, 2, 2, []float64{0, 0}},
	} {
		t.Run(fmt.Sprintf("%s of %d on %d", c.pattern, c.colours, c.cells), func(t *testing.T) {
			r := newRig(t)
			for range c.cells {
				r.lamp("panel-rgbww", "16-bit", "row")
			}
			balance := r.place().Balance
			first, last := mustXY(t, amber, balance).UV(), mustXY(t, aqua, balance).UV()
			at := func(s float64) colour.UV {
				return colour.UV{U: first.U + s*(last.U-first.U), V: first.V + s*(last.V-first.V)}
			}
			list := forms(amber)
			for i := 1; i < c.colours; i++ {
				list = append(list, cues.Colour{Form: colour.ChromaUV{UV: at(float64(i) / float64(c.colours-1))}})
			}
			k := r.look("k", cues.Paint{On: "row", Pattern: c.pattern, Colours: list, Level: share(0.5)})
			p := r.place()
			for i, light := range wire(p, r.still(p, k)) {
				got, want := light.XY().UV(), at(c.want[i])
				require.InDelta(t, want.U, got.U, 3e-4, "cell %d", i)
				require.InDelta(t, want.V, got.V, 3e-4, "cell %d", i)
			}
		})
	}
}

// The order of a group is that of its members, cell by cell, also backwards
// through the rig and with parts of lamps.
func TestGroupOrder(t *testing.T) {
	r := newRig(t)
	a := r.lamp("tube-rgb-2ft", "8-cell-16-bit")
	b := r.lamp("tube-rgb-2ft", "8-cell-16-bit")
	r.member("row", b, 6, 7)
	r.member("row", a, 0, 1)
	require.Equal(t, []int{14, 15, 0, 1}, r.place().Group("row"))
	require.Nil(t, r.place().Group("rows"))
}

// The other character in the same look is the other look.
func TestWearsReachesThroughFrom(t *testing.T) {
	r := newRig(t)
	r.lamp("panel-rgbww", "16-bit", "edge")
	r.lamp("panel-rgbww", "16-bit", "back")
	base := r.look("warden", cues.Paint{On: "edge", Pattern: cues.Solid, Colours: named("lead"), Level: share(0.4)},
		cues.Paint{On: "back", Pattern: cues.Solid, Colours: named("warden.second"), Level: share(0.4)})
	base.Wears = "warden"
	other := r.look("tide")
	other.From, other.Wears = "warden", "tide"
	p := r.place()
	one, two := wire(p, r.still(p, base)), wire(p, r.still(p, other))
	near := func(form colour.Form, got colour.XYZ) {
		t.Helper()
		s := p.Cells[0].Mix().Solve(mustXY(t, form, p.Balance), 1, p.Balance)
		require.InDelta(t, s.Reached.UV().U, got.XY().UV().U, 5e-4)
		require.InDelta(t, s.Reached.UV().V, got.XY().UV().V, 5e-4)
	}
	near(colour.HueSat{Hue: 32, Sat: 0.92}, one[0])
	near(colour.HueSat{Hue: 186, Sat: 1}, two[0])
	near(colour.HueSat{Hue: 8, Sat: 0.85}, two[1]) // named with its owner it stays
}

func TestLaterPaintCoversEarlier(t *testing.T) {
	r := newRig(t)
	l := r.lamp("tube-rgbww-4ft", "2-cell-16-bit", "all")
	r.member("part", l, 1, 1)
	k := r.look("k", solid("all", amber, 0.5),
		cues.Paint{On: "part", Pattern: cues.Solid, Colours: forms(aqua)},             // keeps the level
		cues.Paint{On: "all", Level: cues.Level{Kind: cues.StopsFromFull, Value: -2}}, // keeps the colours
		cues.Paint{On: "part", Set: []cues.Setting{{Param: "strobe", Value: 5}}})
	p := r.place()
	still := r.still(p, k)
	lights := wire(p, still)
	for i, form := range []colour.Form{amber, aqua} {
		s := p.Cells[i].Mix().Solve(mustXY(t, form, p.Balance), 0.25, p.Balance)
		require.InEpsilon(t, s.Lumens, lights[i].Y, 1e-3, "-2 stops are a quarter")
		require.InDelta(t, s.Reached.UV().U, lights[i].XY().UV().U, 5e-4)
	}
	for _, ch := range l.Lamp.Mode.Channels {
		if ch.Name == "strobe" || ch.Param != nil && ch.Param.Name == "strobe" {
			require.EqualValues(t, math.Round(255*5.0/25), p.Frame(still, false)[0][ch.Offset])
		}
	}
}

// A colour without a level stays dark, as the check of the show says it does:
// nobody is blinded by a word left out.
func TestUnpaintedAndColourAloneAreDark(t *testing.T) {
	r := newRig(t)
	r.lamp("panel-rgbww", "16-bit", "a")
	r.lamp("panel-rgbww", "16-bit", "b")
	k := r.look("k", cues.Paint{On: "a", Pattern: cues.Solid, Colours: forms(white)})
	p := r.place()
	require.Equal(t, p.Dark(), r.still(p, k))
}

func TestLookProblems(t *testing.T) {
	at := cues.Pos{File: "locations/deep-end.yaml", Line: 4, Column: 7}
	for _, c := range []struct {
		name     string
		change   func(*cues.Look)
		code     string
		severity cues.Severity
		mend     string
	}{
		{"a group that is not here", func(k *cues.Look) { k.Paint[0].On, k.Paint[0].At = "edges", at }, "group-not-here", cues.Warning, `add a group "edges" if it should be seen here`},
		{"a colour of nobody", func(k *cues.Look) { k.Paint[0].Colours = []cues.Colour{{Cast: "lead", At: at}} },
			cues.CodeWearsNobody, cues.Error, "add wears: and a character of the cast"},
		{"an unknown character", func(k *cues.Look) { k.Paint[0].Colours = []cues.Colour{{Cast: "wardn.lead", At: at}} },
			cues.CodeUnknownCharacter, cues.Error, `did you mean "warden"?`},
		{"an unknown colour of a character", func(k *cues.Look) { k.Paint[0].Colours = []cues.Colour{{Cast: "warden.leed", At: at}} },
			cues.CodeUnknownColour, cues.Error, `did you mean "lead"?`},
		{"an impossible colour", func(k *cues.Look) {
			k.Paint[0].Colours = []cues.Colour{{Form: colour.Chroma{XY: colour.XY{X: 0.9, Y: 0.9}}, At: at}}
		}, cues.CodeColourImpossible, cues.Error, "write a colour that light can have"},
		{"an unknown look to start from", func(k *cues.Look) { k.From, k.At = "kk", at }, cues.CodeUnknownLook, cues.Error, `did you mean "k"?`},
		{"an unknown parameter", func(k *cues.Look) { k.Paint[0].Set = []cues.Setting{{Param: "strob", Value: 1, At: at}} },
			cues.CodeUnknownParameter, cues.Warning, `did you mean "strobe"?`},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := newRig(t)
			r.lamp("tube-rgb-2ft", "1-cell", "edge")
			k := r.look("k", solid("edge", amber, 0.5))
			c.change(k)
			still, _, problems := r.place().Still(k)
			require.Len(t, problems, 1)
			require.Equal(t, c.code, problems[0].Code)
			require.Equal(t, c.severity, problems[0].Severity)
			require.Equal(t, at, problems[0].Pos)
			require.Equal(t, c.mend, problems[0].Mend)
			require.Equal(t, c.severity == cues.Warning, still != nil, "a look with warnings is still a look")
		})
	}
}

// A two-colour key cannot be cyan; it says what it shows instead. The nearest
// point to the asked one on the straight line between its two whites is found
// here by search.
func TestReportTellsWhatIsOutOfReach(t *testing.T) {
	r := newRig(t)
	key := r.lamp("key-bicolour", "16-bit", "all")
	r.lamp("panel-rgbww", "16-bit", "all")
	asked := colour.HueSat{Hue: 186, Sat: 0.3}
	k := r.look("k", solid("all", asked, 0.5))
	p := r.place()
	still, report, problems := p.Still(k)
	require.Len(t, report.Misses, 1)
	require.Len(t, problems, 1, "the check of a show tells it")
	require.Equal(t, cues.CodeColourOutOfReach, problems[0].Code)
	require.Equal(t, cues.Warning, problems[0].Severity)
	miss := report.Misses[0]
	require.Same(t, key, miss.Lamp)
	require.Equal(t, 1, miss.Cells)
	uv := mustXY(t, asked, p.Balance).UV()
	require.InDelta(t, uv.U, miss.Asked.UV().U, 1e-12)
	e := p.Cells[0].Mix().Emitters()
	a, b := e[0].Full.XY().UV(), e[1].Full.XY().UV()
	nearest := math.Inf(1)
	for i := range 100_001 {
		s := float64(i) / 100_000
		nearest = min(nearest, math.Hypot(a.U+s*(b.U-a.U)-uv.U, a.V+s*(b.V-a.V)-uv.V))
	}
	require.InDelta(t, nearest, miss.DeltaUV, 1e-6)
	require.InDelta(t, miss.Reached.UV().V, wire(p, still)[0].XY().UV().V, 5e-4, "the wire shows what the report says")
}

// A miss is told from one step of CIE TN 001:2014 on (0.0011 in u'v'), and not
// of what is dark anyway. Asked are points square to the line between the two
// whites of a bi-colour key, from its middle.
func TestReportTellsOfMissesThatShow(t *testing.T) {
	r := newRig(t)
	r.lamp("key-bicolour", "16-bit", "all")
	e := r.place().Cells[0].Mix().Emitters()
	a, b := e[0].Full.XY().UV(), e[1].Full.XY().UV()
	middle := a.Lerp(b, 0.5)
	square := func(far float64) colour.Form {
		k := far / a.Distance(b)
		return colour.ChromaUV{UV: colour.UV{U: middle.U - k*(b.V-a.V), V: middle.V + k*(b.U-a.U)}}
	}
	for _, c := range []struct{ far, level, misses float64 }{
		{0, 1, 0}, {0.00105, 1, 0}, {0.00115, 1, 1}, {0.00115, 0.01, 1}, {-0.00115, 1, 1}, {0.05, 0, 0},
	} {
		_, report, problems := r.place().Still(r.look("k", solid("all", square(c.far), c.level)))
		require.Empty(t, problems)
		require.Len(t, report.Misses, int(c.misses), "%+v", c)
		for _, miss := range report.Misses {
			require.InDelta(t, math.Abs(c.far), miss.DeltaUV, 1e-9)
		}
	}
}
