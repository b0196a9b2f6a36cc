package stage_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// load reads a show of one location, made of these lines.
func load(t testing.TB, location string) *cues.Location {
	show, problems := showfile.LoadFS(fstest.MapFS{
		"show.yaml": {Data: []byte("title: T\ncamera: {fps: 24}\nsafety: {floor-light: {on: all, level: 1%, colour: 3200 K}}\n")},
		"kit.yaml":  {Data: []byte("T1..T3: {type: tube-rgbww-4ft, mode: 8-cell}\nP1: {type: panel-rgbww}\nF1: {type: fog}\n")},
		"wedge.obj": {Data: []byte(wedge)},
		"card.obj":  {Data: []byte("v -3 -3 1\nv 3 -3 1\nv 0 3 1\nf 1 2 3\n")},

		"locations/place.yaml": {Data: []byte(location)},
	}, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	return show.Locations[0]
}

func told(problems cues.Problems) string {
	var b strings.Builder
	for _, p := range problems {
		fmt.Fprintf(&b, "%d:%d %s %s: %s\n", p.Line, p.Column, p.Severity, p.Code, p.What)
	}
	return b.String()
}

const rest = `
groups: {all: [a, b, c, d]}
looks: {white: {paint: [{on: all, colour: 5600 K, level: 50%}]}}
cues: [{look: white}]
`

// Each thing that stands where it cannot is told, at its own place.
func TestCheck(t *testing.T) {
	loc := load(t, `set:
  - {box: floor, at: [0, 0, -0.1], size: [10, 10, 0.1]}
  - {box: tank, at: [1, 1, 0], size: [2, 2, 2], turn: 45 deg}
  - {cylinder: drum, at: [7, 2, 0], radius: 0.5, height: 1}
  - {steps: stair, at: [5, 5, 0], size: [3, 2, 1.5], count: 3, rise: +x}
  - {box: second tank, at: [1, 1, 0], size: [2, 2, 2], turn: 45 deg}
  - {mesh: wedge.obj, at: [8, 8, 0]}
marks:
  on: [5, 1, 0]
  stairs: [[4.5, 6, 0], [5.5, 6, 0.5], [6.5, 6, 1.02], [7.5, 6, 1.46]]
  inside: [2, 2, 0]
  through: [[5, 1, 0], [7, 2, 0.5], [5, 1, 0.3], [5, 1, 0.4]]
  outside: [-1, 5, 0]
  below: [5, 1, -0.2]
stand-ins:
  ok: {at: on}
  stuck: {at: [7.2, 2.2, 0]}
  up: {at: [5, 1, 1]}
  marked: {at: outside}
rig:
  a: {lamp: T1, at: [2, 2, 1], along: [1, 0, 0], address: 0:0:1.001}
  b: {lamp: T2, at: [6.2, 2, 0.5], along: [1, 0, 0], address: 0:0:1.101}
  c: {lamp: T3, at: [2, 2, 2.0], along: [1, 0, 0], address: 0:0:1.201}
  d: {lamp: P1, at: [8.2, 8.2, 0.2], aim: on, address: 0:0:1.301}
  fog: {lamp: F1, at: [2, 2, 1], address: 0:0:1.401}
setups:
  in tank: {camera: [2, 1.5, 1], look-at: on}
  in him: {camera: [5, 1, 1], look-at: [2, 2, 1]}
  under stairs: {camera: [7.5, 6, 1.2], look-at: on}
  over stairs: {camera: [5.5, 6, 1.2], look-at: on}
`+rest)
	require.Equal(t, `6:5 warning pieces-coincide: "second tank" fills the same place as "tank"
11:3 warning mark-inside: mark "inside" is inside "tank"
12:3 warning mark-floats: point 3 of mark "through" is on nothing
12:3 warning mark-inside: point 2 of mark "through" is inside "drum"
13:3 warning mark-floats: mark "outside" is on nothing
14:3 warning mark-floats: mark "below" is on nothing
17:3 warning stand-in-inside: stand-in "stuck" stands in "drum"
18:3 warning mark-floats: stand-in "up" stands on nothing
21:3 warning lamp-inside: lamp "a" stands inside "tank"
22:3 warning lamp-inside: an end of lamp "b" is inside "drum"
24:3 warning lamp-inside: lamp "d" stands inside "wedge"
27:3 warning camera-inside: the camera of set-up "in tank" stands inside "tank"
28:3 warning camera-inside: the camera of set-up "in him" stands inside "ok"
29:3 warning camera-inside: the camera of set-up "under stairs" stands inside "stair"
`, told(stage.Check(loc)))
	for _, p := range stage.Check(loc) {
		require.Equal(t, "locations/place.yaml", p.File)
		require.NotEmpty(t, p.Why)
		require.NotEmpty(t, p.Mend)
	}
}

// A place of which only the lamps are known has nothing that they could stand in
// the way of, and thin things have no inside.
func TestCheckKnowsWhatItCannotKnow(t *testing.T) {
	rig := `
marks: {on: [0, 0, 5]}
rig:
  a: {lamp: T1, at: [0, -1, 1], along: [1, 0, 0], address: 0:0:1.001}
  b: {lamp: T2, at: [0, -1, 0], along: [1, 0, 0], address: 0:0:1.101}
  c: {lamp: T3, at: [0, 0, 0.5], along: [1, 0, 0], address: 0:0:1.201}
  d: {lamp: P1, at: [0, 0, 1], address: 0:0:1.301}
setups: {wide: {camera: [0, 0, 1], look-at: [0, 5, 1]}}
`
	require.Empty(t, stage.Check(load(t, rig+rest)))
	require.Equal(t, "4:9 warning mark-floats: mark \"on\" is on nothing\n", told(stage.Check(load(t, `set:
  - {plane: floor, at: [-9, -9, 1], along: [18, 0, 0], across: [0, 18, 0]}
  - {mesh: card.obj, at: [0, 0, 0]}`+rig+rest))))
}
