package main

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/cues/session"
)

// try tries edits of a look; it must be accepted.
func (d *daemon) try(look string, live bool, edits ...string) session.Tried {
	d.t.Helper()
	status, text := d.post("try", fmt.Sprintf(`{"look": %q, "live": %t, "edits": [%s]}`, look, live, strings.Join(edits, ",")))
	require.Equal(d.t, http.StatusOK, status, text)
	var t session.Tried
	require.NoError(d.t, json.Unmarshal([]byte(text), &t))
	return t
}

// bytesWith gives the bytes of a look of a show as one replacement in a file makes it.
func bytesWith(t *testing.T, dir, look, old, text string) []byte {
	t.Helper()
	other := t.TempDir()
	require.NoError(t, os.CopyFS(other, os.DirFS(dir)))
	place := readShow(t, dir, "locations/place.yaml")
	require.Contains(t, place, old)
	save(t, other, "locations/place.yaml", strings.Replace(place, old, text, 1))
	return looksOf(t, other, look)
}

// steps is the most that any byte of 16-bit light changes from one picture of the wire to
// the next, in its coarse half.
func steps(seen [][]byte) int {
	most := 0
	for i := 1; i < len(seen); i++ {
		for k := 2; k < 12; k += 2 {
			most = max(most, int(seen[i][k])-int(seen[i-1][k]), int(seen[i-1][k])-int(seen[i][k]))
		}
	}
	return most
}

// What is tried is on no disk: blind only in the answer, live on the set by a short fade
// where its look is on, until it is let go of or anything else is run.
func TestTry(t *testing.T) {
	dir := t.TempDir()
	d := editDaemon(t, dir, "127.0.3.247")
	d.shows(dir, "look")
	on, was := d.bytes(), readShow(t, dir, "locations/place.yaml")
	wanted := bytesWith(t, dir, "look", "level: 50%", "level: 30%")

	blind := d.try("look", false, brighter)
	require.False(t, blind.Live)
	require.Empty(t, blind.Why)
	require.Len(t, blind.XYZ, 6)
	require.Len(t, blind.RGB, 6)
	require.Equal(t, "30%", blind.Paint.Layers[0].Paint[0].Level)
	as := d.try("look", false)
	require.InEpsilon(t, 0.6, blind.XYZ[1]/as.XYZ[1], 0.001, "30 % of 50 %")
	require.Equal(t, as.XYZ[3:], blind.XYZ[3:], "the other lamp as it is")
	d.stays(on)

	live := d.try("look", true, brighter)
	require.True(t, live.Live)
	require.Equal(t, blind.XYZ, live.XYZ)
	var seen [][]byte
	outside.Await(t, "it is on the set", func() bool {
		seen = append(seen, d.bytes())
		return string(d.bytes()) == string(wanted)
	})
	require.Less(t, steps(seen), 0xb9-0x94, "by a fade")
	require.Equal(t, "look", d.edits().Trying)
	require.Equal(t, "look", d.state().Look)
	require.Equal(t, was, readShow(t, dir, "locations/place.yaml"), "and in no file")
	require.Equal(t, uint64(1), d.edits().Edits.Revision)

	back := func() {
		t.Helper()
		outside.Await(t, "what was", func() bool { return string(d.bytes()) == string(on) })
		require.Empty(t, d.edits().Trying)
	}
	d.try("look", true) // let go of
	back()
	for verb, body := range map[string]string{"cue": `{"look": "look"}`, "kill": `{"on": true}`, "worklight": `{"on": true}`} {
		d.try("look", true, brighter)
		outside.Await(t, "it is on the set", func() bool { return string(d.bytes()) == string(wanted) })
		d.do(verb, body)
		require.Empty(t, d.edits().Trying, verb)
		tried := d.try("look", true, brighter)
		switch verb {
		case "kill":
			require.Equal(t, "all is killed", tried.Why)
			d.do(verb, `{"on": false}`)
		case "worklight":
			require.Equal(t, "work light is on", tried.Why)
			d.do(verb, `{"on": false}`)
		default:
			d.try("look", true)
		}
		back()
		outside.Await(t, "settled", func() bool { return d.state().Fade == nil })
	}

	other := d.try("other", true, `{"do": "change", "what": "paint", "location": "place", "of": "other", "number": 1, "fields": {"level": "60%"}}`)
	require.False(t, other.Live)
	require.Contains(t, other.Why, "other")
	d.stays(on)

	// Saving what is tried moves nothing, and a change by hand ends it.
	d.try("look", true, brighter)
	outside.Await(t, "it is on the set", func() bool { return string(d.bytes()) == string(wanted) })
	d.edit(true, brighter)
	d.shows(dir, "look")
	d.stays(wanted)
	require.Empty(t, d.edits().Trying)
	d.try("look", true, strings.Replace(brighter, "30%", "90%", 1))
	save(t, dir, "locations/place.yaml", readShow(t, dir, "locations/place.yaml")+"# by hand\n")
	save(t, dir, "show.yaml", strings.Replace(readShow(t, dir, "show.yaml"), "title: Small", "title: Other", 1))
	outside.Await(t, "the end of it", func() bool { return d.edits().Trying == "" })
	d.shows(dir, "look")
}

