package edit_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/showfile/edit"
)

// snapshot reads the YAML of a show as one text.
func snapshot(t testing.TB, dir string) string {
	files, err := edit.ReadFiles(dir)
	require.NoError(t, err)
	var b strings.Builder
	for _, name := range slices.Sorted(maps.Keys(files)) {
		fmt.Fprintf(&b, "-- %s --\n%s\n", name, files[name])
	}
	return b.String()
}

// Random edits are undone to the very bytes that were there, and made again,
// with the editor opened anew now and then.
func TestUndoRedo(t *testing.T) {
	for seed := range uint64(4) {
		dir := t.TempDir()
		for name, data := range styled(t, seed, smallShow(t)) {
			writeFile(t, dir, name, data)
		}
		e := open(t, dir)
		r := &chooser{Rand: rand.New(rand.NewPCG(seed, 3)), t: t}
		states := []string{snapshot(t, dir)}
		for len(states) < 20 {
			files, err := edit.ReadFiles(dir)
			require.NoError(t, err)
			result, err := e.Apply(e.Revision(), r.edit(twinOf(t, files)))
			if err == nil && result.Changed {
				states = append(states, snapshot(t, dir))
			}
		}
		at := len(states) - 1
		for range 60 {
			move, do := -1, e.Undo
			if r.IntN(3) == 0 {
				move, do = 1, e.Redo
			}
			result, err := do(e.Revision())
			if next := at + move; next < 0 || next >= len(states) {
				requireCode(t, err, cues.CodeNothingToUndo)
				continue
			}
			require.NoError(t, err)
			require.True(t, result.Changed)
			at += move
			require.Equal(t, states[at], snapshot(t, dir))
			if r.IntN(5) == 0 {
				before := e.Revision()
				e = open(t, dir)
				require.Equal(t, before, e.Revision())
			}
		}
	}
}

func TestUndoWords(t *testing.T) {
	e := open(t, onDisk(t))
	undo, redo := e.CanUndo()
	require.Equal(t, []string{"", ""}, []string{undo, redo})
	apply(t, e, note(1, "x"))
	r, err := e.Undo(2)
	require.NoError(t, err)
	require.Equal(t, "undo: change cue 1 at deep-end: note x", r.Words)
	undo, redo = e.CanUndo()
	require.Equal(t, []string{"", "change cue 1 at deep-end: note x"}, []string{undo, redo})
	r, err = e.Redo(3)
	require.NoError(t, err)
	require.Equal(t, "again: change cue 1 at deep-end: note x", r.Words)
	apply(t, e, note(2, "y"))
	_, err = e.Redo(5)
	requireCode(t, err, cues.CodeNothingToUndo)
}

// The last hundred edits can be undone, and no more are kept.
func TestUndoHundred(t *testing.T) {
	if testing.Short() {
		t.Skip("writes some hundred times")
	}
	dir := onDisk(t)
	e := open(t, dir)
	var after3 string
	for i := range 103 {
		if i == 3 {
			after3 = snapshot(t, dir)
		}
		apply(t, e, note(1, fmt.Sprint("n", i)))
	}
	e = open(t, dir)
	for range 100 {
		_, err := e.Undo(e.Revision())
		require.NoError(t, err)
	}
	require.Equal(t, after3, snapshot(t, dir))
	_, err := e.Undo(e.Revision())
	requireCode(t, err, cues.CodeNothingToUndo)
}

// An edit can be undone past changes by hand on other lines, with both kept; not
// where a hand has been on its lines or beside them.
func TestUndoPastHands(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	apply(t, e, note(2, "first"))
	apply(t, e, note(4, "second"))
	apply(t, e, level(1, "25%"))
	hand := func(name, old, new string) {
		text := readFile(t, dir, name)
		require.Contains(t, text, old)
		writeFile(t, dir, name, []byte(strings.Replace(text, old, new, 1)))
		_, err := e.Reread()
		require.NoError(t, err)
	}
	hand("locations/deep-end.yaml", "title: The deep end\n", "# two lines\n# by hand\ntitle: The deep end\n")
	hand("locations/deep-end.yaml", "note: second", "note: second by hand")
	_, err := e.Undo(e.Revision()) // the level, in another file
	require.NoError(t, err)
	require.Contains(t, readFile(t, dir, "show.yaml"), "level: 30%")
	before := snapshot(t, dir)
	_, err = e.Undo(e.Revision())
	p := requireCode(t, err, cues.CodeUndoBlocked)
	require.Contains(t, p.Why, "changed by hand")
	require.Equal(t, before, snapshot(t, dir))

	dir = onDisk(t)
	e = open(t, dir)
	apply(t, e, edit.Edit{Do: edit.Change, What: edit.Cue, Location: "deep-end", Number: 4, Fields: map[string]string{"look": "tide", "note": ""}})
	hand("locations/deep-end.yaml", "title: The deep end\n", "# by hand\ntitle: The deep end\n")
	hand("locations/deep-end.yaml", "  mist:\n", "  haar:\n")
	e = open(t, dir)
	_, err = e.Undo(e.Revision())
	requireCode(t, err, cues.CodeUnknownLook)
	hand("locations/deep-end.yaml", "  haar:\n", "  mist:\n")
	_, err = e.Undo(e.Revision())
	require.NoError(t, err)
	text := readFile(t, dir, "locations/deep-end.yaml")
	require.Contains(t, text, "# by hand\n")
	require.Contains(t, text, "note: many words")
}

