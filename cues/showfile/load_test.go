package showfile_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/showfile"
)

// The base show of the golden folder, value by value as it is written there.
func TestLoadModel(t *testing.T) {
	show, problems := showfile.LoadFS(base(t), "tidewater")
	require.Empty(t, problems)
	require.Equal(t, "Tidewater", show.Title)
	require.Equal(t, 24.0, show.Timeline)
	require.Equal(t, cues.Tempo{BPM: 120, BeatsPerBar: 4}, show.Tempo)
	require.Equal(t, cues.Camera{ISO: 800, Stop: 2, ShutterDeg: 180, FPS: 24, Balance: 4300, Over: 6, Under: 8, SensorWidthMM: 24.9}, show.Camera)

	require.Len(t, show.Cast, 2)
	require.Equal(t, "warden", show.Cast[0].Name)
	lead := show.Cast[0].Colours[0]
	require.Equal(t, "lead", lead.Name)
	require.Equal(t, colour.HueSat{Hue: 32, Sat: 0.92}, lead.Colour.Form)
	require.Equal(t, cues.Pos{File: "show.yaml", Line: 6, Column: 18}, lead.Colour.At)

	require.Equal(t, []string{"K1", "T1", "T2", "T3", "T4", "P1", "F1"}, kitIDs(show))
	require.Equal(t, "the old one", show.KitLamp("K1").Note)
	require.Equal(t, "16-bit", show.KitLamp("K1").Mode.Name)
	require.Equal(t, "8-bit", show.KitLamp("P1").Mode.Name, "the first mode is the default")

	require.Equal(t, colour.Level(0.03), show.Safety.Floor.Level)
	require.Equal(t, "floor", show.Safety.Floor.On)
	require.Equal(t, colour.White{CCT: colour.CCT{T: 5600}}, show.Safety.Work.Colour.Form)
	require.Empty(t, show.Safety.Work.On)

	warden := show.Look(nil, "warden")
	require.Equal(t, cues.Alternate, warden.Paint[1].Pattern)
	require.Equal(t, "lead", warden.Paint[1].Colours[0].Cast)
	under := warden.Paint[2].Level
	require.Equal(t, cues.Level{Kind: cues.StopsUnder, Value: -1.5, Group: "key", Mark: "a", At: under.At}, under)
	require.Equal(t, cues.Solid, warden.Paint[0].Pattern)
}

func kitIDs(s *cues.Show) []string {
	var ids []string
	for _, k := range s.Kit {
		ids = append(ids, k.ID)
	}
	return ids
}

func TestLoadLocation(t *testing.T) {
	show, problems := showfile.LoadFS(base(t), "tidewater")
	require.Empty(t, problems)
	l := show.Location("deep-end")
	require.Equal(t, "The deep end", l.Title)
	require.Equal(t, "locations/deep-end.yaml", l.File)

	// at is the corner with the least coordinates: the floor's top is at 0.
	require.Equal(t, "pool floor", l.Set[0].Name)
	floor := l.Set[0].Shape.(cues.Box)
	require.InDeltaSlice(t, []float64{7, 4.5, -0.05}, floor.Centre[:], 1e-12)
	require.Equal(t, cues.Point{14, 9, 0.1}, floor.Size)
	require.Len(t, l.Mark("walk").Points, 3)

	lane := l.Lamp("lane-2")
	require.Equal(t, "T2", lane.Lamp.ID)
	require.Equal(t, cues.Point{1, 0, 0}, lane.Along)
	require.Equal(t, "0:0:1.083", lane.Address.String())
	require.Equal(t, uint16(1), lane.Address.Port)
	require.False(t, lane.HasAim)
	require.Equal(t, cues.Point{6, 4, 0}, l.Lamp("back-1").Aim, "aim at a mark")
	require.Equal(t, "wall-a", l.Lamp("lane-1").Circuit)
	require.Equal(t, "fog", l.Lamp("F1").ID, "by its kit id")

	edge, back := l.Group("edge"), l.Group("back")
	require.Equal(t, 32, edge.Cells())
	require.Equal(t, []int{0, 15}, []int{edge.Members[1].First, edge.Members[1].Last})
	require.Equal(t, 16, back.Cells())
	require.Equal(t, []int{0, 7, 15, 15, 8, 8}, []int{
		back.Members[0].First, back.Members[0].Last, back.Members[1].First, back.Members[1].Last, back.Members[8].First, back.Members[8].Last,
	}, "cells 16-9 run down")

	require.Equal(t, cues.Point{6, 4, 1}, l.Setup("wide").LookAt)
	require.Equal(t, 14.0, l.Setup("wide").LensMM)
	require.Equal(t, -1.6, l.Setup("reverse").Trims[0].Stops)

	mist := show.Look(l, "mist")
	require.Equal(t, "tide", show.Wears(l, mist).Name)
	require.Equal(t, []cues.Setting{{Param: "output", Value: 30, At: mist.Paint[0].Set[0].At}, {Param: "fan", Value: 20, At: mist.Paint[0].Set[1].At}}, mist.Paint[0].Set)

	two := l.Cues[1]
	require.Equal(t, "4 s on screen", two.Fade.String())
	require.Equal(t, cues.PathShort, two.Path)
	require.Equal(t, "edge", two.Spread.Along)
	require.Equal(t, "1.2 s", two.Spread.Over.String())
	require.Equal(t, "she surfaces", two.Note)
	require.Nil(t, two.After)
	require.Equal(t, "8 beats", l.Cues[2].After.String())
	require.Equal(t, cues.CurveSoft, l.Cues[2].Curve)
	require.Equal(t, 3, l.Cues[2].Number)
	require.True(t, l.Cues[3].Dark)
	require.True(t, l.Cues[3].Delay.IsZero())
}