// What a sketch cannot make is tried by the files; what cannot be is refused as an edit is.
func TestTryByTheFiles(t *testing.T) {
	dir := t.TempDir()
	d := editDaemon(t, dir, "127.0.3.248")
	d.shows(dir, "look")
	group := `{"do": "add", "what": "group", "location": "place", "name": "both", "fields": {"lamps": "[key, edge]"}}`
	paint := `{"do": "add", "what": "paint", "location": "place", "of": "look", "fields": {"on": "both", "level": "10%"}}`
	tried := d.try("look", true, group, paint)
	require.True(t, tried.Live, tried.Why)
	require.InEpsilon(t, 0.2, tried.XYZ[1]/d.try("look", false).XYZ[1], 0.001, "10 % of 50 %")
	rig := d.try("look", true, `{"do": "change", "what": "lamp", "location": "place", "name": "edge", "fields": {"address": "0:0:1.201"}}`)
	require.Equal(t, "the edits change the rig too", rig.Why)
	p := d.refused(400, "bad-level", "try", `{"look": "look", "edits": [{"do": "change", "what": "paint", "location": "place", "of": "look", "number": 1, "fields": {"level": "much"}}]}`)
	require.Contains(t, p.Where, "locations/place.yaml:")
	d.refused(404, "unknown-look", "try", `{"look": "nobody"}`)
	d.refused(404, "unknown-group", "try", `{"look": "look", "edits": [{"do": "add", "what": "paint", "location": "place", "of": "look", "fields": {"on": "nobody", "level": "10%"}}]}`)
	_, err := os.Stat(filepath.Join(dir, ".history.json"))
	require.ErrorIs(t, err, os.ErrNotExist, "nothing was written")
}

// Many hands at once: the daemon does not fall behind, and the newest is on the set.
func TestTriesDoNotPileUp(t *testing.T) {
	dir := t.TempDir()
	d := editDaemon(t, dir, "127.0.3.249")
	d.shows(dir, "look")
	var done sync.WaitGroup
	var mu sync.Mutex
	var codes []int
	for i := range 60 {
		done.Go(func() {
			status, _ := d.post("try", fmt.Sprintf(`{"look": "look", "live": true, "edits": [%s]}`, strings.Replace(brighter, "30%", fmt.Sprintf("%d%%", 20+i), 1)))
			mu.Lock()
			defer mu.Unlock()
			codes = append(codes, status)
		})
		time.Sleep(2 * time.Millisecond)
	}
	done.Wait()
	for _, code := range codes {
		require.Contains(t, []int{http.StatusOK, http.StatusConflict}, code)
	}
	require.True(t, slices.Contains(codes, http.StatusOK))
	d.try("look", true, brighter)
	wanted := string(bytesWith(t, dir, "look", "level: 50%", "level: 30%"))
	outside.Await(t, "the newest", func() bool { return string(d.bytes()) == wanted })
}
