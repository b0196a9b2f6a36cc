package main

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
)

// takeState is the part of /api/state that is about takes.
type takeState struct {
	Look   string `json:"look"`
	Hot    bool   `json:"hot"`
	Take   *struct{ ID, Number int }
	AsShot *struct {
		Lamps struct {
			Same   int
			Solved []any
		}
	} `json:"as_shot"`
}

// A night in short: roll, a cue, a photo, cut; then the take is listed, compared, put
// back, and read by the command while the daemon runs.
func TestTakesOfADaemon(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	d := startDaemon(t, "demo", "--show", dir, "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.240", "--artnet-port", fmt.Sprint(outside.FreePort(t)))
	d.do("take", `{"do": "roll", "scene": "012", "slate": "A", "setup": "wide", "note": "she surfaces"}`)
	var st takeState
	d.get("/api/state", &st)
	require.True(t, st.Hot)
	require.Equal(t, 1, st.Take.Number)
	d.do("cue", `{"cue": 3, "fade": "200 ms", "spread": "0 s"}`)
	outside.Await(t, "the fade ends", func() bool { return d.state().Fade == nil })
	d.do("take", `{"do": "cut", "circled": true}`)

	var list struct {
		Takes []struct {
			ID      int
			Scene   string
			Looks   []string
			Circled bool
		}
		Total int
	}
	d.get("/api/takes?look=tide", &list)
	require.Equal(t, 1, list.Total)
	require.Equal(t, "012", list.Takes[0].Scene)
	require.Equal(t, []string{"neutral", "tide"}, list.Takes[0].Looks)

	d.do("cue", `{"look": "warden"}`)
	d.do("as-shot", `{"take": 1, "event": 3, "fade": "100 ms"}`)
	outside.Await(t, "the take is on", func() bool { return d.state().Fade == nil })
	d.get("/api/state", &st)
	require.Equal(t, "as shot 012/A/1", st.Look)
	require.Empty(t, st.AsShot.Lamps.Solved)
	var differs struct {
		Lamps []struct {
			Rig, State string
			Stops      float64
		}
	}
	outside.Await(t, "the set is as it was", func() bool {
		d.get("/api/takes/1/differs?event=3", &differs)
		return differs.Lamps[0].State == "near"
	})
	require.Equal(t, len(differs.Lamps), st.AsShot.Lamps.Same)
	d.get("/api/takes/1/differs", &differs)
	require.Equal(t, "differs", differs.Lamps[0].State, "at roll another look was on")

	photograph(t, d)
	rows := takesCSV(t, dir)
	require.Equal(t, []string{"012", "A", "wide", "1"}, rows[1][4:8])
	code, out, _ := command(t, "", "takes", dir)
	require.Equal(t, exitDone, code)
	require.Contains(t, out, "012/A/1 (circled)")
	require.Contains(t, out, "she surfaces")
	code, out, _ = command(t, "", "takes", dir, "--edl", "--scene", "012")
	require.Equal(t, exitDone, code)
	require.Contains(t, out, "TITLE: Tidewater\nFCM: NON-DROP FRAME\n001  012AT1   V     C        ")
	require.Contains(t, out, " CYAN    CUE 3 tide, FADE 0.2 S\n")
	code, out, _ = command(t, "", "takes", dir, "--json", "--look", "no such look")
	require.Equal(t, exitDone, code)
	require.JSONEq(t, `{"takes": []}`, out)
	code, out, _ = command(t, "", "takes", dir, "--take", "1", "--differs", "1")
	require.Equal(t, exitDone, code)
	require.Contains(t, out, "near")
}

