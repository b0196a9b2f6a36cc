package meter_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/colour/camera"
	"linkboy/colour/photometry"
	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// lampTypes are the lamps of trade.md's worked set-up (section 12): a key of 8000 cd
// and a strip tube of 1.15 m and 1600 lm; the spot's lumens are those of 8000 cd at a
// beam of 30 degrees, F = 2π·I/(m+1), m = ln 0.5/ln cos 15°.
const lampTypes = `
title: %s
class: %s
cells: 1
emitters:
  white: {lumens: %g lm, spectrum: {peak: 560 nm, width: 200 nm}}
photometry: {beam: %g deg, field: %g deg, length: %g m, width: %g m}
power: {full: 40 W, standby: 1 W}
curve: linear
modes: {plain: {bits: 16, channels: [white]}}
`

// metered compiles a place of that key and that tube, with levels, and its meter.
func metered(t *testing.T, key, tube float64, more ...string) (*meter.Meter, *stage.Stage, *transport.Lit) {
	m := math.Log(0.5) / math.Log(math.Cos(15*math.Pi/180))
	files := fstest.MapFS{
		"show.yaml": {Data: []byte("title: T\ncamera: {iso: 800, stop: T2.8284, shutter: 180 deg, fps: 24, balance: 4300 K, over: 6 stops}\n" +
			"safety: {floor-light: {on: tube, level: 0%, colour: 4300 K}}\n")},
		"lamps/hard.yaml":  {Data: fmt.Appendf(nil, lampTypes, "hard", "spot", 8000*2*math.Pi/(m+1), 30.0, 53.9, 0.05, 0.05)},
		"lamps/strip.yaml": {Data: fmt.Appendf(nil, lampTypes, "strip", "tube", 1600.0, 120.0, 168.5, 1.15, 0.04)},
		"kit.yaml":         {Data: []byte("K1: {type: hard}\nT1: {type: strip}\n")},
		"locations/place.yaml": {Data: fmt.Appendf(nil, `
set: [{box: floor, at: [-5, -8, -0.1], size: [10, 16, 0.1], albedo: 0}]
marks: {a: [0, 0, 0], walk: [[0, 0, 0], [2, 0, 0]]}
rig:
  key: {lamp: K1, at: [0, -5.5, 2.9], aim: [0, 0, 1.6], address: 0:0:1.001}
  tube: {lamp: T1, at: [0, 2, 1.6], along: [1, 0, 0], aim: [0, 0, 1.6], address: 0:0:1.011}
groups: {key: [key], tube: [tube]}
looks: {set: {paint: [{on: key, colour: 4300 K, level: %g%%}, {on: tube, colour: 4300 K, level: %g%%}]}}
setups: {wide: {camera: [0, -6, 1.6], look-at: [0, 0, 1.6], lens: 24 mm}}
%s`, key, tube, strings.Join(more, "\n"))},
	}
	show, problems := showfile.LoadFS(files, "test")
	require.False(t, problems.HasErrors(), "%v", problems)
	place, problems := compile.Location(show, show.Locations[0])
	require.NotNil(t, place, "%v", problems)
	set, problems := stage.Build(place)
	require.NotNil(t, set, "%v", problems)
	light, err := transport.Compute(context.Background(), &set.Place, transport.Options{Texels: 800})
	require.NoError(t, err)
	lit := transport.NewLit(&set.Place, light)
	reader, err := meter.New(set, lit, place.Location.Setups[0])
	require.NoError(t, err)
	still, _, problems := place.Still(show.Look(place.Location, "set"))
	require.False(t, problems.HasErrors(), "%v", problems)
	reader.Set(place.Frame(still, false))
	return reader, set, lit
}

func groupOf(t *testing.T, r meter.Reading, name string) meter.GroupReading {
	for _, g := range r.Groups {
		if g.Group == name {
			return g
		}
	}
	require.FailNow(t, "no group", name)
	return meter.GroupReading{}
}

