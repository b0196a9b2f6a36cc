package edit_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/showfile/edit"
)

// onDisk writes the small show into a folder.
func onDisk(t testing.TB) string {
	dir := t.TempDir()
	for name, data := range smallShow(t) {
		writeFile(t, dir, name, data)
	}
	return dir
}

func writeFile(t testing.TB, dir, name string, data []byte) {
	path := filepath.Join(dir, filepath.FromSlash(name))
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	require.NoError(t, os.WriteFile(path, data, 0o644))
}

func readFile(t testing.TB, dir, name string) string {
	data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
	require.NoError(t, err)
	return string(data)
}

func open(t testing.TB, dir string) *edit.Editor {
	t.Helper()
	e, problems, err := edit.Open(dir)
	require.NoError(t, err)
	require.Empty(t, problems.Errors())
	require.NotNil(t, e)
	return e
}

// level is an edit of a paint of the warden's look.
func level(number int, text string) edit.Edit {
	return edit.Edit{Do: edit.Change, What: edit.Paint, Of: "warden", Number: number, Fields: map[string]string{"level": text}}
}

// note is an edit of a cue of the deep end.
func note(number int, text string) edit.Edit {
	return edit.Edit{Do: edit.Change, What: edit.Cue, Location: "deep-end", Number: number, Fields: map[string]string{"note": text}}
}

func apply(t testing.TB, e *edit.Editor, edits ...edit.Edit) edit.Result {
	t.Helper()
	r, err := e.Apply(e.Revision(), edits...)
	require.NoError(t, err)
	return r
}

func TestApply(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	before := readFile(t, dir, "show.yaml")
	old := e.Show()
	r := apply(t, e, level(1, "25%"))
	require.True(t, r.Changed)
	require.Equal(t, uint64(2), r.Revision)
	require.Equal(t, `change paint 1 of look "warden": level 25%`, r.Words)
	require.Equal(t, strings.Replace(before, "level: 30%", "level: 25%", 1), readFile(t, dir, "show.yaml"))
	require.Equal(t, before, readFile(t, dir, "show.yaml.bak"), "the generation before is kept")
	require.Same(t, r.Show, e.Show())
	require.Equal(t, 0.25, e.Show().Look(nil, "warden").Paint[0].Level.Value)
	require.Equal(t, 0.3, old.Look(nil, "warden").Paint[0].Level.Value, "the show before is not touched")
	require.NoFileExists(t, filepath.Join(dir, "kit.yaml.bak"))

	again := apply(t, e, level(1, "25%"))
	require.False(t, again.Changed, "it is so already")
	require.Equal(t, uint64(2), again.Revision)
}

// Preview says what would change and changes nothing.
func TestPreview(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	before := readFile(t, dir, "show.yaml")
	r, err := e.Preview(1, edit.Edit{Do: edit.Rename, What: edit.Character, Name: "warden", To: "keeper"})
	require.NoError(t, err)
	var list []string
	for _, c := range r.Changes {
		list = append(list, c.Pos.String()+": "+c.What)
	}
	require.Equal(t, []string{
		`show.yaml:9:3: character "warden" is named "keeper"`,
		`show.yaml:14:12: look "warden" wears it`,
		`show.yaml:25:47: paint 1 of look "both" has its colour "lead"`,
		`show.yaml:26:29: paint 2 of look "both" has its colour "second"`,
		`show.yaml:7:36: work-light has its colour "lead"`,
		`locations/deep-end.yaml:24:49: paint 2 of look "mist" has its colour "lead"`,
	}, list)
	require.NotNil(t, r.Show.Character("keeper"))
	require.Nil(t, e.Show().Character("keeper"))
	require.Equal(t, before, readFile(t, dir, "show.yaml"))
	require.Equal(t, uint64(1), e.Revision())
}

// Several edits are one: all or none, and one step to undo.
func TestApplyAllOrNone(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	before := readFile(t, dir, "show.yaml")
	_, err := e.Apply(1, level(1, "25%"), note(9, "x"))
	requireCode(t, err, cues.CodeUnknownCue)
	_, err = e.Apply(1, level(1, "25%"), level(2, "140%"))
	requireCode(t, err, cues.CodeOutOfRange)
	require.Equal(t, before, readFile(t, dir, "show.yaml"))
	apply(t, e, level(1, "25%"), note(1, "x"))
	_, err = e.Undo(2)
	require.NoError(t, err)
	require.Equal(t, before, readFile(t, dir, "show.yaml"))
	require.NotContains(t, readFile(t, dir, "locations/deep-end.yaml"), "note: x")
}