func TestLoadFromDisk(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, base(t)))
	show, problems := showfile.Load(dir)
	require.Empty(t, problems)
	require.Equal(t, dir, show.Dir)

	show, problems = showfile.Load(filepath.Join(dir, "nowhere"))
	require.Nil(t, show)
	require.Equal(t, cues.CodeFileMissing, problems[0].Code)
}

// Line endings, a byte order mark and the order of keys change nothing.
func TestLoadOtherEditors(t *testing.T) {
	want, _ := showfile.LoadFS(base(t), "tidewater")
	fsys := base(t)
	for name, f := range fsys {
		text := "\ufeff" + strings.ReplaceAll(string(f.Data), "\n", "\r\n")
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	got, problems := showfile.LoadFS(fsys, "tidewater")
	require.Empty(t, problems)
	require.Equal(t, want, got)
}

func TestLoadLimits(t *testing.T) {
	tests := []struct {
		name, text, code string
	}{
		{"too many bytes", "title: " + strings.Repeat("x", 1<<20), cues.CodeFileTooBig},
		{"a million open brackets", strings.Repeat("[", 1<<20-1), cues.CodeYAMLTooDeep},
		{"a million open maps", strings.Repeat("{a: ", 1<<18-1), cues.CodeYAMLTooDeep},
		{"a million dashes", strings.Repeat("- ", 1<<19-1), cues.CodeYAMLTooDeep},
		{"a deepening ladder", ladder(400), cues.CodeYAMLTooDeep},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			fsys := base(t)
			fsys["show.yaml"] = &fstest.MapFile{Data: []byte(tt.text)}
			_, problems := showfile.LoadFS(fsys, "tidewater")
			require.Len(t, problems, 1)
			require.Equal(t, tt.code, problems[0].Code)
		})
	}
}