// The worked set-up of trade.md section 12: a key of 8000 cd, 2.9 m up and 5.5 m from a
// face at 1.6 m, gives 250.5 lx at full and 120 lx at 0.479; the tube gives 120.8 lx at
// 2 m, and 40 lx at 0.331. (key + fill) : fill is 4 : 1, which is 3 : 1 key to fill.
func TestWorkedSetUp(t *testing.T) {
	m, _, _ := metered(t, 100, 100)
	r := m.Marks()[0]
	require.InEpsilon(t, 250.5, groupOf(t, r, "key").Lux, 0.005)
	require.InEpsilon(t, 120.8, groupOf(t, r, "tube").Lux, 0.005)

	m, _, _ = metered(t, 47.9, 33.1)
	r = m.Marks()[0]
	key, tube := groupOf(t, r, "key"), groupOf(t, r, "tube")
	require.InEpsilon(t, 120, key.Lux, 0.005)
	require.Nil(t, key.UnderKey)
	require.InEpsilon(t, 40, tube.Lux, 0.005)
	require.InDelta(t, math.Log2(3), *tube.UnderKey, 0.01)
	// The tube is behind the face: nothing of it falls on what looks at the camera.
	require.InDelta(t, 0, tube.Camera, 1e-9)
	require.Nil(t, r.Ratio, "a key with nothing beside it has no ratio")
	// 120 lx is what ISO 800, T2.8, 24 fps and 180 degrees ask for; the camera looks
	// level, the key comes from 13.3 degrees over it.
	require.InEpsilon(t, 120*5.5/5.652, r.Lux, 0.005)
	require.InDelta(t, math.Log2(5.5/5.652), r.Over, 0.01)
	require.InEpsilon(t, 2*math.Sqrt2*math.Sqrt(5.5/5.652), r.Stop, 0.005)
}

// The margin of a spot reading is the clip margin that colour/camera tells for the
// light and its excess.
func TestSpotsKeepTheClipMargin(t *testing.T) {
	m, set, _ := metered(t, 100, 0)
	r := m.Marks()[0]
	view, err := set.Plan.Show.Camera.View()
	require.NoError(t, err)
	typ := set.Plan.Cells[0].Lamp.Lamp.Type
	excess, hottest := view.Excess(typ.Emitters[0].Spectrum)
	want := camera.Exposure{KeyLux: set.Plan.Show.Camera.KeyLux(), OverStops: 6}
	require.Equal(t, []string{"skin", "white"}, []string{r.Spots[0].Name, r.Spots[1].Name})
	for _, s := range r.Spots {
		require.Equal(t, hottest, s.Hottest)
		require.InDelta(t, want.ClipMargin(r.Lux, excess, s.Reflectance), s.Margin, 0.01)
	}
}

// A tube in shot: 1600 lm, 40 mm by 1.15 m, has 11 070 cd/m² as a front strip, which is
// +10.7 stops over grey under a key of 120 lx, and is 6 stops over at 4 % (trade.md
// section 2).
func TestLampInShot(t *testing.T) {
	m, set, _ := metered(t, 100, 100)
	// Turned to the camera, it is seen by the balance white; its own spectrum is
	// some stops off in the hottest channel.
	lamps := m.Lamps()
	require.Len(t, lamps, 1, "the key hangs behind the camera")
	require.Equal(t, "tube", lamps[0].ID)
	view, err := set.Plan.Show.Camera.View()
	require.NoError(t, err)
	excess, _ := view.Excess(set.Plan.Cells[1].Lamp.Lamp.Type.Emitters[0].Spectrum)
	require.InDelta(t, 10.7+excess, lamps[0].Over, 0.05)
	require.True(t, lamps[0].Clips)
	require.InEpsilon(t, 0.04*math.Exp2(-excess), lamps[0].KeepColour, 0.05)
}

