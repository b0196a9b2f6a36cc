package script_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/cues/compile"
	"linkboy/cues/script"
	"linkboy/cues/showfile"
)

func place(t *testing.T) *compile.Place {
	t.Helper()
	show, problems := showfile.LoadFS(fstest.MapFS{
		"show.yaml": {Data: []byte(`
title: T
camera: {fps: 24, balance: 4300 K}
safety: {floor-light: {on: edge, level: 0%, colour: 4300 K}}
cast:
  ada: {lead: {hue: 0, sat: 100%}, second: {xy: [0.3, 0.4]}}
  bo: {lead: {hue: 240, sat: 60%}, second: {hue: 90, sat: 10%}}
looks:
  ada:
    wears: ada
    note: hers
    paint:
      - {on: key, colour: 3200 K, level: 30%}
      - {on: edge, pattern: alternate, colours: [lead, bo.lead], level: 40%}
      - {on: left, colour: second, level: 50%}
  bo: {from: ada, wears: bo, paint: [{on: edge, colour: lead, level: -1 stops}, {on: key, level: 20%}]}
  unused: {wears: bo, paint: [{on: edge, colour: ada.lead, level: 10%}]}
  night: {wears: ada, paint: [{on: edge, colour: 9000 K, level: 0%}]}
`)},
		"kit.yaml": {Data: []byte("K1: {type: panel-rgbww, mode: 16-bit}\nE1: {type: panel-rgbww, mode: 16-bit}\nE2: {type: panel-rgbww, mode: 16-bit}\n")},
		"locations/hall.yaml": {Data: []byte(`
rig:
  K1: {at: [0, 0, 2], aim: [1, 1, 1], address: 0:0:1.001}
  E1: {at: [1, 3, 2], aim: [1, 1, 1], address: 0:0:1.101}
  E2: {at: [2, 3, 2], aim: [1, 1, 1], address: 0:0:1.201}
groups: {key: [K1], edge: [E1, E2], left: [E1]}
cues: [{look: bo, fade: 0 s}, {look: ada, fade: 1 s}, {look: bo, fade: 1 s}]
`)},
	}, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	p, problems := compile.Location(show, show.Locations[0])
	require.NotNil(t, p, "%v", problems)
	return p
}

// Looks come as the sheet runs them, with what is left to be seen of their paint.
func TestColourScript(t *testing.T) {
	rows := script.Of(place(t))
	var looks []string
	for _, r := range rows {
		require.Equal(t, "hall", r.Location)
		looks = append(looks, r.Look)
	}
	require.Equal(t, []string{"bo", "ada", "unused", "night"}, looks)

	bo, ada, unused, night := rows[0], rows[1], rows[2], rows[3]
	require.Equal(t, []int{1, 3}, bo.Cues)
	require.Equal(t, []string{"bo"}, bo.Characters)
	require.Len(t, bo.Groups, 2, "what it starts from shows no more on edge and left")
	require.Equal(t, "20%", bo.Key.Level)
	require.InDelta(t, 3200, *bo.Key.CCT, 1, "the colour is a temperature on the Planckian locus")
	require.InDelta(t, 0, *bo.Key.Duv, 1e-4)
	require.Equal(t, "edge", bo.Groups[1].Name)
	require.Equal(t, "50%", bo.Groups[1].Level)
	require.Equal(t, "solid", bo.Groups[1].Pattern)
	require.Equal(t, "bo.lead", bo.Groups[1].Colours[0].Name)

	require.Equal(t, []string{"ada", "bo"}, ada.Characters)
	require.Equal(t, "hers", ada.Note)
	require.Equal(t, []int{2}, ada.Cues)
	require.Equal(t, "alternate", ada.Groups[1].Pattern)
	require.Equal(t, "ada.lead", ada.Groups[1].Colours[0].Name)
	// The red of ITU-R BT.2020.
	require.InDeltaSlice(t, []float64{0.708, 0.292}, ada.Groups[1].Colours[0].XY[:], 1e-9)
	require.Equal(t, "left", ada.Groups[2].Name)
	require.Equal(t, [2]float64{0.3, 0.4}, ada.Groups[2].Colours[0].XY)
	// CIE 15: u' = 4x/(-2x+12y+3), v' = 9y/(-2x+12y+3).
	require.InDeltaSlice(t, []float64{1.2 / 7.2, 3.6 / 7.2}, ada.Groups[2].Colours[0].UV[:], 1e-9)

	require.Equal(t, []string{"ada"}, unused.Characters, "who is worn but nowhere seen is not in it")
	require.Empty(t, unused.Cues)
	require.Nil(t, unused.Key)
	require.Empty(t, night.Groups, "dark is no colour")
	require.Empty(t, night.Characters)
}
