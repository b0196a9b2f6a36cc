package emitters_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// white is D65 (CIE 15:2018), the balance in these tests.
var white = colour.XY{X: 0.3127, Y: 0.3290}

// table reads a CSV of testdata with '#' comments and a header row.
func table(t testing.TB, name string) []map[string]string {
	f, err := os.Open("testdata/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, key := range rows[0] {
			m[key] = row[i]
		}
		out = append(out, m)
	}
	require.NotEmpty(t, out)
	return out
}

func number(t testing.TB, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// synthetic returns the emitters of testdata/led_emitters_synthetic.csv (Ohno 2005
// LED shapes) by name, at unit peak.
func synthetic(t testing.TB) map[string]colour.XYZ {
	out := map[string]colour.XYZ{}
	for _, row := range table(t, "led_emitters_synthetic.csv") {
		out[row["name"]] = colour.XYZ{X: number(t, row["X"]), Y: number(t, row["Y"]), Z: number(t, row["Z"])}
	}
	return out
}

// set is a cell to test with.
type set struct {
	name     string
	emitters []emitters.Emitter
	slim     bool // its gamut is a line or a point
}

// realistic returns the emitter sets of film lamps, built from the synthetic
// emitters with invented lumens.
func realistic(t testing.TB) []set {
	led := synthetic(t)
	build := func(name string, parts ...any) set {
		s := set{name: name}
		for i := 0; i < len(parts); i += 2 {
			full := led[parts[i].(string)]
			require.NotZero(t, full.Y, parts[i])
			lumens := float64(parts[i+1].(int))
			s.emitters = append(s.emitters, emitters.Emitter{Name: parts[i].(string), Full: full.Scale(lumens / full.Y)})
		}
		return s
	}
	bi := build("bi-colour", "white_warm", 9000, "white_cool", 10000)
	bi.slim = true
	one := build("one white", "white_cool", 20000)
	one.slim = true
	return []set{
		one, bi,
		build("rgb", "red", 200, "green", 450, "blue", 60),
		build("rgbw", "red", 200, "green", 450, "blue", 60, "white_cool", 700),
		build("rgba", "red", 150, "green", 400, "blue", 50, "amber", 250),
		build("rgbww", "red", 400, "green", 900, "blue", 110, "white_warm", 1500, "white_cool", 1600),
		build("rgbacl", "red", 900, "green", 1800, "blue", 240, "amber", 1200, "cyan", 900, "lime_pc", 4000),
		build("seven", "red", 700, "green", 1500, "blue", 200, "amber", 900, "cyan", 700, "lime_pc", 3000, "white_warm", 2000),
		build("eight", "deep_red", 150, "red", 400, "amber", 500, "lime_pc", 2000, "green", 900, "cyan", 500, "blue", 110, "indigo", 60),
	}
}

func cellOf(t testing.TB, s set) *emitters.Cell {
	c, err := emitters.NewCell(s.emitters)
	require.NoError(t, err)
	return c
}

// randomSet draws n emitters anywhere in the chromaticity diagram, some dim, some bright.
func randomSet(r *rand.Rand, n int) []emitters.Emitter {
	out := make([]emitters.Emitter, n)
	for i := range out {
		x, y := r.Float64(), 0.02+0.9*r.Float64()
		if x+y > 1 {
			x, y = 1-x, max(1-y, 0.01)
		}
		out[i] = emitters.Emitter{Name: fmt.Sprint(i), Full: colour.XY{X: x, Y: y}.XYZ(math.Exp(2 * r.NormFloat64()))}
	}
	return out
}

// lumpySet draws emitters on a coarse grid of chromaticities and lumens, so that
// identical emitters, emitters on one line and equal mixes are common.
func lumpySet(r *rand.Rand, n int) []emitters.Emitter {
	out := make([]emitters.Emitter, n)
	for i := range out {
		out[i] = emitters.Emitter{Name: fmt.Sprint(i), Full: colour.XYZ{X: float64(r.IntN(4)), Y: float64(1 + r.IntN(3)), Z: float64(r.IntN(4))}}
	}
	return out
}

// inGamut draws a chromaticity in reach: that of random drives.
func inGamut(r *rand.Rand, c *emitters.Cell) colour.XY {
	var d emitters.Drives
	for i := range c.Len() {
		d[i] = r.Float64()
		if r.IntN(3) == 0 {
			d[i] = 0
		}
	}
	d[r.IntN(c.Len())] = 1
	return c.Light(d).XY()
}

func distance(a, b colour.XY) float64 {
	p, q := a.UV(), b.UV()
	return math.Hypot(p.U-q.U, p.V-q.V)
}