func requireCode(t testing.TB, err error, code string) *cues.Problem {
	t.Helper()
	p, ok := errors.AsType[*cues.Problem](err)
	require.True(t, ok, "%v", err)
	require.Equal(t, code, p.Code, "%v", err)
	require.NotEmpty(t, p.Why)
	require.NotEmpty(t, p.Mend)
	return p
}

// An edit for an older show is refused with what changed since.
func TestStale(t *testing.T) {
	e := open(t, onDisk(t))
	apply(t, e, level(1, "25%"))
	apply(t, e, note(1, "places"))
	_, err := e.Apply(1, level(1, "20%"))
	requireCode(t, err, cues.CodeEditStale)
	stale, ok := errors.AsType[*edit.StaleError](err)
	require.True(t, ok)
	require.Equal(t, &edit.StaleError{Asked: 1, Now: 3, Whole: true,
		Since: []string{`change paint 1 of look "warden": level 25%`, `change cue 1 at deep-end: note places`}}, stale)
	_, err = e.Undo(2)
	requireCode(t, err, cues.CodeEditStale)
	_, err = e.Apply(99, level(1, "20%"))
	requireCode(t, err, cues.CodeEditStale)
}

// A change by hand is noticed before an edit is written: it is taken in, and the
// edit refused.
func TestByHand(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	hand := strings.Replace(readFile(t, dir, "locations/pier.yaml"), "fade: 3 s", "fade: 5 s, note: slower", 1)
	writeFile(t, dir, "locations/pier.yaml", []byte(hand))
	_, err := e.Apply(1, level(1, "25%"))
	requireCode(t, err, cues.CodeEditByHand)
	byHand, ok := errors.AsType[*edit.HandError](err)
	require.True(t, ok)
	require.NoError(t, byHand.Err)
	require.Equal(t, []string{"locations/pier.yaml"}, byHand.Files)
	require.Equal(t, uint64(2), byHand.Result.Revision)
	require.Equal(t, 5.0, e.Show().Location("pier").Cues[0].Fade.Amount)
	apply(t, e, edit.Edit{Do: edit.Change, What: edit.Cue, Location: "pier", Number: 1, Fields: map[string]string{"fade": "6 s"}})
	require.Equal(t, strings.Replace(hand, "5 s", "6 s", 1), readFile(t, dir, "locations/pier.yaml"))
	_, err = e.Apply(1, level(1, "25%"))
	require.ErrorContains(t, err, "by hand: locations/pier.yaml")
}

// A file that was broken by hand is refused, the show stays as it was read last,
// and nothing is written until it is mended.
func TestBrokenByHand(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	sound := readFile(t, dir, "show.yaml")
	broken := strings.Replace(sound, "level: 30%", "level: much", 1)
	writeFile(t, dir, "show.yaml", []byte(broken))
	show := e.Show()
	_, err := e.Reread()
	requireCode(t, err, cues.CodeBadLevel)
	_, err = e.Apply(1, note(1, "x"))
	requireCode(t, err, cues.CodeEditByHand)
	require.ErrorContains(t, err, "cannot be read as a show")
	require.Same(t, show, e.Show())
	require.Equal(t, uint64(1), e.Revision())
	require.Equal(t, broken, readFile(t, dir, "show.yaml"))

	writeFile(t, dir, "show.yaml", []byte(sound))
	r, err := e.Reread()
	require.NoError(t, err)
	require.False(t, r.Changed)
	apply(t, e, note(1, "x"))
}

// A location that comes or goes is a change by hand as well.
func TestLocationsComeAndGo(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	apply(t, e, edit.Edit{Do: edit.Change, What: edit.TheLocation, Location: "pier", Fields: map[string]string{"title": "Quay"}})
	writeFile(t, dir, "locations/quay.yaml", []byte("marks: {a: [0, 0, 0]}\n"))
	r, err := e.Reread()
	require.NoError(t, err)
	require.True(t, r.Changed)
	require.NotNil(t, r.Show.Location("quay"))
	require.NoError(t, os.Remove(filepath.Join(dir, "locations", "pier.yaml")))
	r, err = e.Reread()
	require.NoError(t, err)
	require.Nil(t, r.Show.Location("pier"))
	_, err = e.Undo(e.Revision())
	requireCode(t, err, cues.CodeUndoBlocked)
}

