package main

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/cues/session"
	"linkboy/server"
)

// editShow is a show with someone in it, and looks that can be told apart by their bytes.
var editShow = map[string]string{
	"show.yaml": strings.Replace(smallShow["show.yaml"], "title: Small", "title: Small # stays\ncast:\n  warden: {lead: 3200 K, second: {hue: 32, sat: 60%}}", 1),
	"kit.yaml":  smallShow["kit.yaml"],
	"locations/place.yaml": strings.Replace(smallShow["locations/place.yaml"],
		"looks: {look: {paint: [{on: key, colour: 4300 K, level: 50%}, {on: edge, colour: 4300 K, level: -2 stops under key at a}]}}\ncues: [{look: look, fade: 0 s}]",
		`looks:
  look: # the first
    wears: warden
    paint:
      - {on: key, colour: lead, level: 50%}
      - {on: edge, colour: warden.second, level: 20%}
  other: {paint: [{on: edge, colour: 4300 K, level: 20%}]}
cues:
  - {look: look, fade: 0 s} # at first
  - {look: other, fade: 0 s}`, 1),
}

// editDaemon runs editShow.
func editDaemon(t *testing.T, dir, own string) *daemon {
	t.Helper()
	if _, err := os.Stat(filepath.Join(dir, "show.yaml")); err != nil {
		for name, text := range editShow {
			save(t, dir, name, text)
		}
	}
	return startDaemon(t, "serve", dir, "--listen", "127.0.0.1:0", "--light", "kept", "--artnet-bind", own, "--artnet-to", "127.0.3.242")
}

// editsJSON is what of the state edits change.
type editsJSON struct {
	Edits    *session.Edits `json:"edits"`
	Trying   string         `json:"trying"`
	Waiting  int            `json:"waiting"`
	Warnings []struct{ Code string }
}

func (d *daemon) edits() (e editsJSON) {
	d.t.Helper()
	d.get("/api/state", &e)
	return e
}

// edit asks for edits of the show as it is now.
func (d *daemon) edit(live bool, edits ...string) server.Edited {
	d.t.Helper()
	return d.edited("edit", fmt.Sprintf(`{"revision": %d, "live": %t, "edits": [%s]}`, d.edits().Edits.Revision, live, strings.Join(edits, ",")))
}

func (d *daemon) edited(verb, body string) server.Edited {
	d.t.Helper()
	status, text := d.post(verb, body)
	require.Equal(d.t, http.StatusOK, status, text)
	var done struct{ Edit server.Edited }
	require.NoError(d.t, json.Unmarshal([]byte(text), &done))
	return done.Edit
}

// refused asks for what must be refused with a code.
func (d *daemon) refused(status int, code, verb, body string) server.Problem {
	d.t.Helper()
	is, text := d.post(verb, body)
	require.Equal(d.t, status, is, text)
	var answer struct{ Error server.Problem }
	require.NoError(d.t, json.Unmarshal([]byte(text), &answer))
	require.Equal(d.t, code, answer.Error.Code, text)
	require.NotEmpty(d.t, answer.Error.Mend)
	return answer.Error
}

// shows waits until the wire has a look as it is on disk.
func (d *daemon) shows(dir, look string) {
	d.t.Helper()
	is := string(looksOf(d.t, dir, look))
	outside.Await(d.t, "look "+look+" on the wire", func() bool { return string(d.bytes()) == is })
}

// stays checks that the wire keeps some bytes for a while.
func (d *daemon) stays(bytes []byte) {
	d.t.Helper()
	for range 20 {
		require.Equal(d.t, bytes, d.bytes())
		time.Sleep(20 * time.Millisecond)
	}
}

func readShow(t *testing.T, dir, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
	require.NoError(t, err)
	return string(text)
}

const brighter = `{"do": "change", "what": "paint", "location": "place", "of": "look", "number": 1, "fields": {"level": "30%"}}`

