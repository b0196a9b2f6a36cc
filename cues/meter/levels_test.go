package meter_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

const (
	rigsByShow = 20
	// wanted is how near a level must come, in stops.
	wanted = 0.05
)

// randomLamps are the lamps of the random rigs: every class, coarse and fine modes.
var randomLamps = []string{
	"type: panel-rgbww, mode: 16-bit", "type: panel-rgbacl, mode: 16-bit, policy: truest", "type: puck-rgbw, mode: 16-bit",
	"type: spot-daylight, mode: 16-bit", "type: key-bicolour, mode: 16-bit", "type: tube-rgbww-4ft, mode: 2-cell-16-bit",
	"type: tube-rgb-2ft, mode: 8-cell-16-bit, policy: camera", "type: panel-rgbww, mode: 8-bit", "type: tube-rgbww-4ft, mode: 8-cell",
}

// randomPlace is a location in YAML: a floor, a wall and a box, lamps about them in
// groups that share some, and a look with levels of every kind.
func randomPlace(r *rand.Rand) string {
	var b strings.Builder
	num := func(low, high float64) float64 { return math.Round((low+(high-low)*r.Float64())*100) / 100 }
	pick := func(words ...string) string { return words[r.IntN(len(words))] }
	fmt.Fprintf(&b, "set:\n  - {box: floor, at: [0, 0, -0.1], size: [8, 6, 0.1], albedo: %g}\n", num(0.05, 0.8))
	fmt.Fprintf(&b, "  - {box: wall, at: [0, 6, 0], size: [8, 0.2, 3], albedo: %g}\n", num(0.05, 0.8))
	fmt.Fprintf(&b, "  - {box: crate, at: [%g, %g, 0], size: [0.8, 0.8, %g], albedo: 0.3}\n", num(0.5, 6), num(3.5, 5), num(0.4, 2.2))
	fmt.Fprintf(&b, "marks: {a: [%g, %g, 0], b: [%g, %g, 0]}\nrig:\n", num(2, 6), num(1, 3), num(1, 7), num(1, 3))
	n, slot := 5+r.IntN(6), 1
	for i := range n {
		aim := fmt.Sprintf(", aim: [%g, %g, %g]", num(2, 6), num(1, 3), num(0, 1.6))
		if r.IntN(3) == 0 {
			aim = ""
		}
		fmt.Fprintf(&b, "  l%d: {lamp: T%d, at: [%g, %g, %g], along: [1, %g, 0]%s, address: 0:0:%d.%03d}\n",
			i, i, num(0, 8), num(-3, 5.8), num(0.1, 3.5), num(-1, 1), aim+pick("", "", ", diffusion: {factor: 50%, widens: 30 deg}"), 1+slot/300, 1+slot%300)
		slot += 100
	}
	groups := []string{"key", "edge", "back", "some"}
	b.WriteString("groups:\n")
	for g, name := range groups {
		var members []string
		for i := range n {
			if i%3 == g || name == "some" && r.IntN(3) == 0 {
				members = append(members, fmt.Sprintf("l%d", i))
			}
		}
		if len(members) == 0 {
			members = []string{"l0"}
		}
		fmt.Fprintf(&b, "  %s: [%s]\n", name, strings.Join(members, ", "))
	}
	colour := func() string {
		return pick("4300 K", "3200 K", "{hue: 32, sat: 92%}", "{hue: 186, sat: 60%}", "{hue: 262, sat: 90%}")
	}
	fmt.Fprintf(&b, "looks:\n  look:\n    paint:\n      - {on: key, colour: 4300 K, level: %s}\n",
		pick(fmt.Sprintf("%g%%", num(5, 60)), fmt.Sprintf("%g lx at a", num(5, 80))))
	fmt.Fprintf(&b, "      - {on: edge, colour: %s, level: %+g stops under key at a}\n", colour(), num(-4, -0.5))
	fmt.Fprintf(&b, "      - {on: back, pattern: gradient, colours: [%s, %s], level: %+g stops under %s at %s}\n", colour(), colour(), num(-4, 1), pick("edge", "key"), pick("a", "b"))
	if r.IntN(2) == 0 {
		fmt.Fprintf(&b, "      - {on: some, colour: %s, level: %s}\n", colour(), pick(fmt.Sprintf("%g%%", num(2, 40)), fmt.Sprintf("%g lx at b", num(5, 40)), "-2 stops under back at a"))
	}
	b.WriteString("setups: {wide: {camera: [4, -5, 1.6], look-at: a, lens: 24 mm}}\n")
	return b.String()
}