// The darkest floor is where the least light falls straight down: here at the far end
// of the walk, from the tube over it and the key.
func TestFloor(t *testing.T) {
	m, _, _ := metered(t, 0, 100)
	f, ok := m.Floor()
	require.True(t, ok)
	require.Equal(t, "walk", f.Walk)
	require.InDelta(t, 2, f.At.X, 1e-9)
	// Lambert strip facing -y: I = F/π·cos; by hand over 1000 pieces of it.
	want := 0.0
	for i := range 1000 {
		x := (float64(i)+0.5)/1000*1.15 - 0.575
		dx, dy, dz := 2-x, -2.0, -1.58
		d2 := dx*dx + dy*dy + dz*dz
		want += 1.6 / math.Pi * (-dy / math.Sqrt(d2)) * (-dz / math.Sqrt(d2)) / d2
	}
	require.InEpsilon(t, want, f.MinLux, 0.005)
}

// An operator of 1.8 m hides what is under h_lamp - (h_lamp - h_op)·D/d of what stands
// D from the lamp, d being the operator's distance (trade.md section 11, similar
// triangles): from 2 m before the mark, 0.98 m and not the face; from close to it the
// face and more.
func TestOperatorsShadow(t *testing.T) {
	_, set, lit := metered(t, 100, 0)
	require.InDelta(t, 0.98, photometry.ShadowTop(2.9, 1.8, 3.15, 5.5), 0.01)
	require.Greater(t, photometry.ShadowTop(2.9, 1.8, 4.85, 5.5), 1.6)
	for _, c := range []struct{ y, least, most float64 }{{-2, 0, 0}, {-0.3, 6, 99}} {
		m, err := meter.New(set, lit, &cues.Setup{Camera: cues.Point{0, c.y, 1.5}, LookAt: cues.Point{0, 0, 1.6}, LensMM: 24})
		require.NoError(t, err)
		still, _, _ := set.Plan.Still(set.Plan.Location.Looks[0])
		m.Set(set.Plan.Frame(still, false))
		shadow := m.Marks()[0].Shadow
		require.True(t, shadow >= c.least && shadow <= c.most, "%v stops from y = %v", shadow, c.y)
	}
}

func TestMainsAndFlips(t *testing.T) {
	m, _, _ := metered(t, 100, 0)
	mains := m.Mains()
	// 50 Hz at 24 frames: 172.8 degrees; 60 Hz: 144 (trade.md section 4).
	require.InDelta(t, 172.8, float64(mains[0].Nearest), 1e-6)
	require.False(t, mains[0].Safe)
	require.InDelta(t, 0.040, mains[0].Ripple, 0.001)
	require.InDelta(t, 4, mains[0].Beat, 1e-9)
	require.Zero(t, mains[1].Beat, "120 is a multiple of 24")
	flips := m.Flips()
	require.InDelta(t, 0.5, flips[0].Split, 1e-9)
	require.InDelta(t, 1, flips[1].Split, 0.01)
}

// What groups give a receptor adds up to what all give.
func TestGroupsAddUp(t *testing.T) {
	m, _, _ := metered(t, 60, 80)
	r := m.Marks()[0]
	sum := 0.0
	for _, g := range r.Groups {
		sum += g.Camera
	}
	require.InEpsilon(t, r.Lux, sum, 1e-6)
}

// Who stands at the mark steps aside for the meter: it reads what it reads without them.
func TestPeopleStepAsideForTheMeter(t *testing.T) {
	m, _, _ := metered(t, 100, 100, "stand-ins: {dancer: {at: a, height: 1.75 m}, far: {at: [3, 3, 0], height: 1.75 m}}")
	r := m.Marks()[0]
	require.InEpsilon(t, 250.5, groupOf(t, r, "key").Lux, 0.02, "and a little from who stays")
	require.InEpsilon(t, 120.8, groupOf(t, r, "tube").Lux, 0.02)
}

// Darkness has figures that can be printed and sent.
func TestDarkness(t *testing.T) {
	m, _, _ := metered(t, 0, 0)
	for _, r := range m.Marks() {
		require.Zero(t, r.Lux)
		require.Equal(t, -99.0, r.Over)
		for _, s := range r.Spots {
			require.False(t, math.IsInf(s.Margin, 0))
			require.Equal(t, [3]*float64{}, s.Over)
		}
	}
}