// An edit over HTTP is on disk when it is answered, on the rig where it is live, and only
// in the pictures where it is blind; undo and redo go the same ways, also after a restart.
func TestEditsLiveAndBlind(t *testing.T) {
	dir := t.TempDir()
	d := editDaemon(t, dir, "127.0.3.241")
	d.shows(dir, "look")
	first := d.bytes()
	was := readShow(t, dir, "locations/place.yaml")

	preview := d.edited("edit", fmt.Sprintf(`{"revision": %d, "preview": true, "edits": [%s]}`, d.edits().Edits.Revision, brighter))
	require.Equal(t, []string{`change paint 1 of look "look" at place: level 30% (locations/place.yaml:12)`}, preview.Changed)
	require.Equal(t, was, readShow(t, dir, "locations/place.yaml"), "a preview writes nothing")
	require.Len(t, preview.Looks, 1)
	require.Regexp(t, `^look at place \(cue 1\): \d lamps?, `, preview.Looks[0], "what it does to the light of looks")
	require.Equal(t, uint64(1), d.edits().Edits.Revision)

	done := d.edit(true, brighter)
	require.Equal(t, preview.Changed, done.Changed)
	require.False(t, done.Waits)
	require.Equal(t, strings.Replace(was, "level: 50%", "level: 30%", 1), readShow(t, dir, "locations/place.yaml"), "all else stays")
	d.shows(dir, "look")
	second := d.bytes()
	require.NotEqual(t, first, second)

	d.edited("undo", `{"live": false}`)
	require.Equal(t, was, readShow(t, dir, "locations/place.yaml"))
	d.stays(second) // blind
	require.Equal(t, first, looksOf(t, dir, "look"))
	d.edited("redo", `{}`)
	d.stays(second)
	d.edited("undo", `{}`)
	d.shows(dir, "look")
	require.Equal(t, first, d.bytes())
	d.refused(409, "nothing-to-undo", "undo", "")
	d.edited("redo", `{}`)
	require.Equal(t, &session.Edits{Revision: 6, Undo: 1}, d.edits().Edits)
	d.shows(dir, "look")

	// A blind edit is in the pictures, and on set when the look is run again.
	d.edit(false, `{"do": "change", "what": "colour", "of": "warden", "name": "lead", "fields": {"colour": "{hue: 200, sat: 80%}"}}`)
	d.stays(second)
	d.do("cue", `{"look": "look", "fade": "0 s"}`)
	d.shows(dir, "look")
	require.NotEqual(t, second, d.bytes())
}

// Whoever is renamed is renamed everywhere, and a cue sheet changes while it runs.
func TestRenameAndCueEdits(t *testing.T) {
	dir := t.TempDir()
	d := editDaemon(t, dir, "127.0.3.243")
	d.shows(dir, "look")
	on := d.bytes()
	done := d.edit(true, `{"do": "rename", "what": "character", "name": "warden", "to": "keeper"}`)
	require.Len(t, done.Changed, 3, done.Changed)
	require.Contains(t, readShow(t, dir, "show.yaml"), "keeper: {lead: 3200 K")
	place := readShow(t, dir, "locations/place.yaml")
	require.Contains(t, place, "wears: keeper")
	require.Contains(t, place, "colour: keeper.second")
	d.stays(on)

	d.edit(true, `{"do": "change", "what": "cue", "location": "place", "number": 2, "fields": {"fade": "2 s"}}`)
	require.Contains(t, readShow(t, dir, "locations/place.yaml"), "{look: other, fade: 2 s}")
	d.do("cue", `{"cue": 2}`)
	outside.Await(t, "the fade in its new time", func() bool {
		f := d.state().Fade
		return f != nil && f.To == "other" && f.RemainingMS > 200
	})
	p := d.refused(404, "unknown-look", "edit", fmt.Sprintf(`{"revision": %d, "edits": [{"do": "change", "what": "look", "name": "lok", "location": "place", "fields": {"note": "x"}}]}`, d.edits().Edits.Revision))
	require.Contains(t, p.Mend, "look")
	p = d.refused(400, "bad-level", "edit", fmt.Sprintf(`{"revision": %d, "edits": [{"do": "change", "what": "paint", "of": "look", "number": 1, "location": "place", "fields": {"level": "much"}}]}`, d.edits().Edits.Revision))
	require.Contains(t, p.Where, "locations/place.yaml:")
	p = d.refused(400, "bad-edit", "edit", `{"revision": 1, "edits": [{"do": "paint"}]}`)
	require.Equal(t, "edits[0]", p.Where)
}