// randomShow is a show of such locations.
func randomShow(t *testing.T, seed uint64, n int) *cues.Show {
	r := rand.New(rand.NewPCG(seed, 5))
	floor := "safety: {floor-light: {on: some, level: 1%, colour: 3200 K}}\n"
	files := fstest.MapFS{"show.yaml": {Data: []byte("title: T\ncamera: {fps: 24, balance: 4300 K}\n" + floor)}}
	var kit strings.Builder
	for i := range 11 {
		lamp := randomLamps[(i+int(seed))%len(randomLamps)]
		if seed > 0 { // mixing for the camera takes half a second to prepare
			lamp = strings.TrimSuffix(lamp, ", policy: camera")
		}
		fmt.Fprintf(&kit, "T%d: {%s}\n", i, lamp)
	}
	files["kit.yaml"] = &fstest.MapFile{Data: []byte(kit.String())}
	for i := range n {
		files[fmt.Sprintf("locations/p%02d.yaml", i)] = &fstest.MapFile{Data: []byte(randomPlace(r))}
	}
	show, problems := showfile.LoadFS(files, "test")
	require.False(t, problems.HasErrors(), "%v", problems.Errors())
	return show
}

// why sorts a problem. What is blamed on coarse steps must have lamps of 8 bits in its
// group or in the one that it is under.
func (sum *tally) why(t *testing.T, place *compile.Place, p *cues.Problem, report compile.Report) {
	switch {
	case p.Code == cues.CodeLevelNoLight:
		sum.dark++
	case strings.Contains(p.What, "short of"):
		sum.short++
	case strings.Contains(p.What, "by itself"):
		sum.over++
	default:
		sum.coarse++
		for _, l := range report.Levels {
			if l.Asked.At != p.Pos {
				continue
			}
			coarse := false
			for _, i := range append(place.Members(l.Group.Name), place.Members(l.Asked.Group)...) {
				coarse = coarse || !strings.Contains(place.Cells[i].Lamp.Lamp.Mode.Name, "16-bit")
			}
			require.True(t, coarse, "%v", p)
		}
	}
}

// tally counts how levels came out.
type tally struct{ rigs, levels, met, told, rings, dark, short, over, coarse int }

// For 1000 random rigs, what the meter reads by the bytes is what was asked, within
// 0.05 stop, or a problem says why not. The meter is asked as `linkboy meter` asks it, at
// marks and groups of the location, and knows nothing of how levels were solved.
func TestRigsMeterAsAsked(t *testing.T) {
	var sum tally
	for seed := range uint64(rigs / rigsByShow) {
		show := randomShow(t, seed, rigsByShow)
		for _, loc := range show.Locations {
			sum.check(t, show, loc)
		}
	}
	t.Logf("%+v", sum)
	require.Greater(t, sum.met, sum.levels/2, "most levels can be met, or this test tells nothing")
	require.NotZero(t, sum.told, "some cannot")
}

func (sum *tally) check(t *testing.T, show *cues.Show, loc *cues.Location) {
	place, problems := compile.Location(show, loc)
	require.NotNil(t, place, "%v", problems)
	set, problems := stage.Build(place)
	require.NotNil(t, set, "%v", problems)
	m, err := transport.Compute(context.Background(), &set.Place, transport.Options{Texels: 120, Rays: 16, Bounces: 2})
	require.NoError(t, err)
	lit := transport.NewLit(&set.Place, m)
	place = place.WithLight(meter.NewLevels(set, lit))
	sum.rigs++
	still, report, problems := place.Still(loc.Looks[0])
	if problems.HasErrors() {
		for _, p := range problems.Errors() {
			require.Equal(t, cues.CodeLevelRing, p.Code)
		}
		sum.rings++
		return
	}
	reader, err := meter.New(set, lit, loc.Setups[0])
	require.NoError(t, err)
	reader.Set(place.Frame(still, true))
	read := map[string]map[string]float64{}
	for _, r := range reader.Marks() {
		read[r.Mark] = map[string]float64{}
		for _, g := range r.Groups {
			read[r.Mark][g.Group] = g.Lux
		}
	}
	told := map[cues.Pos]bool{}
	for _, p := range problems {
		if p.Code == cues.CodeLevelOff || p.Code == cues.CodeLevelNoLight {
			told[p.Pos] = true
			sum.why(t, place, p, report)
		}
	}
	for _, l := range report.Levels {
		sum.levels++
		if told[l.Asked.At] {
			sum.told++
			continue
		}
		want := l.Asked.Value
		if l.Asked.Kind == cues.StopsUnder {
			want = math.Exp2(l.Asked.Value) * read[l.Asked.Mark][l.Asked.Group]
		}
		off := math.Log2(read[l.Asked.Mark][l.Group.Name] / want)
		require.InDelta(t, 0, off, wanted+0.001, "%s at %s: %q, %d levels", l.Group.Name, loc.Name, l.Asked, len(report.Levels))
		sum.met++
	}
}