// A show with errors is not edited.
func TestOpenBroken(t *testing.T) {
	dir := onDisk(t)
	writeFile(t, dir, "kit.yaml", []byte("K1: {type: nothing}"))
	e, problems, err := edit.Open(dir)
	require.NoError(t, err)
	require.Nil(t, e)
	require.True(t, problems.HasErrors())
	_, problems, err = edit.Open(filepath.Join(dir, "nowhere"))
	require.True(t, err != nil || problems.HasErrors())
}

// When a file cannot be written, none is changed.
func TestWriteFails(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	apply(t, e, level(1, "25%"))
	before := readFile(t, dir, "show.yaml")
	// A folder that is in the way of the second file.
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "show.yaml.bak.d"), 0o755))
	require.NoError(t, os.Remove(filepath.Join(dir, "show.yaml.bak")))
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "show.yaml.bak", "inside"), 0o755))
	_, err := e.Apply(2, level(1, "20%"), note(1, "x"))
	require.ErrorContains(t, err, "show.yaml.bak")
	require.Equal(t, before, readFile(t, dir, "show.yaml"))
	require.NotContains(t, readFile(t, dir, "locations/deep-end.yaml"), "note: x", "the first file is put back")
	require.Equal(t, uint64(2), e.Revision())
	require.NoError(t, os.RemoveAll(filepath.Join(dir, "show.yaml.bak")))
	apply(t, e, level(1, "20%"), note(1, "x"))
	_, err = open(t, dir).Undo(3)
	require.NoError(t, err)
	require.Equal(t, before, readFile(t, dir, "show.yaml"))
}

// Many at once: each edit is made once, on the show that it was made for.
func TestConcurrent(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	const people, each = 4, 5
	var wg sync.WaitGroup
	for p := range people {
		wg.Go(func() {
			for i := range each {
				for {
					add := edit.Edit{Do: edit.Add, What: edit.Mark, Location: "pier", Name: fmt.Sprintf("m%d-%d", p, i), Fields: map[string]string{"at": "[1, 2, 0]"}}
					_, err := e.Apply(e.Revision(), add)
					if err == nil {
						break
					}
					if _, stale := errors.AsType[*edit.StaleError](err); !stale {
						t.Error(err)
						return
					}
				}
				e.Show()
				e.CanUndo()
			}
		})
	}
	wg.Wait()
	require.Len(t, open(t, dir).Show().Location("pier").Marks, 1+people*each)
	require.Equal(t, uint64(1+people*each), e.Revision())
}

// A group's new name reaches the set-ups that swap and mirror it, and a mark's the figures
// that walk it.
func TestRenameReachesSetUpsAndWalks(t *testing.T) {
	dir := onDisk(t)
	e := open(t, dir)
	apply(t, e,
		edit.Edit{Do: edit.Add, What: edit.Setup, Location: "deep-end", Name: "over", Fields: map[string]string{
			"camera": "[1, 9, 2]", "look-at": "[6, 4, 1]", "lens": "24 mm", "swap": "[[edge, key]]", "mirror": "[edge]"}},
		edit.Edit{Do: edit.Add, What: edit.Mark, Location: "deep-end", Name: "crossing", Fields: map[string]string{"at": "[[1, 1, 0], [5, 4, 0]]"}},
		edit.Edit{Do: edit.Add, What: edit.StandIn, Location: "deep-end", Name: "porter", Fields: map[string]string{"walk": "crossing", "takes": "4 s"}},
	)
	r := apply(t, e,
		edit.Edit{Do: edit.Rename, What: edit.Group, Location: "deep-end", Name: "edge", To: "rim"},
		edit.Edit{Do: edit.Rename, What: edit.Mark, Location: "deep-end", Name: "crossing", To: "way"},
	)
	text := readFile(t, dir, "locations/deep-end.yaml")
	require.Contains(t, text, "swap: [[rim, key]]")
	require.Contains(t, text, "mirror: [rim]")
	require.Contains(t, text, "walk: way")
	require.NotContains(t, text, "crossing")
	setup := r.Show.Location("deep-end").Setup("over")
	require.NotNil(t, setup)
	require.Len(t, setup.Mirrors, 1)
}
