package impact_test

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/impact"
	"linkboy/cues/showfile"
)

const text = `
camera: {fps: 24, balance: 4300 K}
safety: {floor-light: {on: edge, level: 0%, colour: 4300 K}}
cast: {ada: {lead: 3200 K, second: 4300 K}, bo: {lead: 5600 K, second: 4300 K}}
looks:
  ada: {wears: ada, paint: [{on: key, colour: second, level: 30%}, {on: edge, colour: lead, level: 40%}]}
  low: {from: ada, paint: [{on: edge, level: 0%}, {on: key, colour: ada.lead, level: 20%}]}
  bo: {from: ada, wears: bo, paint: [{on: key, colour: lead, level: 30%}]}
  unlit: {wears: ada, paint: [{on: key, colour: second, level: 10%}]}
`

func load(t *testing.T, show string, more map[string]string) *cues.Show {
	t.Helper()
	files := fstest.MapFS{
		"show.yaml": {Data: []byte(show)},
		"kit.yaml":  {Data: []byte("K1..K2: {type: panel-rgbacl, mode: 16-bit}\n")},
		"locations/hall.yaml": {Data: []byte(`
rig:
  K1: {at: [0, 0, 2], aim: [1, 1, 1], address: 0:0:1.001}
  K2: {at: [1, 3, 2], aim: [1, 1, 1], address: 0:0:1.101}
groups: {key: [K1], edge: [K2]}
cues: [{look: ada, fade: 0 s}, {look: bo, fade: 1 s}, {look: ada, fade: 1 s}]
`)},
	}
	for name, data := range more {
		files[name] = &fstest.MapFile{Data: []byte(data)}
	}
	out, problems := showfile.LoadFS(files, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	return out
}

// A character that gets another colour changes the looks that show it, and says by how much.
func TestRecolour(t *testing.T) {
	before := load(t, text, nil)
	after := load(t, strings.Replace(text, "lead: 3200 K", "lead: 5600 K", 1), nil)
	list := impact.Of(before, after, nil)
	var looks []string
	for _, c := range list {
		looks = append(looks, c.Location+"/"+c.Look)
		require.Equal(t, 1, c.Lamps)
	}
	require.ElementsMatch(t, []string{"hall/ada", "hall/low"}, looks, "bo wears none of it, unlit shows none of it")
	warm, err := colour.CCT{T: 3200}.XY()
	require.NoError(t, err)
	day, err := colour.CCT{T: 5600}.XY()
	require.NoError(t, err)
	for _, c := range list {
		require.InDelta(t, warm.UV().Distance(day.UV()), c.DeltaUV, 0.001, "as far apart as the two whites are")
	}
	require.Equal(t, []int{1, 3}, list[indexOf(list, "ada")].Cues)
	require.Equal(t, "K2", list[indexOf(list, "ada")].Lamp)
	require.Empty(t, list[indexOf(list, "low")].Cues)
	require.Regexp(t, `^ada at hall \(cues 1, 3\): 1 lamp, K2 most, by [+-]\d\.\d\d stops and 0\.0\d{3} u'v'$`, list[indexOf(list, "ada")].String())
	require.Empty(t, impact.Of(before, before, nil))
	renamed := strings.NewReplacer("wears: ada", "wears: eda", "{ada: {", "{eda: {", "ada.lead", "eda.lead").Replace(text)
	require.Empty(t, impact.Of(before, load(t, renamed, nil), nil), "a new name is no new light")
}

func indexOf(list []impact.Change, look string) int {
	for i, c := range list {
		if c.Look == look {
			return i
		}
	}
	return -1
}

// The worst comes first: half the light is a stop, a quarter two.
func TestWorstFirst(t *testing.T) {
	before := load(t, text, nil)
	after := load(t, strings.Replace(strings.Replace(text, "level: 40%", "level: 20%", 1), "{on: key, colour: second, level: 10%}", "{on: key, colour: second, level: 2.5%}", 1), nil)
	list := impact.Of(before, after, nil)
	require.Len(t, list, 3)
	require.Equal(t, "unlit", list[0].Look)
	require.InDelta(t, -2, list[0].Stops, 0.01)
	require.InDelta(t, -1, list[1].Stops, 0.01)
	require.Less(t, math.Abs(list[1].DeltaUV), 0.001)
}

// Looks and locations that come and go are told first.
func TestComesAndGoes(t *testing.T) {
	yard := map[string]string{"locations/yard.yaml": "rig: {K1: {at: [0, 0, 2], address: 0:0:1.001}}\ngroups: {key: [K1], edge: [K1]}\n"}
	before, after := load(t, text, nil), load(t, text, yard)
	for _, c := range impact.Of(before, after, nil) {
		require.Equal(t, "yard", c.Location)
		require.True(t, c.New)
	}
	gone := impact.Of(after, before, nil)
	require.Len(t, gone, 4)
	require.True(t, gone[0].Gone)
	less := load(t, strings.Replace(text, "  unlit: {", "  other: {", 1), nil)
	list := impact.Of(before, less, nil)
	require.Len(t, list, 2)
	require.True(t, list[indexOf(list, "unlit")].Gone)
	require.True(t, list[indexOf(list, "other")].New)
}

// BenchmarkRecolour is what a preview of another colour costs on the demo show: all looks
// of four places twice. The show is read once, beside which the rest is told.
func BenchmarkRecolour(b *testing.B) {
	const dir = "../../cmd/linkboy/shows/tidewater"
	before, problems := showfile.Load(dir)
	if problems.HasErrors() {
		b.Fatal(problems)
	}
	b.Run("read", func(b *testing.B) {
		for b.Loop() {
			showfile.Load(dir)
		}
	})
	b.Run("impact", func(b *testing.B) {
		after, _ := showfile.Load(dir)
		after.Cast[0].Colours[0].Colour.Form = colour.HueSat{Hue: 300, Sat: 0.5}
		for b.Loop() {
			if len(impact.Of(before, after, nil)) == 0 {
				b.Fatal("nothing changes")
			}
		}
	})
}
