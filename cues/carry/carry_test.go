package carry_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/carry"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
)

func load(t *testing.T) *cues.Show {
	t.Helper()
	show, problems := showfile.LoadFS(fstest.MapFS{
		"show.yaml": {Data: []byte(`
title: T
camera: {fps: 24}
safety: {floor-light: {on: edge, level: 0%, colour: 4300 K}}
cast: {ada: {lead: {hue: 0, sat: 100%}, second: {hue: 40, sat: 90%}}}
looks:
  base: {wears: ada, paint: [{on: key, colour: 3200 K, level: 30%}, {on: edge, colour: lead, level: 40%}]}
  wide: {from: base, paint: [{on: back, colour: second, level: 10%}]}
`)},
		"kit.yaml": {Data: []byte("P1..P4: {type: panel-rgbww, mode: 16-bit}\n")},
		"locations/hall.yaml": {Data: []byte(`
marks: {a: [1, 1, 0]}
rig:
  P1: {at: [0, 0, 2], aim: [1, 1, 1], address: 0:0:1.001}
  P2: {at: [1, 3, 2], aim: [1, 1, 1], address: 0:0:1.101}
  P3: {at: [2, 3, 2], aim: [1, 1, 1], address: 0:0:1.201}
groups: {key: [P1], edge: [P2], back: [P2, P3], glow: [P3]}
looks:
  dusk: {from: wide, policy: truest, paint: [{on: glow, colour: lead, level: 20%}, {on: back, level: -1 stops under key at a}]}
  dark: {from: dusk, note: later, paint: [{on: edge, level: 5%}]}
`)},
		"locations/yard.yaml": {Data: []byte(`
rig:
  P1: {at: [0, 0, 2], aim: [1, 1, 1], address: 0:0:1.001}
  P2: {at: [1, 3, 2], aim: [1, 1, 1], address: 0:0:1.101}
  P4: {at: [2, 3, 2], aim: [1, 1, 1], address: 0:0:1.201}
groups: {key: [P1], edge: [P2], back: [P2]}
looks:
  wide: {paint: [{on: key, colour: 5600 K, level: 5%}]}
`)},
	}, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	return show
}

// A look takes with it what the next place does not have, and starts from what it has.
func TestLook(t *testing.T) {
	show := load(t)
	hall, yard := show.Location("hall"), show.Location("yard")
	look := func(name string) *cues.Look { return show.Look(hall, name) }

	made, report := carry.Look(show, look("dark"), hall, yard)
	require.Equal(t, "dark", made.Name)
	require.Equal(t, "base", made.From, "wide is another look there, so its paint comes along")
	require.Equal(t, "later", made.Note)
	require.Equal(t, "truest", string(made.Policy))
	require.Len(t, made.Paint, 4)
	require.Equal(t, carry.Report{
		Look: "dark", From: "hall", To: "yard", Merged: []string{"wide", "dusk"},
		Missing:    []carry.Missing{{Group: "glow", Lamps: []string{"P3"}}},
		Unlit:      []string{"P4"},
		Unmeasured: []carry.Unmeasured{{Group: "back", Level: "-1 stops under key at a", Lacks: "mark a"}},
	}, report)

	made, report = carry.Look(show, look("base"), hall, yard)
	require.Nil(t, made)
	require.True(t, report.There)

	_, report = carry.Look(show, look("wide"), hall, yard)
	require.True(t, report.Replaces)
}

// What is carried compiles to the same light on lamps that stand in the same groups.
func TestLookGivesTheSameLight(t *testing.T) {
	show := load(t)
	hall, yard := show.Location("hall"), show.Location("yard")
	made, _ := carry.Look(show, show.Look(hall, "dark"), hall, yard)
	yard.Looks = append(yard.Looks, made)
	slots := func(loc *cues.Location, look *cues.Look) []byte {
		place, problems := compile.Location(show, loc)
		require.NotNil(t, place, "%v", problems)
		still, _, problems := place.Still(look)
		require.NotNil(t, still, "%v", problems)
		return place.Frame(still, false)[0][:200] // P1 and P2
	}
	// Until the light is computed both have the same stand-in for the level at a mark.
	require.Equal(t, slots(hall, show.Look(hall, "dark")), slots(yard, made))
}
