package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// smallShow is a show of two lamps on a floor, quick to compute.
var smallShow = map[string]string{
	"show.yaml": "title: Small\ntimeline: 24 fps\ncamera: {iso: 800, stop: T2, shutter: 180 deg, fps: 24, balance: 4300 K, over: 6 stops, under: 8 stops}\nsafety: {floor-light: {on: edge, level: 0%, colour: 4300 K}}\n",
	"kit.yaml":  "P1: {type: panel-rgbww, mode: 16-bit}\nP2: {type: panel-rgbww, mode: 16-bit}\n",
	"locations/place.yaml": `
set: [{box: floor, at: [0, 0, -0.1], size: [1, 1, 0.1], albedo: 0.3}]
marks: {a: [0.5, 0.5, 0]}
rig:
  key: {lamp: P1, at: [0.5, -2, 2], aim: [0.5, 0.5, 1.6], address: 0:0:1.001}
  edge: {lamp: P2, at: [0.5, 3, 2], aim: [0.5, 0.5, 1.6], address: 0:0:1.101}
groups: {key: [key], edge: [edge]}
looks: {look: {paint: [{on: key, colour: 4300 K, level: 50%}, {on: edge, colour: 4300 K, level: -2 stops under key at a}]}}
cues: [{look: look, fade: 0 s}]
`,
}

// A daemon has the light of its place computed by a process of its own, keeps it, and
// has it at once the next time.
func TestServeHasLightComputed(t *testing.T) {
	dir := t.TempDir()
	for name, text := range smallShow {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	}
	var first string
	t.Run("computed", func(t *testing.T) {
		d := startDaemon(t, "serve", dir, "--dry", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.201")
		outside.AwaitWork(t, "the light is computed", func() bool {
			l := d.state().Light
			first = l.Hash
			return l.Stage == "bounced"
		})
	})
	require.Len(t, first, 32)
	require.FileExists(t, filepath.Join(dir, "cache", first+".light"))
	t.Run("kept", func(t *testing.T) {
		d := startDaemon(t, "serve", dir, "--dry", "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.201")
		require.Equal(t, "bounced", d.state().Light.Stage)
		require.Equal(t, first, d.state().Light.Hash)
	})
}
