package showfile_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"linkboy/cues/showfile"
)

// bigShow makes a sound show of so many tubes in one location, six to a universe.
func bigShow(lamps int) fstest.MapFS {
	var kit, rig strings.Builder
	for i := range lamps {
		port := 1 + i/6
		fmt.Fprintf(&kit, "T%d: {type: tube-rgbww-4ft, mode: 16-cell}\n", i+1)
		fmt.Fprintf(&rig, "  lane-%d: {lamp: T%d, at: [%d, %d, 0.05], along: [1, 0, 0], address: %d:%d:%d.%03d, circuit: wall-%d}\n",
			i+1, i+1, i%40*2, i/40, port>>8, port>>4&0xf, port&0xf, 1+i%6*82, i%9)
	}
	return fstest.MapFS{
		"show.yaml": {Data: []byte(`title: Big
timeline: 24 fps
cast:
  warden: {lead: {hue: 32, sat: 92%}, second: {hue: 8, sat: 85%}}
looks:
  warden:
    wears: warden
    paint: [{on: all, pattern: gradient, colours: [lead, second], level: 40%}]
safety: {floor-light: {on: all, level: 1%, colour: 3200 K}}
`)},
		"kit.yaml": {Data: []byte(kit.String())},
		"locations/field.yaml": {Data: fmt.Appendf(nil, "rig:\n%sgroups: {all: [%s]}\ncues: [{look: warden, fade: 4 s}]\n",
			rig.String(), ranges(lamps))},
	}
}

// ranges names lane-1 to lane-n in ranges of at most 500.
func ranges(n int) string {
	var parts []string
	for from := 1; from <= n; from += 500 {
		parts = append(parts, fmt.Sprintf("lane-%d..lane-%d", from, min(n, from+499)))
	}
	return strings.Join(parts, ", ")
}

// BenchmarkLoad reads a show of 30 and of 2000 lamps. Beside each, the bare
// YAML parser reads the same files into nodes: the ratio is what the schema,
// the model and the checks cost.
func BenchmarkLoad(b *testing.B) {
	for _, lamps := range []int{30, 2000} {
		fsys := bigShow(lamps)
		size := 0
		for _, f := range fsys {
			size += len(f.Data)
		}
		b.Run(fmt.Sprintf("lamps=%d/show", lamps), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(size))
			for b.Loop() {
				_, problems := showfile.LoadFS(fsys, "big")
				require.Empty(b, problems)
			}
		})
		b.Run(fmt.Sprintf("lamps=%d/yaml-alone", lamps), func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(size))
			for b.Loop() {
				for _, f := range fsys {
					var n yaml.Node
					require.NoError(b, yaml.Unmarshal(f.Data, &n))
				}
			}
		})
	}
}

// BenchmarkParse reads the small texts that a page sends.
func BenchmarkParse(b *testing.B) {
	b.Run("colour", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			showfile.ParseColour("{hue: 32, sat: 92%}")
		}
	})
	b.Run("level", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			showfile.ParseLevel("-1.5 stops under key at a")
		}
	})
	b.Run("duration", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			showfile.ParseDuration("4 s on screen")
		}
	})
}

// A big show loads without a problem, and a fault in its last line is found
// there.
func TestLoadBig(t *testing.T) {
	fsys := bigShow(2000)
	show, problems := showfile.LoadFS(fsys, "big")
	require.Empty(t, problems)
	require.Len(t, show.Locations[0].Rig, 2000)
	require.Equal(t, 32_000, show.Locations[0].Group("all").Cells())

	file := fsys["locations/field.yaml"]
	lines := strings.Count(string(file.Data), "\n")
	file.Data = append(file.Data, "setups: {wide: [}\n"...)
	_, problems = showfile.LoadFS(fsys, "big")
	require.Len(t, problems, 1)
	require.Equal(t, fmt.Sprintf("locations/field.yaml:%d:16", lines+1), problems[0].Pos.String())
}
