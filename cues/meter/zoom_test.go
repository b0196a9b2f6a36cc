package meter_test

import (
	"context"
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// A level in lux is solved for the spread that the look sets, and metered by the bytes; the
// same share of light reads 3.06 times as much at 25 degrees as at 45, on the axis (candela
// of the beam formula, trade.md section 2), and what is seen of the lamp's face grows alike.
func TestMeterFollowsTheSpread(t *testing.T) {
	files := fstest.MapFS{
		"show.yaml": {Data: []byte("title: T\ncamera: {fps: 24}\nsafety: {floor-light: {on: key, level: 0%, colour: 4300 K}}\n")},
		"kit.yaml":  {Data: []byte("S1: {type: spot-daylight, mode: 16-bit}\n")},
		"locations/place.yaml": {Data: []byte(`
set: [{box: floor, at: [-3, -3, -0.1], size: [6, 12, 0.1], albedo: 0.02}]
marks: {a: [0, 0, 0]}
rig: {spot: {lamp: S1, at: [0, 6, 1.6], aim: [0, 0, 1.6], address: 0:0:1.001}}
groups: {key: [spot]}
looks:
  narrow: {paint: [{on: key, colour: 5600 K, level: 10%, set: {spread: 25 deg}}]}
  wide: {paint: [{on: key, colour: 5600 K, level: 10%, set: {spread: 45 deg}}]}
  lux: {paint: [{on: key, colour: 5600 K, level: 120 lx at a, set: {spread: 20 deg}}]}
setups: {back: {camera: [0, -4, 1.6], look-at: [0, 6, 1.6], lens: 24 mm}}
`)},
	}
	show, problems := showfile.LoadFS(files, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	place, problems := compile.Location(show, show.Locations[0])
	require.NotNil(t, place, "%v", problems)
	set, problems := stage.Build(place)
	require.NotNil(t, set, "%v", problems)
	light, err := transport.Compute(context.Background(), &set.Place, transport.Options{Texels: 300, Rays: 32})
	require.NoError(t, err)
	lit := transport.NewLit(&set.Place, light)
	place = place.WithLight(meter.NewLevels(set, lit))
	m, err := meter.New(set, lit, place.Location.Setups[0])
	require.NoError(t, err)
	read := func(look string) (lux, over float64) {
		still, report, problems := place.Still(show.Look(place.Location, look))
		require.False(t, problems.HasErrors(), "%v", problems)
		m.Set(place.Frame(still, false))
		r := m.Mark(&place.Location.Marks[0])
		require.Len(t, r.Groups, 1)
		require.Len(t, m.Lamps(), 1)
		if look == "lux" {
			require.Len(t, report.Levels, 1)
		}
		return r.Groups[0].Lux, m.Lamps()[0].Over
	}
	narrow, narrowOver := read("narrow")
	wide, wideOver := read("wide")
	require.InEpsilon(t, 4758.0/1553, narrow/wide, 0.03, "what the floor throws back is in both")
	require.InDelta(t, math.Log2(4758.0/1553), narrowOver-wideOver, 0.03)
	lux, _ := read("lux")
	require.InDelta(t, 0, math.Log2(lux/120), 0.05)
}
