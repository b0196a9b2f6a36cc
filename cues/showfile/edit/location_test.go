package edit_test

import (
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/carry"
	"linkboy/cues/showfile/edit"
)

const boiler = "locations/boiler-house.yaml"

// begin is an edit that begins the boiler house from the deep end.
func begin(fields map[string]string) edit.Edit {
	all := map[string]string{"from": "deep-end"}
	maps.Copy(all, fields)
	return edit.Edit{Do: edit.Add, What: edit.TheLocation, Name: "boiler-house", Fields: all}
}

var leave = edit.Edit{Do: edit.Remove, What: edit.TheLocation, Location: "pier"}

// A location is made and taken away, undone and made again, over restarts.
func TestLocationUndoRedo(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	before := snapshot(t, dir)
	r := apply(t, e, begin(nil))
	require.Equal(t, []edit.Touch{{Pos: cues.Pos{File: boiler, Line: 1, Column: 1}, What: `add location "boiler-house": from deep-end`}}, r.Changes)
	require.NotNil(t, r.Show.Location("boiler-house"))
	made := snapshot(t, dir)
	apply(t, e, edit.Edit{Do: edit.Change, What: edit.Lamp, Location: "boiler-house", Name: "K1", Fields: map[string]string{"at": "[1, 1, 2]"}})
	moved := snapshot(t, dir)
	apply(t, e, leave)
	left := snapshot(t, dir)
	require.NoFileExists(t, filepath.Join(dir, "locations", "pier.yaml"))
	require.FileExists(t, filepath.Join(dir, "locations", "pier.yaml.bak"), "what was there is kept beside")
	states := []string{before, made, moved, left}
	for range 2 {
		for i := len(states) - 2; i >= 0; i-- {
			e = open(t, dir)
			_, err := e.Undo(e.Revision())
			require.NoError(t, err)
			require.Equal(t, states[i], snapshot(t, dir))
		}
		require.NoFileExists(t, filepath.Join(dir, boiler))
		for i := 1; i < len(states); i++ {
			e = open(t, dir)
			_, err := e.Redo(e.Revision())
			require.NoError(t, err)
			require.Equal(t, states[i], snapshot(t, dir))
		}
	}
}

// Edits of a location can come with the one that makes it.
func TestLocationWithMore(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	r := apply(t, e, begin(map[string]string{"addresses": "0:1:0.001"}),
		edit.Edit{Do: edit.Carry, What: edit.Look, Location: "deep-end", Name: "mist", To: "boiler-house"},
		edit.Edit{Do: edit.Add, What: edit.Cue, Location: "boiler-house", Fields: map[string]string{"look": "mist", "fade": "2 s"}},
		leave)
	require.Equal(t, "mist", r.Show.Location("boiler-house").Cues[0].Look)
	require.Nil(t, r.Show.Location("pier"))
	_, err := e.Undo(2)
	require.NoError(t, err)
	require.NoFileExists(t, filepath.Join(dir, boiler))
	require.NotNil(t, e.Show().Location("pier"))

	_, err = e.Apply(3, leave, edit.Edit{Do: edit.Remove, What: edit.TheLocation, Location: "deep-end"})
	requireCode(t, err, cues.CodeNoLocation)
	_, err = e.Apply(3, leave, edit.Edit{Do: edit.Change, What: edit.TheLocation, Location: "pier", Fields: map[string]string{"title": "x"}})
	requireCode(t, err, cues.CodeUnknownLocation)
}

// What a hand has done to a location that was made is never undone.
func TestLocationByHand(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	apply(t, e, begin(nil))
	text := readFile(t, dir, boiler)
	writeFile(t, dir, boiler, []byte("# by hand\n"+text))
	_, err := e.Reread()
	require.NoError(t, err)
	_, err = e.Undo(e.Revision())
	requireCode(t, err, cues.CodeUndoBlocked)
	require.Contains(t, readFile(t, dir, boiler), "# by hand")

	dir = onDisk(t)
	e = open(t, dir)
	old := readFile(t, dir, "locations/pier.yaml")
	apply(t, e, leave)
	writeFile(t, dir, "locations/pier.yaml", []byte("# by hand\n"+old))
	_, err = e.Reread()
	require.NoError(t, err)
	_, err = e.Undo(e.Revision())
	requireCode(t, err, cues.CodeUndoBlocked)
	require.Contains(t, readFile(t, dir, "locations/pier.yaml"), "# by hand")

	// A file that came in the meantime is nobody's to write over.
	dir = onDisk(t)
	e = open(t, dir)
	writeFile(t, dir, boiler, []byte(old))
	_, err = e.Apply(1, begin(nil))
	requireCode(t, err, cues.CodeEditByHand)
	require.Equal(t, old, readFile(t, dir, boiler))
}

