package against_test

import (
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/cues/against"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
	"linkboy/cues/take"
)

func place(t *testing.T) *compile.Place {
	t.Helper()
	show, problems := showfile.LoadFS(fstest.MapFS{
		"show.yaml": {Data: []byte(`
camera: {fps: 24, balance: 4300 K}
safety: {floor-light: {on: edge, level: 0%, colour: 4300 K}}
cast: {ada: {lead: {hue: 20, sat: 90%}, second: {hue: 350, sat: 90%}}, bo: {lead: {hue: 200, sat: 60%}, second: {hue: 240, sat: 60%}}}
looks:
  ada:
    wears: ada
    paint:
      - {on: key, colour: 5600 K, level: 80%}
      - {on: edge, colour: lead, level: 40%}
      - {on: back, colours: [lead, second], pattern: halves, level: 30%, moves: {wave: sine, period: 4 s}}
  bo: {from: ada, wears: bo, policy: truest, paint: [{on: key, colour: 3200 K, level: 20%}, {on: edge, colour: {hue: 350, sat: 60%}}, {on: back, moves: none}, {on: air, set: {output: 20%}}]}
  off: {from: ada, paint: [{on: key, level: 0%}]}
  tint: {from: ada, paint: [{on: key, colour: {cct: 5600, tint: 0.006}}]}
  paler: {from: ada, paint: [{on: edge, colour: {hue: 20, sat: 50%}}, {on: key, colour: lead}]}
`)},
		"kit.yaml": {Data: []byte("K1: {type: panel-rgbacl, mode: 16-bit}\nE1: {type: panel-rgbacl, mode: 16-bit}\nE2: {type: panel-rgbacl, mode: 16-bit}\nB1: {type: tube-rgbww-4ft, mode: 16-cell}\nF1: {type: fog}\n")},
		"locations/hall.yaml": {Data: []byte(`
rig:
  K1: {at: [0, 0, 2], aim: [1, 1, 1], address: 0:0:1.001}
  E1: {at: [1, 3, 2], aim: [1, 1, 1], address: 0:0:1.101}
  E2: {at: [2, 3, 2], aim: [1, 1, 1], address: 0:0:1.201}
  B1: {at: [2, 3, 2], along: [1, 0, 0], address: 0:0:2.001}
  F1: {at: [2, 3, 0], address: 0:0:1.301}
groups: {key: [K1], edge: [E1, E2], back: [B1], air: [F1]}
`)},
	}, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	p, problems := compile.Location(show, show.Locations[0])
	require.NotNil(t, p, "%v", problems)
	return p
}

func of(t *testing.T, p *compile.Place, look, other string) *against.Report {
	t.Helper()
	r, problems := against.Of(p, p.Show.Look(p.Location, look), p.Show.Look(p.Location, other))
	require.NotNil(t, r, "%v", problems)
	return r
}

func TestLooksAgainstEachOther(t *testing.T) {
	p := place(t)
	r := of(t, p, "bo", "ada")
	require.False(t, r.Same)
	require.Equal(t, against.Pair{Look: "bo", Against: "ada"}, r.Wears)
	require.Equal(t, against.Pair{Look: "truest"}, r.Policy)
	require.Len(t, r.Groups, 3)
	key, edge, back := r.Groups[0], r.Groups[1], r.Groups[2]
	require.Equal(t, []string{"key", "edge", "back"}, []string{key.Name, edge.Name, back.Name})

	// A stop is a doubling of light.
	require.InDelta(t, math.Log2(key.Look.Lumens/key.Against.Lumens), key.Stops, 1e-9)
	// By the Planckian locus in CIE 1976 u'v' (from memory): 5600 K 0.2042, 0.4794 and 3200 K 0.2440, 0.5186.
	require.InDelta(t, math.Hypot(0.2440-0.2042, 0.5186-0.4794), key.DeltaUV, 0.002)
	// A mired is a million over kelvin: 312.5 - 178.6 = 134.
	require.Equal(t, "warmer by 134 mired (5600 K to 3200 K)", key.Colour)
	require.Contains(t, key.Level, "stops darker")
	require.Equal(t, "3200 K at 20%", key.Look.Written)
	require.Equal(t, "30 deg towards magenta, less saturated, 90% to 60%", edge.Colour)
	require.Equal(t, "halves bo.lead, bo.second at 30%", back.Look.Written)

	require.Equal(t, []against.Movement{{Group: "back", Pair: against.Pair{Against: "{wave: sine, period: 4 s}"}}}, r.Movement)
	require.Len(t, r.Parameters, 1)
	require.Equal(t, "output", r.Parameters[0].Name)
	require.InDelta(t, 20, r.Parameters[0].Look, 0.2, "an 8-bit channel has steps of 0.4 %")
	require.Zero(t, r.Parameters[0].Against)

	require.Equal(t, take.Near, r.Lamps[len(r.Lamps)-1].State)
	require.Equal(t, "F1", r.Lamps[len(r.Lamps)-1].Rig)

	back = of(t, p, "ada", "bo").Groups[0]
	require.InDelta(t, -key.Stops, back.Stops, 1e-9, "the other way round it is the other way round")
	require.Equal(t, "cooler by 134 mired (3200 K to 5600 K)", back.Colour)
}

func TestLookAgainstItself(t *testing.T) {
	r := of(t, place(t), "ada", "ada")
	require.True(t, r.Same)
	for _, g := range r.Groups {
		require.Equal(t, "as bright", g.Level)
		require.Equal(t, "same colour", g.Colour)
		require.False(t, g.Counts)
	}
}

func TestWords(t *testing.T) {
	p := place(t)
	require.Equal(t, "goes dark", of(t, p, "off", "ada").Groups[0].Level)
	require.Equal(t, "comes on", of(t, p, "ada", "off").Groups[0].Level)
	require.Empty(t, of(t, p, "ada", "off").Groups[0].Colour)
	require.Contains(t, of(t, p, "tint", "ada").Groups[0].Colour, "greener by 0.006")
	require.Contains(t, of(t, p, "ada", "tint").Groups[0].Colour, "pinker by 0.006")
	paler := of(t, p, "paler", "ada")
	require.Equal(t, "from white to orange (hue 20, sat 90%)", paler.Groups[0].Colour)
	require.Equal(t, "less saturated, 90% to 50%", paler.Groups[1].Colour)
}
