package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/cues/session"
)

// daemon is a running `linkboy demo` or `linkboy serve`.
type daemon struct {
	t   testing.TB
	url string // the page's address, with no slash at the end
	out *lines
}

// lines collects what a command prints and hands out lines as they come.
type lines struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (l *lines) add(line string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.text.WriteString(line + "\n")
}

// String gives everything printed so far.
func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// startDaemon runs the command line and waits for its page; the daemon stops
// when the test ends, and must then have exit code 0.
func startDaemon(t testing.TB, args ...string) *daemon {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	read, write := io.Pipe()
	var stderr lockedBuffer
	code := make(chan int, 1)
	go func() {
		c := run(ctx, args, write, &stderr)
		write.Close()
		code <- c
	}()

	d := &daemon{t: t, out: &lines{}}
	page := make(chan string, 1)
	go d.listen(read, page)
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("the daemon then: %s\nstderr:\n%s", d.then(), stderr.String())
		}
		cancel()
		select {
		case c := <-code:
			require.Equal(t, exitDone, c, "the daemon's exit code; stderr:\n%s", stderr.String())
		case <-time.After(outside.Patience):
			t.Error("the daemon does not stop")
		}
	})

	select {
	case d.url = <-page:
	case c := <-code:
		code <- c
		require.FailNow(t, "the daemon stopped", "exit code %d, stderr:\n%s", c, stderr.String())
	case <-time.After(outside.Patience):
		require.FailNow(t, "no page", "stderr:\n%s", stderr.String())
	}
	return d
}

// then gives the state for the log of a test that has failed; what goes wrong there is told in
// its place.
func (d *daemon) then() string {
	client := http.Client{Jar: http.DefaultClient.Jar, Timeout: outside.Patience}
	res, err := client.Get(d.url + "/api/state")
	if err != nil {
		return err.Error()
	}
	defer res.Body.Close()
	state, err := io.ReadAll(res.Body)
	if err != nil {
		return err.Error()
	}
	return string(state)
}

// listen keeps what a daemon prints, and hands over the page's address.
func (d *daemon) listen(out io.Reader, page chan<- string) {
	scan := bufio.NewScanner(out)
	for scan.Scan() {
		d.out.add(scan.Text())
		if url, ok := strings.CutPrefix(scan.Text(), "page: "); ok {
			page <- strings.TrimSuffix(url, "/")
		}
	}
}

// lockedBuffer is a bytes.Buffer that two goroutines may use.
type lockedBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (b *lockedBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.Write(p)
}

func (b *lockedBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.String()
}

// post sends a verb and returns its status and body.
func (d *daemon) post(verb, body string) (int, string) {
	d.t.Helper()
	res, err := http.Post(d.url+"/api/"+verb, "application/json", strings.NewReader(body))
	require.NoError(d.t, err)
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	require.NoError(d.t, err)
	return res.StatusCode, string(text)
}

// do sends a verb that must be accepted.
func (d *daemon) do(verb, body string) {
	d.t.Helper()
	status, text := d.post(verb, body)
	require.Equal(d.t, http.StatusOK, status, "%s %s: %s", verb, body, text)
}

// get reads a JSON document of the API into v.
func (d *daemon) get(path string, v any) {
	d.t.Helper()
	res, err := http.Get(d.url + path)
	require.NoError(d.t, err)
	defer res.Body.Close()
	require.Equal(d.t, http.StatusOK, res.StatusCode, path)
	require.NoError(d.t, json.NewDecoder(res.Body).Decode(v))
}

// stateJSON is the part of /api/state that tests look at.
type stateJSON struct {
	Pointing *struct{ Lamp string }
	Light    *struct{ Stage, Hash string }
	Location string `json:"location"`
	Setup    string `json:"setup"`
	Look     string `json:"look"`
	Held     bool   `json:"held"`
	Moving   bool   `json:"moving"`
	Killed   bool   `json:"killed"`
	Dry      bool   `json:"dry"`
	WorkLit  bool   `json:"worklight"`
	Fade     *struct {
		From        string  `json:"from"`
		To          string  `json:"to"`
		Progress    float64 `json:"progress"`
		RemainingMS float64 `json:"remaining_ms"`
	} `json:"fade"`
	Counting *session.Counting `json:"counting"`
	Tempo    *session.Tempo    `json:"tempo"`
	Last     *session.Command  `json:"last"`
	Nodes    []struct {
		Name  string   `json:"name"`
		IP    string   `json:"ip"`
		Ports []string `json:"ports"`
		Lost  bool     `json:"lost"`
	} `json:"nodes"`
	Output struct {
		Frames     uint64 `json:"frames"`
		Universes  int    `json:"universes"`
		SendErrors uint64 `json:"send_errors"`
	} `json:"output"`
}

func (d *daemon) state() stateJSON {
	d.t.Helper()
	var s stateJSON
	d.get("/api/state", &s)
	return s
}