// A location whose making, removal, undo or redo was cut short behind the history is
// taken back when the show is opened; one that was whole stays.
func TestLocationCutShort(t *testing.T) {
	for name, do := range map[string]edit.Edit{"add": begin(nil), "remove": leave} {
		for _, kind := range []string{"edit", "undo", "redo"} {
			for _, whole := range []bool{false, true} {
				t.Run(strings.Join([]string{name, kind, map[bool]string{false: "cut", true: "whole"}[whole]}, " "), func(t *testing.T) {
					dir := onDisk(t)
					e := open(t, dir)
					run := func() error { _, err := e.Apply(e.Revision(), do); return err }
					if kind != "edit" {
						require.NoError(t, run())
						run = func() error { _, err := e.Undo(e.Revision()); return err }
					}
					if kind == "redo" {
						require.NoError(t, run())
						run = func() error { _, err := e.Redo(e.Revision()); return err }
					}
					before, err := edit.ReadFiles(dir)
					require.NoError(t, err)
					require.NoError(t, run())
					after := snapshot(t, dir)
					if !whole {
						for _, file := range []string{boiler, "locations/pier.yaml"} {
							if text, was := before[file]; was {
								writeFile(t, dir, file, text)
							} else if file == boiler {
								require.NoError(t, os.RemoveAll(filepath.Join(dir, file)))
							}
						}
						for _, file := range []string{"locations/pier.yaml"} {
							if _, was := before[file]; !was {
								require.NoError(t, os.RemoveAll(filepath.Join(dir, file)))
							}
						}
						after = snapshot(t, dir)
					}
					e, problems, err := edit.Open(dir)
					require.NoError(t, err)
					require.Empty(t, problems.Errors())
					require.False(t, slices.ContainsFunc(problems, func(p *cues.Problem) bool { return p.Code == cues.CodeHistoryLost }), "%v", problems)
					require.Equal(t, after, snapshot(t, dir))
					undo, _ := e.CanUndo()
					done := kind != "undo"
					if !whole {
						done = !done
					}
					require.Equal(t, done, undo != "")
				})
			}
		}
	}
}

// The new location has the same marks, rig and groups, in every odd style, and its
// addresses follow each other with no lamp over the end of a universe.
func TestLocationBegunInStyles(t *testing.T) {
	for seed := range uint64(40) {
		files := styled(t, seed, smallShow(t))
		show := mustLoad(t, ".", files)
		after, _, p := edit.Make(show, files, begin(map[string]string{"addresses": "0:0:6.400", "looks": "yes", "cues": "yes"}))
		if p != nil {
			require.Equal(t, cues.CodeEditUnsure, p.Code, "seed %d: %v", seed, p)
			continue
		}
		next := mustLoad(t, ".", after)
		old, made := next.Location("deep-end"), next.Location("boiler-house")
		require.Len(t, made.Rig, len(old.Rig))
		port, slot := uint16(6), 400
		for i, l := range made.Rig {
			if slot+l.Lamp.Mode.Footprint-1 > 512 {
				port, slot = port+1, 1
			}
			require.Equal(t, port, l.Address.Port)
			require.Equal(t, slot, l.Address.Slot)
			slot += l.Lamp.Mode.Footprint
			l.Address = old.Rig[i].Address
		}
		made.Name, made.Title, made.File = old.Name, old.Title, old.File
		made.Set, made.StandIns, made.Setups = old.Set, old.StandIns, old.Setups
		one, other := *next, *next
		one.Locations, other.Locations = []*cues.Location{old}, []*cues.Location{made}
		require.Empty(t, differ(&one, &other), "seed %d", seed)
		for name := range files {
			require.Equal(t, string(files[name]), string(after[name]))
		}
	}
}

