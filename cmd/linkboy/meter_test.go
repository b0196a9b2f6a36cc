package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/cues/meter"
)

// workedLamp is a lamp of the worked set-up, as cues/meter's own tests have it.
const workedLamp = `
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

// workedShow writes the worked set-up of trade.md section 12: a key of 8000 cd, 2.9 m up
// and 5.5 m from a face at 1.6 m, at 0.479 of its light, and a strip tube of 1600 lm, 2 m
// behind the mark, at 0.331. Its second set-up has the key a stop down.
func workedShow(t *testing.T) string {
	dir := t.TempDir()
	m := math.Log(0.5) / math.Log(math.Cos(15*math.Pi/180))
	for name, text := range map[string]string{
		"show.yaml": "title: Worked\ntimeline: 24 fps\ncamera: {iso: 800, stop: T2.8284, shutter: 180 deg, fps: 24, balance: 4300 K, over: 6 stops}\n" +
			"safety: {floor-light: {on: tube, level: 0%, colour: 4300 K}}\n",
		"lamps/hard.yaml":  fmt.Sprintf(workedLamp, "hard", "spot", 8000*2*math.Pi/(m+1), 30.0, 53.9, 0.05, 0.05),
		"lamps/strip.yaml": fmt.Sprintf(workedLamp, "strip", "tube", 1600.0, 120.0, 168.5, 1.15, 0.04),
		"kit.yaml":         "K1: {type: hard}\nT1: {type: strip}\n",
		"locations/place.yaml": `
set: [{box: floor, at: [-5, -8, -0.1], size: [10, 16, 0.1], albedo: 0}]
marks: {a: [0, 0, 0], walk: [[0, 0, 0], [2, 0, 0]]}
rig:
  key: {lamp: K1, at: [0, -5.5, 2.9], aim: [0, 0, 1.6], address: 0:0:1.001}
  tube: {lamp: T1, at: [0, 2, 1.6], along: [1, 0, 0], aim: [0, 0, 1.6], address: 0:0:1.011}
groups: {key: [key], tube: [tube]}
looks: {set: {paint: [{on: key, colour: 4300 K, level: 47.9%}, {on: tube, colour: 4300 K, level: 33.1%}]}}
setups:
  wide: {camera: [0, -6, 1.6], look-at: [0, 0, 1.6], lens: 24 mm}
  slow: {camera: [0, -6, 1.6], look-at: [0, 0, 1.6], lens: 24 mm, fps: 60, trim: {key: -1 stops}}
cues: [{look: set, fade: 4 s on screen}]
`,
	} {
		path := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	return dir
}

// readingOf asks a daemon's meter, once its light is there.
func readingOf(t *testing.T, d *daemon, query string) (status int, r meter.Report, body string) {
	t.Helper()
	res, err := http.Get(d.url + "/api/meter" + query)
	require.NoError(t, err)
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	require.NoError(t, err)
	if res.StatusCode == http.StatusOK {
		require.NoError(t, json.Unmarshal(text, &r))
	}
	return res.StatusCode, r, string(text)
}

// The worked set-up of trade.md section 12, read over HTTP by the bytes that go out:
// 120 lx of the key, which is what T2.8 asks for at ISO 800, 24 frames and 180 degrees,
// and 40 lx of the tube, log2 3 stops under it. A stop of trim is half; 60 frames on a
// timeline of 24 play at 40 % (section 9).
func TestMeterOverHTTP(t *testing.T) {
	d := startDaemon(t, "serve", workedShow(t), "--dry", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.151")
	outside.AwaitWork(t, "the light is computed", func() bool {
		status, _, body := readingOf(t, d, "")
		require.True(t, status == http.StatusOK || strings.Contains(body, "no-light"), body)
		return status == http.StatusOK
	})
	for _, query := range []string{"", "?look=set"} {
		_, r, _ := readingOf(t, d, query)
		require.Equal(t, "set", r.Look)
		require.Equal(t, "wide", r.Setup)
		require.InEpsilon(t, 120, r.KeyLux, 0.005)
		mark := r.Marks[0]
		require.InEpsilon(t, 120, mark.Lux.ByGroup["key"], 0.005)
		require.InEpsilon(t, 40, mark.Lux.ByGroup["tube"], 0.005)
		require.InDelta(t, math.Log2(3), mark.Under["tube"], 0.01)
		require.True(t, mark.Groups[0].IsKey)
		require.InDelta(t, 172.8, *r.Flicker[0].Nearest, 1e-6)
		require.Len(t, r.Lamps, 1)
		require.True(t, r.Lamps[0].Clips)
		require.InDelta(t, 1, r.Camera.Speed, 1e-12)
		require.Equal(t, 4.0, r.Times[0].RealS)
	}
	_, slow, _ := readingOf(t, d, "?look=set&setup=slow")
	require.Equal(t, "slow", slow.Setup)
	require.InEpsilon(t, 60, slow.Marks[0].Lux.ByGroup["key"], 0.005)
	require.InEpsilon(t, 40, slow.Marks[0].Lux.ByGroup["tube"], 0.005)
	require.InDelta(t, 0.4, slow.Camera.Speed, 1e-12)
	require.InDelta(t, 1.6, slow.Times[0].RealS, 1e-9)
	require.InDelta(t, 4, *slow.Times[0].OnScreenS, 1e-9)
	require.InEpsilon(t, 120*60.0/24, slow.KeyLux, 0.005, "a shutter as wide is open for less")

	// On the set: the camera of slow sees the light that is on, which is still untrimmed.
	_, seen, _ := readingOf(t, d, "?setup=slow")
	require.InEpsilon(t, 120, seen.Marks[0].Lux.ByGroup["key"], 0.005)
	d.do("setup", `{"setup": "slow", "fade": "0 s"}`)
	outside.Await(t, "the trim is on the wire", func() bool {
		_, r, _ := readingOf(t, d, "")
		return r.Setup == "slow" && math.Abs(r.Marks[0].Lux.ByGroup["key"]/60-1) < 0.005
	})

	for query, want := range map[string]int{"?look=sett": http.StatusNotFound, "?setup=slwo": http.StatusNotFound, "?lok=set": http.StatusBadRequest} {
		status, _, body := readingOf(t, d, query)
		require.Equal(t, want, status, body)
	}
}