// ladder is a map in a map in a map, each a step further in.
func ladder(steps int) string {
	var b strings.Builder
	for i := range steps {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

func TestLoadTellsEnough(t *testing.T) {
	fsys := base(t)
	fsys["kit.yaml"] = &fstest.MapFile{Data: []byte(strings.Repeat("a b: 1\n", 2000))}
	_, problems := showfile.LoadFS(fsys, "tidewater")
	require.LessOrEqual(t, len(problems), 501)
	require.Equal(t, cues.CodeTooMany, problems[0].Code)
	require.Contains(t, problems[0].What, "more problems")
}

// denied is a file system in which one file cannot be read.
type denied struct {
	fs.FS
	file string
}

func (d denied) Open(name string) (fs.File, error) {
	if name == d.file {
		return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New("permission denied")}
	}
	return d.FS.Open(name)
}

func TestLoadUnreadable(t *testing.T) {
	for _, file := range []string{"show.yaml", "kit.yaml", "locations/deep-end.yaml", "locations"} {
		_, problems := showfile.LoadFS(denied{base(t), file}, "tidewater")
		require.NotEmpty(t, problems, file)
		require.Equal(t, cues.CodeFileRead, problems[0].Code, file)
		require.Equal(t, "permission denied", problems[0].Why, file)
	}
}

// What is in testdata/set-pieces.txtar comes out as it stands there.
func TestLoadSet(t *testing.T) {
	archive, err := txtar.ParseFile("testdata/set-pieces.txtar")
	require.NoError(t, err)
	fsys, _ := caseFiles(t, "", archive)
	show, problems := showfile.LoadFS(fsys, "tidewater")
	require.Empty(t, problems)
	l := show.Location("deep-end")

	names := []string{}
	kinds := []string{}
	for _, p := range l.Set {
		names, kinds = append(names, p.Name), append(kinds, p.Shape.Kind())
	}
	require.Equal(t, []string{"pool floor", "bench", "curtain", "pipe", "drum", "stair", "other stair", "wedge", "wedge"}, names)
	require.Equal(t, []string{"box", "box", "plane", "cylinder", "cylinder", "steps", "steps", "mesh", "mesh"}, kinds)
	require.Equal(t, cues.Albedo{0.35, 0.37, 0.4}, l.Set[0].Albedo)
	require.Equal(t, cues.Grey(0.2), l.Set[1].Albedo)
	require.Equal(t, cues.Box{Centre: cues.Point{3, 2.2, 0.225}, Size: cues.Point{2, 0.4, 0.45}, TurnDeg: 30}, l.Set[1].Shape)
	require.Equal(t, cues.Plane{Corner: cues.Point{0, 9, 0}, Along: cues.Point{4, 0, 0}, Across: cues.Point{0, 0, 3}}, l.Set[2].Shape)
	require.Equal(t, cues.Cylinder{Foot: cues.Point{1, 8, 1}, Axis: cues.Point{6, 0, 0}, Radius: 0.06}, l.Set[3].Shape)
	require.Equal(t, cues.Cylinder{Foot: cues.Point{12, 2, 0}, Axis: cues.Point{0, 0, 0.9}, Radius: 0.3}, l.Set[4].Shape)
	require.Equal(t, cues.Steps{Centre: cues.Point{12.75, 4.5, 0.6}, Size: cues.Point{1.5, 1, 1.2}, Count: 6, Rise: cues.RiseX, TurnDeg: -90}, l.Set[5].Shape)
	small, whole := l.Set[7].Shape.(cues.Mesh), l.Set[8].Shape.(cues.Mesh)
	require.Equal(t, []float64{0.01, 45, 1, 0}, []float64{small.Scale, small.TurnDeg, whole.Scale, whole.TurnDeg})
	require.Same(t, small.Triangles, whole.Triangles, "a file is read once")

	require.Equal(t, cues.Point{6, 4, 0}, l.StandIns[0].Place, "at a mark")
	require.Equal(t, l.Setup("wide").Camera, l.Facing(&l.StandIns[0]))
	require.Equal(t, cues.Point{6, 4, 0}, l.Facing(&l.StandIns[1]))
	require.Equal(t, []float64{1.75, 1.2}, []float64{l.StandIns[0].HeightM, l.StandIns[1].HeightM})
	require.Equal(t, cues.Point{2, 1, 0}, l.StandIns[2].Place, "at the first point of a walk")

	require.Equal(t, &cues.Diffusion{Factor: 0.5, WidensDeg: 40}, l.Lamp("K1").Diffusion)
	require.Equal(t, &cues.Diffusion{Factor: 0.8}, l.Lamp("step").Diffusion)
	require.Nil(t, l.Lamp("lane-1").Diffusion)

	require.Equal(t, cues.Camera{ISO: 1600, Stop: 2.8, ShutterDeg: 172.8, FPS: 50, Balance: 5600, Over: 6, Under: 8, SensorWidthMM: 36}, show.Shot(l.Setup("wide")))
	require.Equal(t, show.Camera, show.Shot(l.Setup("reverse")))
}