// A history that is not of these files is dropped with a warning.
func TestHistoryLost(t *testing.T) {
	dir := onDisk(t)
	apply(t, open(t, dir), note(1, "x"))
	path := filepath.Join(dir, edit.HistoryFile)
	sound := readFile(t, dir, edit.HistoryFile)
	lost := func(text string) {
		t.Helper()
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		e, problems, err := edit.Open(dir)
		require.NoError(t, err)
		require.NotNil(t, e)
		require.Len(t, slices.DeleteFunc(slices.Clone(problems), func(p *cues.Problem) bool { return p.Code != cues.CodeHistoryLost }), 1)
		_, err = e.Undo(e.Revision())
		requireCode(t, err, cues.CodeNothingToUndo)
	}
	lost("")
	lost("{}")
	lost(sound[:len(sound)/2])
	lost(strings.Replace(sound, "note x", "note y", 1))
	lost(strings.Replace(sound, `"version":1`, `"version":2`, 1))
	text := readFile(t, dir, "locations/deep-end.yaml")
	writeFile(t, dir, "locations/deep-end.yaml", []byte(text+"# by hand\n"))
	lost(sound)
	require.NoError(t, os.WriteFile(path, []byte(sound), 0o644))
	e, _, err := edit.Open(dir)
	require.NoError(t, err)
	require.Equal(t, uint64(3), e.Revision(), "the revision goes on all the same")
}

// A change of two files that was cut short after the history, or after the first
// file, is taken back when the show is opened.
func TestCutShort(t *testing.T) {
	rename := edit.Edit{Do: edit.Rename, What: edit.Character, Name: "warden", To: "keeper"}
	for _, do := range []string{"edit", "undo", "redo"} {
		for _, written := range [][]string{nil, {"show.yaml"}, {"locations/deep-end.yaml"}, {"show.yaml", "locations/deep-end.yaml"}} {
			t.Run(fmt.Sprint(do, len(written), written), func(t *testing.T) {
				dir := onDisk(t)
				e := open(t, dir)
				if do != "edit" {
					apply(t, e, rename)
				}
				if do == "redo" {
					_, err := e.Undo(e.Revision())
					require.NoError(t, err)
				}
				before, err := edit.ReadFiles(dir)
				require.NoError(t, err)
				was := snapshot(t, dir)
				switch do {
				case "edit":
					apply(t, e, rename)
				case "undo":
					_, err = e.Undo(e.Revision())
				case "redo":
					_, err = e.Redo(e.Revision())
				}
				require.NoError(t, err)
				is := snapshot(t, dir)
				for name, data := range before {
					if !slices.Contains(written, name) {
						writeFile(t, dir, name, data)
					}
				}
				e = open(t, dir)
				if len(written) == 2 {
					require.Equal(t, is, snapshot(t, dir))
				} else {
					require.Equal(t, was, snapshot(t, dir))
				}
				undo, redo := e.CanUndo()
				undone := do == "undo" == (len(written) == 2)
				require.Equal(t, undone, undo == "", undo)
				if do != "edit" {
					require.Equal(t, undone, redo != "", redo)
				}
			})
		}
	}
}

// Hunks lead from one text to another and back, and past each other where they
// do not touch.
func TestHunks(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	random := func(lines []string) []string {
		out := slices.Clone(lines)
		for range 1 + r.IntN(3) {
			at := r.IntN(len(out))
			switch r.IntN(3) {
			case 0:
				out[at] = fmt.Sprintf("changed %d\n", r.IntN(1000))
			case 1:
				out = slices.Insert(out, at, fmt.Sprintf("new %d\n", r.IntN(1000)))
			default:
				if len(out) > 3 {
					out = slices.Delete(out, at, at+1)
				}
			}
		}
		return out
	}
	text := func(lines []string) []byte { return []byte(strings.Join(lines, "")) }
	passed := 0
	for range 5000 {
		var a []string
		for i := range 5 + r.IntN(25) {
			a = append(a, fmt.Sprintf("line %d\n", i%7))
		}
		if r.IntN(2) == 0 {
			a[len(a)-1] = "no line end"
		}
		b := random(a)
		c := random(b)
		mine, theirs := edit.Diff(text(a), text(b)), edit.Diff(text(b), text(c))
		got, err := edit.Forth(text(a), mine)
		require.NoError(t, err)
		require.Equal(t, string(text(b)), string(got))
		got, err = edit.Forth(text(b), edit.Back(mine))
		require.NoError(t, err)
		require.Equal(t, string(text(a)), string(got))
		ours, before, ok := edit.Past(mine, theirs)
		if !ok {
			continue
		}
		passed++
		// a with theirs, then mine, is c as well.
		d, err := edit.Forth(text(a), before)
		require.NoError(t, err)
		got, err = edit.Forth(d, ours)
		require.NoError(t, err)
		require.Equal(t, string(text(c)), string(got))
	}
	require.Greater(t, passed, 500)
}

// FuzzHistory reads any text as a history: what is read can be written and read
// again, and is the same.
func FuzzHistory(f *testing.F) {
	dir := onDisk(f)
	e := open(f, dir)
	apply(f, e, note(1, "x"))
	f.Add([]byte(readFile(f, dir, edit.HistoryFile)))
	f.Add([]byte(`{"version":1,"sum":"","history":null}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		h, err := edit.ParseHistory(text)
		if err != nil {
			// The checksum keeps a fuzzer out; let it at what is behind.
			var inner struct {
				History json.RawMessage `json:"history"`
			}
			if json.Unmarshal(text, &inner) != nil {
				return
			}
			if h, err = edit.ParseHistory(edit.Sealed(inner.History)); err != nil {
				return
			}
		}
		out, err := h.Text()
		require.NoError(t, err)
		back, err := edit.ParseHistory(out)
		require.NoError(t, err)
		again, err := back.Text()
		require.NoError(t, err)
		require.Equal(t, string(out), string(again))
	})
}