// photograph sends a picture and reads it back.
func photograph(t *testing.T, d *daemon) {
	var picture bytes.Buffer
	require.NoError(t, jpeg.Encode(&picture, image.NewGray(image.Rect(0, 0, 64, 48)), nil))
	res, err := http.Post(d.url+"/api/takes/1/photos", "image/jpeg", &picture)
	require.NoError(t, err)
	text, _ := io.ReadAll(res.Body)
	res.Body.Close()
	require.Equal(t, http.StatusCreated, res.StatusCode, "%s", text)
	res, err = http.Get(d.url + "/api/takes/1/photos/1")
	require.NoError(t, err)
	defer res.Body.Close()
	size, err := jpeg.DecodeConfig(res.Body)
	require.NoError(t, err)
	require.Equal(t, 64, size.Width)
	res, err = http.Post(d.url+"/api/takes/1/photos", "image/png", strings.NewReader("no picture"))
	require.NoError(t, err)
	defer res.Body.Close()
	text, _ = io.ReadAll(res.Body)
	require.Equal(t, http.StatusBadRequest, res.StatusCode, "%s", text)
	require.Contains(t, string(text), "no JPEG and no PNG")
}

func takesCSV(t *testing.T, dir string) [][]string {
	code, out, stderr := command(t, "", "takes", dir, "--csv")
	require.Equal(t, exitDone, code, stderr)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	return rows
}

// A daemon that is killed in the middle of takes and cues has every take that it has
// acknowledged, and starts again in the look that was on.
func TestTakesOfADaemonSurviveKill9(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "tidewater")
	random := rand.New(rand.NewPCG(27, 9))
	port := fmt.Sprint(outside.FreePort(t))
	cuts := map[int]bool{}
	for range 4 {
		child := exec.Command(os.Args[0], "demo", "--show", dir, "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.244", "--artnet-port", port)
		child.Env = append(os.Environ(), asDaemon+"=1")
		child.Stderr = os.Stderr
		out, err := child.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, child.Start())
		scan := bufio.NewScanner(out)
		d := &daemon{t: t}
		for d.url == "" && scan.Scan() {
			if url, ok := strings.CutPrefix(scan.Text(), "page: "); ok {
				d.url = strings.TrimSuffix(url, "/")
			}
		}
		go func() { _, _ = io.Copy(io.Discard, out) }()
		stop := time.AfterFunc(time.Duration(100+random.IntN(900))*time.Millisecond, func() { _ = child.Process.Kill() })
		shootUntilKilled(d, cuts)
		stop.Stop()
		_ = child.Wait()
	}
	require.NotEmpty(t, cuts)
	got := map[int]bool{}
	_, text, _ := command(t, "", "takes", dir, "--json")
	var kept struct {
		Takes []struct {
			ID     int
			Broken bool
		}
	}
	if text == "" { // the newest daemon was killed before it had checkpointed: the log is read with it
		t.Fatal("no takes")
	}
	require.NoError(t, json.Unmarshal([]byte(text), &kept))
	for _, k := range kept.Takes {
		got[k.ID] = !k.Broken
	}
	for id := range cuts {
		require.True(t, got[id], "take %d was acknowledged as cut", id)
	}
	d := startDaemon(t, "demo", "--show", dir, "--listen", "127.0.0.1:0", "--artnet-bind", "127.0.3.244", "--artnet-port", port)
	require.NotEmpty(t, d.state().Look)
}

// shootUntilKilled shoots takes with cues until the daemon answers no more.
func shootUntilKilled(d *daemon, cuts map[int]bool) {
	ask := func(verb, body string) (ok bool, id int, kept bool) {
		res, err := http.Post(d.url+"/api/"+verb, "application/json", strings.NewReader(body))
		if err != nil {
			return false, 0, false
		}
		defer res.Body.Close()
		var a struct {
			State struct {
				LastTake *struct {
					ID   int
					Kept *bool
				} `json:"last_take"`
			}
		}
		if json.NewDecoder(res.Body).Decode(&a) != nil {
			return false, 0, false
		}
		if l := a.State.LastTake; l != nil {
			return true, l.ID, l.Kept != nil && *l.Kept
		}
		return true, 0, false
	}
	for n := 0; ; n++ {
		if ok, _, _ := ask("take", `{"do": "roll", "scene": "12", "slate": "A"}`); !ok {
			return
		}
		if ok, _, _ := ask("cue", fmt.Sprintf(`{"cue": %d}`, n%2+1)); !ok {
			return
		}
		ok, id, kept := ask("take", `{"do": "cut"}`)
		if !ok {
			return
		}
		if kept {
			cuts[id] = true
		}
	}
}