// Page and hand at once: nobody's change is lost, and each is told of the other's.
func TestEditsByPageAndByHandAtOnce(t *testing.T) {
	dir := t.TempDir()
	d := editDaemon(t, dir, "127.0.3.244")
	d.shows(dir, "look")
	old := d.edits().Edits.Revision
	d.edit(true, brighter)
	p := d.refused(409, "edit-stale", "edit", fmt.Sprintf(`{"revision": %d, "edits": [%s]}`, old, brighter))
	require.Equal(t, "revision", p.Where)
	require.Contains(t, p.Message, "level 30%", "it says what has changed since")

	now := d.edits().Edits.Revision
	hand := strings.Replace(readShow(t, dir, "locations/place.yaml"), "level: 20%}\n  other", "level: 10%} # by hand\n  other", 1)
	save(t, dir, "locations/place.yaml", hand)
	status, text := d.post("edit", fmt.Sprintf(`{"revision": %d, "edits": [%s]}`, now, strings.Replace(brighter, "30%", "80%", 1)))
	require.Equal(t, 409, status, text) // edit-by-hand, or edit-stale where the watch was first
	require.Equal(t, hand, readShow(t, dir, "locations/place.yaml"))
	d.shows(dir, "look")
	d.edit(true, strings.Replace(brighter, "30%", "80%", 1))
	require.Contains(t, readShow(t, dir, "locations/place.yaml"), "# by hand")
	d.shows(dir, "look")

	save(t, dir, "locations/place.yaml", strings.Replace(hand, "on: key, colour", "on: kye, colour", 1))
	p = d.refused(409, "edit-by-hand", "edit", fmt.Sprintf(`{"revision": %d, "edits": [%s]}`, d.edits().Edits.Revision, brighter))
	require.Regexp(t, `locations/place\.yaml:\d+:\d+`, p.Where)
	require.Contains(t, readShow(t, dir, "locations/place.yaml"), "on: kye")
}

// Undo goes on after a restart.
func TestUndoAfterARestart(t *testing.T) {
	dir := t.TempDir()
	was := ""
	t.Run("edit", func(t *testing.T) {
		d := editDaemon(t, dir, "127.0.3.245")
		d.shows(dir, "look")
		was = readShow(t, dir, "locations/place.yaml")
		d.edit(true, brighter)
		d.shows(dir, "look")
	})
	t.Run("undo", func(t *testing.T) {
		d := editDaemon(t, dir, "127.0.3.245")
		d.shows(dir, "look")
		var list server.EditList
		d.get("/api/edits", &list)
		require.Equal(t, []string{`change paint 1 of look "look" at place: level 30%`}, list.Undo)
		d.edited("undo", "")
		require.Equal(t, was, readShow(t, dir, "locations/place.yaml"))
		d.shows(dir, "look")
	})
}

// While a take rolls edits are on disk at once, and on set with the cut.
func TestEditsWaitForTheCut(t *testing.T) {
	dir := t.TempDir()
	d := editDaemon(t, dir, "127.0.3.246")
	d.shows(dir, "look")
	on := d.bytes()
	d.do("take", `{"do": "roll", "scene": "1", "slate": "A"}`)
	done := d.edit(true, brighter)
	require.True(t, done.Waits)
	require.Contains(t, readShow(t, dir, "locations/place.yaml"), "level: 30%")
	require.Equal(t, 1, d.edits().Waiting)
	d.stays(on)
	d.refused(409, "hot-set", "try", fmt.Sprintf(`{"look": "look", "live": true, "edits": [%s]}`, brighter))
	d.do("take", `{"do": "cut"}`)
	d.shows(dir, "look")
	require.NotEqual(t, on, d.bytes())
}
