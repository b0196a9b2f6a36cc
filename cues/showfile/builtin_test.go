package showfile_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/lamp"
	"linkboy/cues/showfile"
)

func builtin(t testing.TB, name string) *lamp.Type {
	types := showfile.BuiltinTypes()
	i := slices.IndexFunc(types, func(l *lamp.Type) bool { return l.Name == name })
	require.GreaterOrEqual(t, i, 0, name)
	return types[i]
}

func TestBuiltinTypes(t *testing.T) {
	var names []string
	for _, l := range showfile.BuiltinTypes() {
		names = append(names, l.Name)
		require.Empty(t, l.Validate(), l.Name)
		require.True(t, l.Invented, "%s must say that its numbers are", l.Name)
		require.Equal(t, "built-in", l.Source)
		require.NotEmpty(t, l.Title)
		require.Positive(t, l.Power.FullW)
		bits := map[int]bool{}
		for _, m := range l.Modes {
			bits[m.Channels[0].Bits] = true
			if l.Class != lamp.Fog {
				cell, err := l.CellOf(m)
				require.NoError(t, err)
				require.Len(t, cell.Emitters(), len(l.Emitters))
			}
		}
		require.Equal(t, map[int]bool{8: true, 16: true}, bits, "%s in 8 and 16 bits", l.Name)
	}
	require.Equal(t, []string{"fog", "key-bicolour", "panel-rgbacl", "panel-rgbww", "puck-rgbw", "spot-daylight", "tube-rgb-2ft", "tube-rgbww-4ft"}, names)

	types := showfile.BuiltinTypes()
	types[0] = nil
	require.NotNil(t, showfile.BuiltinTypes()[0], "the slice is the caller's")
}

// Every control that is no colour is sent, at a value that does nothing on its
// own: no strobe, no fog; light is held back by no dimmer, cooling by no fan.
func TestBuiltinSafe(t *testing.T) {
	want := map[string]float64{"dimmer": 100, "strobe": 0, "spread": 30, "fan": 100}
	for _, l := range showfile.BuiltinTypes() {
		for _, m := range l.Modes {
			for _, ch := range m.Channels {
				if ch.Param == nil {
					continue
				}
				if l.Class == lamp.Fog {
					require.Zero(t, ch.Param.Safe, "%s %s", l.Name, ch.Name)
					continue
				}
				safe, known := want[ch.Param.Name]
				require.True(t, known, "%s has %s", l.Name, ch.Param.Name)
				require.Equal(t, safe, ch.Param.Safe, "%s %s", l.Name, ch.Name)
			}
		}
	}
}

func TestBuiltinFootprints(t *testing.T) {
	// Slots as the channel lists say: dimmer and strobe, then emitters by cells.
	for _, tt := range []struct {
		lamp, mode       string
		cells, footprint int
	}{
		{"tube-rgb-2ft", "8-cell", 8, 2 + 8*3},
		{"tube-rgb-2ft", "8-cell-16-bit", 8, 3 + 8*3*2},
		{"tube-rgbww-4ft", "16-cell", 16, 2 + 16*5},
		{"tube-rgbww-4ft", "8-cell", 8, 2 + 8*5},
		{"tube-rgbww-4ft", "2-cell", 2, 2 + 2*5},
		{"tube-rgbww-4ft", "1-cell", 1, 2 + 5},
		{"tube-rgbww-4ft", "16-cell-16-bit", 16, 3 + 16*5*2},
		{"panel-rgbacl", "16-bit", 1, 2 + 6*2 + 2},
		{"key-bicolour", "8-bit", 1, 4},
		{"fog", "8-bit", 1, 2},
	} {
		m, ok := builtin(t, tt.lamp).Mode(tt.mode)
		require.True(t, ok, "%s %s", tt.lamp, tt.mode)
		require.Equal(t, tt.cells, m.Cells)
		require.Equal(t, tt.footprint, m.Footprint, "%s %s", tt.lamp, tt.mode)
	}
	m, _ := builtin(t, "tube-rgb-2ft").Mode("8-cell")
	require.Equal(t, "dimmer", m.Channels[0].Name)
	last := m.Channels[len(m.Channels)-1]
	require.Equal(t, lamp.Channel{Offset: 25, Bits: 8, Name: "blue 8", Cell: 7, Emitter: 2}, last)
}

// Where the colours of built-in emitters lie: near those of LEDs of the same
// colour. Reds, greens and blues: chromaticities of monochromatic-like LEDs by
// a Gaussian model, 630/18, 525/33, 465/23, 592/16, 500/28 and 555/105 nm
// (computed from CIE 1931 at 1 nm); whites: CIE 15:2018 illuminants LED-B1
// (2733 K) and LED-B5 (6598 K).
func TestBuiltinEmitters(t *testing.T) {
	want := map[string]colour.XY{
		"red": {X: .704, Y: .296}, "green": {X: .148, Y: .766}, "blue": {X: .135, Y: .046},
		"amber": {X: .583, Y: .416}, "cyan": {X: .042, Y: .499}, "lime": {X: .380, Y: .531},
		"warm": {X: .4560, Y: .4078}, "cool": {X: .3118, Y: .3236},
	}
	const near = 0.025 // the model here (Ohno 2005) has broader feet than a Gaussian
	for _, l := range showfile.BuiltinTypes() {
		for _, e := range l.Emitters {
			w, known := want[e.Name]
			if l.Name == "panel-rgbacl" && e.Name == "blue" {
				w = colour.XY{X: .155, Y: .020} // royal blue, 450/20 nm
			}
			if !known {
				continue
			}
			got := e.Spectrum.XYZ().XY()
			require.Less(t, got.UV().Distance(w.UV()), near, "%s %s: %v", l.Name, e.Name, got)
		}
	}
	// Whites lie on the Planckian locus within what ANSI C78.377 allows (Duv 0.006).
	for name, t0 := range map[string]colour.Kelvin{"key-bicolour": 2750, "spot-daylight": 5600} {
		cct, err := builtin(t, name).Emitters[0].Spectrum.XYZ().XY().CCT()
		require.NoError(t, err)
		require.InDelta(t, float64(t0), float64(cct.T), 60, name)
		require.Less(t, max(cct.Duv, -cct.Duv), colour.Duv(0.006), name)
	}
}

// The light of a type in white, all that its emitters can give there, is what
// lamps of its class give (typical lumens and lumens per watt at the socket:
// common practice, no source).
func TestBuiltinLumens(t *testing.T) {
	for name, class := range map[string]struct{ least, most float64 }{
		"tube-rgb-2ft":   {600, 1000},
		"tube-rgbww-4ft": {1200, 2400},
		"panel-rgbww":    {10_000, 16_000}, // 1 x 2 ft, 200 W
		"key-bicolour":   {10_000, 16_000}, // the same size, 180 W
		"panel-rgbacl":   {6_000, 13_000},  // 150 W
		"spot-daylight":  {7_000, 15_000},  // 150 W, with its optics
		"puck-rgbw":      {200, 600},       // 8 W
	} {
		l := builtin(t, name)
		white, err := colour.Planckian(4300)
		require.NoError(t, err)
		cell, err := l.CellOf(l.Modes[0])
		require.NoError(t, err)
		lumens := cell.Solve(white, 1, white).Most * float64(l.Modes[0].Cells)
		require.GreaterOrEqual(t, lumens, class.least, name)
		require.LessOrEqual(t, lumens, class.most, name)
		require.Greater(t, lumens/l.Power.FullW, 40.0, name)
		require.Less(t, lumens/l.Power.FullW, 110.0, name)
	}
}
