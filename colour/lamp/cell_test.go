package lamp_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/colour/spectra"
)

// A cell's emitters have the chromaticity of their spectrum as worked out elsewhere
// (testdata/led_emitters_synthetic.csv, from 1 nm samples) and the lumens of the type.
func TestCellOfHasTheSpectrumsColour(t *testing.T) {
	header, rows := table(t, "led_emitters_synthetic.csv")
	require.Equal(t, []string{"name", "x", "y"}, header[:3])
	typ, m := build(t, "eight", 16, 8, "linear")
	c, err := typ.CellOf(m)
	require.NoError(t, err)
	compared := 0
	for _, e := range c.Emitters() {
		for _, row := range rows {
			if row[0] == e.Name {
				// 5 nm samples joined by straight lines, not 1 nm samples
				require.InDelta(t, number(t, row[1]), e.Full.XY().X, 1.5e-3, e.Name)
				require.InDelta(t, number(t, row[2]), e.Full.XY().Y, 1.5e-3, e.Name)
				compared++
			}
		}
	}
	require.Equal(t, 8, compared)
}

// The lumens of a lamp are shared out among the cells of the mode.
func TestCellOfSharesTheLumens(t *testing.T) {
	for _, cells := range []int{1, 2, 8, 16} {
		typ, m := build(t, "rgbww", cells, 16, "linear")
		c, err := typ.CellOf(m)
		require.NoError(t, err)
		for i, e := range c.Emitters() {
			require.Equal(t, typ.Emitters[i].Name, e.Name)
			require.InEpsilon(t, typ.Emitters[i].Lumens/float64(cells), e.Full.Y, 1e-12)
		}
	}
}

func TestCellOfWithoutEmitters(t *testing.T) {
	fog := &lamp.Type{Name: "fog", Class: lamp.Fog, Modes: []*lamp.Mode{{Name: "2-channel", Footprint: 2}}}
	c, err := fog.CellOf(fog.Modes[0])
	require.NoError(t, err)
	require.Nil(t, c)
}

func TestCellOfRefuses(t *testing.T) {
	for want, spoil := range map[string]func(*lamp.Type){
		"no light in 360-830 nm": func(typ *lamp.Type) { typ.Emitters[1].Spectrum = spectra.Spectrum{} },
		"is not a light":         func(typ *lamp.Type) { typ.Emitters[1].Lumens = -1 },
		"0 cells":                func(typ *lamp.Type) { typ.Modes[0].Cells = 0 },
		"1 to 8 emitters":        func(typ *lamp.Type) { typ.Emitters = append(typ.Emitters, typ.Emitters...) },
	} {
		typ, m := build(t, "eight", 2, 8, "linear")
		spoil(typ)
		c, err := typ.CellOf(m)
		require.ErrorContains(t, err, want)
		require.ErrorContains(t, err, `lamp type "eight"`)
		require.Nil(t, c)
	}
	typ, m := build(t, "eight", 2, 8, "linear")
	typ.Emitters = typ.Emitters[:0]
	_, err := typ.CellOf(m)
	require.NoError(t, err)
	require.NotErrorIs(t, err, emitters.ErrCount)
}

func TestMode(t *testing.T) {
	typ := &lamp.Type{Modes: []*lamp.Mode{{Name: "8-bit"}, {Name: "16-bit"}}}
	for name, want := range map[string]*lamp.Mode{"": typ.Modes[0], "8-bit": typ.Modes[0], "16-bit": typ.Modes[1], "32-bit": nil} {
		m, ok := typ.Mode(name)
		require.Same(t, want, m)
		require.Equal(t, want != nil, ok)
	}
	_, ok := (&lamp.Type{}).Mode("")
	require.False(t, ok)
}
