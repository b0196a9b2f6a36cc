package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/showfile"
)

// crashEnv asks for the long run: with "all", 500 things to do and 60 kills, instead of
// 60 and 8.
const crashEnv = "LINKBOY_CRASHES"

// asked is what whoever worked with a daemon has been promised, over all of its lives.
type asked struct {
	done    int
	level   string          // of the newest edit that was acknowledged
	maybe   string          // of one that was under way when it died; "" for none
	look    string          // of the newest cue that was acknowledged
	mayLook string          // of one that was under way
	cuts    map[string]bool // names of takes whose cut was acknowledged as kept
}

// A daemon that is killed at any moment of edits, takes and cues comes back: the show
// loads, every edit and take that was acknowledged is there, and the look that was on is
// on the wire again.
func TestCrashesLoseNothing(t *testing.T) {
	want, lives := 60, 8
	if os.Getenv(crashEnv) == "all" {
		want, lives = 500, 60
	}
	dir := t.TempDir()
	for name, text := range editShow {
		save(t, dir, name, text)
	}
	binary, err := os.Executable()
	require.NoError(t, err)
	dice := rand.New(rand.NewPCG(9, 27))
	p := asked{level: "50%", look: "look", cuts: map[string]bool{}}
	for life := 0; p.done < want || life < lives; life++ {
		d, kill := startProcess(t, binary, "serve", dir, "--listen", "127.0.0.1:0", "--light", "kept", "--artnet-bind", "127.0.3.250", "--artnet-to", "127.0.3.242")
		d.isAsPromised(dir, &p, life)
		stop := time.AfterFunc(time.Duration(10+dice.IntN(300))*time.Millisecond, kill)
		d.workUntilKilled(&p, dir, dice)
		stop.Stop()
		kill()
	}
	_, text, _ := command(t, "", "takes", dir, "--json")
	var list struct {
		Takes []struct {
			Scene, Slate string
			Number       int
			Broken       bool
		}
	}
	require.NoError(t, json.Unmarshal([]byte(text), &list))
	whole := map[string]bool{}
	for _, k := range list.Takes {
		whole[fmt.Sprintf("%s/%s/%d", k.Scene, k.Slate, k.Number)] = !k.Broken
	}
	require.NotEmpty(t, p.cuts)
	for name := range p.cuts {
		require.True(t, whole[name], "take %s was acknowledged as cut", name)
	}
	t.Logf("%d edits, takes and cues, %d of them takes that were kept", p.done, len(p.cuts))
}

// isAsPromised checks what a daemon starts with.
func (d *daemon) isAsPromised(dir string, p *asked, life int) {
	d.t.Helper()
	show, problems := showfile.Load(dir)
	require.False(d.t, problems.HasErrors(), "life %d: %v", life, problems)
	level := show.Look(show.Locations[0], "look").Paint[0].Level.String()
	if p.maybe != "" && level == p.maybe {
		p.level = p.maybe
	}
	require.Equal(d.t, p.level, level, "life %d", life)
	require.Equal(d.t, strings.Replace(editShow["locations/place.yaml"], "level: 50%", "level: "+level, 1), readShow(d.t.(*testing.T), dir, "locations/place.yaml"))
	look := d.state().Look
	if p.mayLook != "" && look == p.mayLook {
		p.look = p.mayLook
	}
	require.Equal(d.t, p.look, look, "life %d", life)
	d.shows(dir, look)
	p.maybe, p.mayLook = "", ""
}

// workUntilKilled edits, runs cues and shoots takes until the daemon answers no more.
func (d *daemon) workUntilKilled(p *asked, dir string, dice *rand.Rand) {
	for i := 0; ; i++ {
		ok := true
		switch {
		case i%5 == 3:
			ok = d.shoot(p)
		case dice.IntN(2) == 0:
			ok = d.relevel(p, fmt.Sprintf("%d%%", 10+dice.IntN(80)))
		default:
			ok = d.flip(p, dir, []string{"look", "other"}[dice.IntN(2)])
		}
		if !ok {
			return
		}
		p.done++
	}
}

// says sends a verb to a daemon that may die at any moment; ok is false once it has.
func (d *daemon) says(verb, body string, answer any) (ok bool) {
	res, err := http.Post(d.url+"/api/"+verb, "application/json", strings.NewReader(body))
	if err != nil {
		return false
	}
	defer res.Body.Close()
	var text bytes.Buffer
	if _, err := text.ReadFrom(res.Body); err != nil {
		return false
	}
	require.Equal(d.t, http.StatusOK, res.StatusCode, "%s %s: %s", verb, body, text.String())
	return json.Unmarshal(text.Bytes(), answer) == nil
}

func (d *daemon) relevel(p *asked, level string) bool {
	var state struct{ Edits struct{ Revision uint64 } }
	res, err := http.Get(d.url + "/api/state")
	if err != nil {
		return false
	}
	defer res.Body.Close()
	if json.NewDecoder(res.Body).Decode(&state) != nil {
		return false
	}
	p.maybe = level
	if !d.says("edit", fmt.Sprintf(`{"revision": %d, "edits": [%s]}`, state.Edits.Revision, strings.Replace(brighter, "30%", level, 1)), &struct{}{}) {
		return false
	}
	p.level, p.maybe = level, ""
	return true
}

// flip runs a look. It is promised once it is remembered, which is a moment after the
// answer, as no disk may hold a cue up.
func (d *daemon) flip(p *asked, dir, look string) bool {
	if p.look == look {
		return true
	}
	p.mayLook = look
	// No two commands alike: else one is taken for a bounce of the other.
	if !d.says("cue", fmt.Sprintf(`{"look": %q, "fade": "%d ms"}`, look, 1+p.done), &struct{}{}) {
		return false
	}
	for range 200 {
		if text, err := os.ReadFile(filepath.Join(dir, stateFile)); err == nil && strings.Contains(string(text), fmt.Sprintf(`"look": %q`, look)) {
			p.look, p.mayLook = look, ""
			return true
		}
		time.Sleep(5 * time.Millisecond)
	}
	return false
}

func (d *daemon) shoot(p *asked) bool {
	var a struct {
		State struct {
			LastTake *struct {
				Scene, Slate string
				Number       int
				Kept         *bool
			} `json:"last_take"`
		}
	}
	if !d.says("take", `{"do": "roll", "scene": "12", "slate": "A"}`, &struct{}{}) || !d.says("take", `{"do": "cut"}`, &a) {
		return false
	}
	if k := a.State.LastTake; k != nil && k.Kept != nil && *k.Kept {
		p.cuts[fmt.Sprintf("%s/%s/%d", k.Scene, k.Slate, k.Number)] = true
	}
	return true
}
