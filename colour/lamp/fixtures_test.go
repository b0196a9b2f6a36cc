package lamp_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/colour/spectra"
)

// white is D65 (CIE 15:2018), the balance in these tests.
var white = colour.XY{X: 0.3127, Y: 0.3290}

// table reads a CSV of testdata with '#' comments: its header and its rows.
func table(t testing.TB, name string) (header []string, rows [][]string) {
	f, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(all), 1)
	return all[0], all[1:]
}

func number(t testing.TB, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// ledSpectra reads testdata/led_emitters_synthetic_5nm.csv: emitters by name.
func ledSpectra(t testing.TB) map[string]spectra.Spectrum {
	header, rows := table(t, "led_emitters_synthetic_5nm.csv")
	out := map[string]spectra.Spectrum{}
	for col, name := range header[1:] {
		var nm, power []float64
		for _, row := range rows {
			nm, power = append(nm, number(t, row[0])), append(power, number(t, row[col+1]))
		}
		s, err := spectra.FromTable(nm, power)
		require.NoError(t, err)
		out[name] = s
	}
	return out
}

// part is one emitter of a lamp to build.
type part struct {
	name   string
	lumens float64
}

// mixes are the emitter sets of film lamps; the lumens are invented.
var mixes = map[string][]part{
	"bi-colour": {{"white_warm", 9000}, {"white_cool", 10000}},
	"rgb":       {{"red", 400}, {"green", 900}, {"blue", 120}},
	"rgbw":      {{"red", 200}, {"green", 450}, {"blue", 60}, {"white_cool", 700}},
	"rgbww":     {{"red", 400}, {"green", 900}, {"blue", 110}, {"white_warm", 1500}, {"white_cool", 1600}},
	"rgbacl":    {{"red", 900}, {"green", 1800}, {"blue", 240}, {"amber", 1200}, {"cyan", 900}, {"lime_pc", 4000}},
	"eight": {{"deep_red", 150}, {"red", 400}, {"amber", 500}, {"lime_pc", 2000}, {"green", 900},
		{"cyan", 500}, {"blue", 110}, {"indigo", 60}},
}

// build makes a lamp type of a mix with 16 cells and one mode: a dimmer and a strobe
// parameter first, then every emitter of every mode cell.
func build(t testing.TB, mix string, cells, bits int, curve lamp.Curve) (*lamp.Type, *lamp.Mode) {
	led := ledSpectra(t)
	typ := &lamp.Type{Name: mix, Title: mix, Class: lamp.Tube, Invented: true, Cells: 16, Source: "test"}
	for _, p := range mixes[mix] {
		typ.Emitters = append(typ.Emitters, lamp.Emitter{Name: p.name, Spectrum: led[p.name], Lumens: p.lumens})
	}
	m := &lamp.Mode{Name: fmt.Sprintf("%d-cell", cells), Cells: cells, Curve: curve}
	add := func(ch lamp.Channel) {
		ch.Offset = m.Footprint
		m.Footprint += ch.Bits / 8
		m.Channels = append(m.Channels, ch)
	}
	add(lamp.Channel{Bits: 8, Name: "dimmer", Cell: -1, Emitter: -1, Param: &lamp.Param{Name: lamp.Dimmer, Unit: "%", Max: 100, Safe: 100}})
	add(lamp.Channel{Bits: 16, Name: "strobe", Cell: -1, Emitter: -1, Param: &lamp.Param{Name: "strobe", Unit: "Hz", Min: -5, Max: 25, Safe: 0}})
	for cell := range cells {
		for e := range typ.Emitters {
			add(lamp.Channel{Bits: bits, Name: fmt.Sprintf("%s %d", typ.Emitters[e].Name, cell+1), Cell: cell, Emitter: e})
		}
	}
	typ.Modes = []*lamp.Mode{m}
	require.Empty(t, typ.Validate())
	return typ, m
}

// curves lists every dimmer curve.
func curves() []lamp.Curve {
	var out []lamp.Curve
	for _, name := range emitters.CurveNames() {
		out = append(out, lamp.Curve(name))
	}
	return out
}