// moving has a look of every kind of paint at one place, and a place to carry it to.
var moving = map[string][]byte{
	"show.yaml": []byte(`camera: {fps: 24}
safety: {floor-light: {on: edge, level: 0%, colour: 4300 K}}
cast: {ada: {lead: {hue: 0, sat: 100%}, second: {hue: 40, sat: 90%}}}
looks: {base: {wears: ada, paint: [{on: key, colour: 3200 K, level: 30%}]}}
`),
	"kit.yaml": []byte("K: {type: panel-rgbacl, mode: 16-bit}\nT: {type: tube-rgbww-4ft, mode: 16-cell}\nF: {type: fog}\n"),
	"locations/hall.yaml": []byte(`marks: {a: [0, 0, 0]}
rig:
  K: {at: [0, 0, 2], aim: a, address: 0:0:1.001}
  T: {at: [1, 1, 2], along: [1, 0, 0], address: 0:0:1.101}
  F: {at: [2, 2, 0], address: 0:0:1.301}
groups: {key: [K], edge: [T], air: [F]}
looks:
  all:
    from: base
    policy: truest
    note: "odd: # {text}"
    paint:
      - {on: edge, pattern: gradient, colours: [lead, ada.second, {css: "oklch(0.7 0.15 30)"}, {nm: 520 nm, purity: 80%}], level: -1.5 stops}
      - {on: edge, pattern: halves, colours: [{shift: +131 mired, from: 5600 K}, {shift: -20.5 mired, from: 3200 K}]}
      - {on: edge, colour: {uv: [0.21, 0.4712]}, level: 33.3%}
      - {on: edge, colour: {xy: [0.313, 0.329]}, moves: {wave: sine, period: 4 beats, spread: -1 cycle, phase: 12.5%}}
      - {on: edge, moves: {wave: pulse, period: 2 s on screen, duty: 70%, depth: 60%, spread: 1.5 cycles}}
      - {on: edge, colours: [lead, second], moves: {wave: ramp, period: 8 s, between: colours, spread: 500 ms}}
      - {on: edge, pattern: alternate, colours: [lead, second], moves: {wave: sine, period: 8 s, between: colours}}
      - {on: edge, moves: {noise: passing, period: 6 s, seed: 77, spread: 1 s}}
      - {on: edge, moves: none}
      - {on: key, level: 120 lx at a}
      - {on: edge, level: -0.25 stops under key at a}
      - {on: air, set: {output: 12.5%, fan: 20}}
tempo: {bpm: 100}
`),
	"locations/yard.yaml": []byte("marks: {a: [0, 0, 0]}\ntempo: {bpm: 90}\nrig:\n  K: {at: [0, 0, 2], aim: a, address: 0:0:1.001}\n  T: {at: [1, 1, 2], along: [1, 0, 0], address: 0:0:1.101}\n" +
		"  F: {at: [2, 2, 0], address: 0:0:1.301}\ngroups: {key: [K], edge: [T], air: [F]}\n"),
}

// A look that is carried is read back as what package carry makes of it.
func TestCarryReadsBackEqual(t *testing.T) {
	show := mustLoad(t, ".", moving)
	hall, yard := show.Location("hall"), show.Location("yard")
	made, _ := carry.Look(show, show.Look(hall, "all"), hall, yard)
	require.Len(t, made.Paint, 12)
	after, _, p := edit.Make(show, moving, edit.Edit{Do: edit.Carry, What: edit.Look, Location: "hall", Name: "all", To: "yard"})
	require.Nil(t, p)
	require.Contains(t, string(after["locations/yard.yaml"]), "looks:\n  all:\n    from: base\n    policy: truest\n    paint:\n      - {on: edge,", "what is long has lines of its own")
	next := mustLoad(t, ".", after)
	read := next.Look(next.Location("yard"), "all")
	require.NotNil(t, read)
	one, other := *next, *next
	one.Looks, other.Looks = []*cues.Look{made}, []*cues.Look{read}
	require.Empty(t, differ(&one, &other), "%s", after["locations/yard.yaml"])

	_, _, p = edit.Make(next, after, edit.Edit{Do: edit.Carry, What: edit.Look, Location: "hall", Name: "all", To: "yard"})
	require.Equal(t, cues.CodeDuplicateName, p.Code)
	require.Equal(t, "locations/yard.yaml", p.File)
}
