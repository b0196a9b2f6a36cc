package server_test

import (
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"testing/iotest"

	"github.com/stretchr/testify/require"

	"linkboy/server"
)

// Statuses and headers below are those of RFC 9110; the paths, verbs and
// fields are the daemon's outside contract.

func TestRoutesAreTheContract(t *testing.T) {
	got := newServer(t, newFake()).Routes()
	for _, methods := range got {
		slices.Sort(methods)
	}
	want := map[string][]string{
		"/healthz": {"GET"}, "/metrics": {"GET"}, "/ws": {"GET"}, "/pair": {"GET", "POST"},
		"/api/state": {"GET"}, "/api/plan": {"GET"}, "/api/frames": {"GET"}, "/api/looks/{name}/cells": {"GET"},
		"/api/edits": {"GET"}, "/api/try": {"POST"}, "/api/devices": {"GET", "POST"}, "/api/identify": {"POST"}, "/api/rigcheck": {"GET", "POST"},
		"/api/takes": {"GET"}, "/api/takes/{id}": {"GET"}, "/api/takes/{id}/differs": {"GET"},
		"/api/takes/{id}/photos": {"GET", "POST"}, "/api/takes/{id}/photos/{n}": {"GET"},
		"/api/scene": {"GET"}, "/api/light": {"GET"}, "/api/haze": {"GET"}, "/api/pairing": {"GET"}, "/api/meter": {"GET"}, "/api/looks/{name}/seen": {"GET"}, "/api/looks/{name}/still": {"GET"},
		"/api/looks/{name}/paint": {"GET"}, "/api/looks/{name}/against/{other}": {"GET"}, "/api/reach": {"GET"}, "/api/script": {"GET"},
		"/api/timeline": {"GET"}, "/api/cues/{number}/cells": {"GET"}, "/api/cues/{number}/seen": {"GET"},
	}
	for _, verb := range []string{"cue", "standby", "hold", "resume", "snap", "back", "ride", "overall", "worklight", "kill", "dry", "location", "setup", "timecode", "tempo", "edit", "undo", "redo", "take", "as-shot", "point"} {
		want["/api/"+verb] = []string{"POST"}
	}
	require.Equal(t, want, got)
}

func TestEveryVerbReachesTheDirector(t *testing.T) {
	for _, test := range []struct{ path, body, want string }{
		{"/api/cue", `{"look": "tide"}`, "cue tide fade= delay= curve= path= spread= at=-"},
		{"/api/cue", `{"cue": 3, "fade": "4 s", "delay": "1 s", "curve": "soft", "path": "short", "spread": "1.2 s along edge", "at": 0.25}`, "cue #3 fade=4 s delay=1 s curve=soft path=short spread=1.2 s along edge at=0.25"},
		{"/api/cue", `{"look": "tide", "cue": null, "at": null}`, "cue tide fade= delay= curve= path= spread= at=-"},
		{"/api/cue", `{"look": "tide", "at": 0}`, "cue tide fade= delay= curve= path= spread= at=0"},
		{"/api/standby", `{"cue": 2}`, "standby #2"},
		{"/api/standby", `{"look": "tide"}`, "standby tide"},
		{"/api/standby", `{"take": 12, "event": 3}`, "standby take 12 event=3"},
		{"/api/take", `{"do": "roll", "scene": "012", "slate": "A", "setup": "wide", "note": ""}`, "take roll 012 A -  number=- circled=- setup=wide of=0"},
		{"/api/take", `{"do": "cut", "circled": true}`, "take cut - - - - number=- circled=true setup= of=0"},
		{"/api/take", `{"do": "change", "take": 7, "number": 2, "clip": "A001C003", "circled": false}`, "take change - - A001C003 - number=2 circled=false setup= of=7"},
		{"/api/as-shot", `{"take": 12}`, "as-shot 12 event=0 fade="},
		{"/api/as-shot", `{"take": 12, "event": 3, "fade": "2 s"}`, "as-shot 12 event=3 fade=2 s"},
		{"/api/hold", ``, "hold"},
		{"/api/hold", `{}`, "hold"},
		{"/api/snap", "\n{ }\n", "snap"},
		{"/api/back", ``, "back"},
		{"/api/ride", `{"at": 1}`, "ride 1"},
		{"/api/ride", `{"at": 0}`, "ride 0"},
		{"/api/overall", `{"level": "80%"}`, "overall 80%"},
		{"/api/worklight", ``, "worklight other"},
		{"/api/worklight", `{"on": true}`, "worklight true"},
		{"/api/worklight", `{"on": false}`, "worklight false"},
		{"/api/kill", ``, "kill true"},
		{"/api/kill", `{"on": true}`, "kill true"},
		{"/api/kill", `{"on": false}`, "kill false"},
		{"/api/dry", `{"on": true}`, "dry true"},
		{"/api/point", `{"lamp": "lane-1", "dim": true}`, "point lane-1 true"},
		{"/api/point", `{"lamp": ""}`, "point  false"},
		{"/api/location", `{"name": "pump-room"}`, "location pump-room"},
		{"/api/timecode", `{"run": true, "at": "01:00:12:08"}`, "timecode run=true at=01:00:12:08"},
		{"/api/setup", `{"setup": "reverse", "fade": "2 s"}`, "setup reverse fade=2 s"},
		{"/api/setup", ``, "setup  fade="},
		{"/api/timecode", `{"run": false}`, "timecode run=false at="},
		{"/api/timecode", `{"jam": true, "offset": "-01:00:00:00"}`, "timecode run=- at= jam=true offset=-01:00:00:00"},
		{"/api/tempo", `{"bpm": 97.5, "beats_per_bar": 3}`, "tempo bpm=97.5 taps=[] beats=3 written=false"},
		{"/api/tempo", `{"taps": [0, 500.5, 1000]}`, "tempo bpm=- taps=[0 500.5 1000] beats=- written=false"},
		{"/api/tempo", `{"as_written": true}`, "tempo bpm=- taps=[] beats=- written=true"},
		{"/api/cue", `{"cue": 2, "count_in": "4 beats", "by": "key"}`, "cue #2 fade= delay= curve= path= spread= at=- in=4 beats"},
	} {
		t.Run(test.path+test.body, func(t *testing.T) {
			d := newFake()
			w := post(newServer(t, d), test.path, test.body)
			require.Equal(t, http.StatusOK, w.Code, w.Body)
			require.Equal(t, []string{test.want}, d.verbs())
			var body struct {
				OK    bool
				State map[string]any
			}
			require.NoError(t, json.Unmarshal(w.Body.Bytes(), &body))
			require.True(t, body.OK)
			require.Equal(t, "Tidewater", body.State["title"])
			require.Contains(t, body.State, "nodes")
		})
	}
}

func TestResumeOfAHeldFade(t *testing.T) {
	d := newFake()
	s := newServer(t, d)
	require.Equal(t, http.StatusOK, post(s, "/api/hold", "").Code)
	require.Equal(t, http.StatusOK, post(s, "/api/resume", "").Code)
	require.Equal(t, []string{"hold", "resume"}, d.verbs())
}

// failures is every way in which a request can go wrong before it gets to the
// director, and every kind of the director's own refusals.
var failures = []struct {
	name   string
	call   call
	status int
	code   string
	where  string
	says   string // part of the message
	mends  string // part of the mend
}{
	{"a path that is not there", call{method: "GET", path: "/nothing"}, 404, "no-such-path", "/nothing", "nothing", "/api/state"},
	{"a path nearly right", call{method: "GET", path: "/main.jss"}, 404, "no-such-path", "/main.jss", `"/main.js"`, ""},
	{"a folder of the page", call{method: "GET", path: "/set/"}, 404, "no-such-path", "/set/", "", ""},
	{"a file outside the page", call{method: "GET", path: "/%2e%2e/go.mod"}, 404, "no-such-path", "", "", ""},
	{"an API path that is not there", call{method: "POST", path: "/api/ceu", body: `{}`}, 404, "no-such-path", "/api/ceu", `"/api/cue"`, ""},
	{"a verb by GET", call{method: "GET", path: "/api/cue"}, 405, "wrong-method", "/api/cue", "GET", "POST"},
	{"a verb by PUT", call{method: "PUT", path: "/api/kill"}, 405, "wrong-method", "/api/kill", "PUT", "POST"},
	{"the state by POST", call{method: "POST", path: "/api/state", body: `{}`}, 405, "wrong-method", "/api/state", "POST", "GET or HEAD"},
	{"the page by POST", call{method: "POST", path: "/", body: `{}`}, 405, "wrong-method", "/", "POST", "GET or HEAD"},
	{"a form", call{method: "POST", path: "/api/hold", body: "a=b", header: map[string]string{"Content-Type": "application/x-www-form-urlencoded"}}, 415, "wrong-content-type", "Content-Type", "application/x-www-form-urlencoded", "application/json"},
	{"plain text, which a foreign page may send unasked", call{method: "POST", path: "/api/hold", body: "{}", header: map[string]string{"Content-Type": "text/plain"}}, 415, "wrong-content-type", "Content-Type", "text/plain", "application/json"},
	{"a body of no type", call{method: "POST", path: "/api/hold", body: "{}", header: map[string]string{"Content-Type": ""}}, 415, "wrong-content-type", "Content-Type", "", "application/json"},
	{"an empty form", call{method: "POST", path: "/api/kill", header: map[string]string{"Content-Type": "multipart/form-data"}}, 415, "wrong-content-type", "Content-Type", "multipart", "application/json"},
	{"a body too large", call{method: "POST", path: "/api/hold", body: `{"a": "` + strings.Repeat("x", server.MaxBodyBytes) + `"}`}, 413, "too-large", "body", "65536", ""},
	{"no JSON", call{method: "POST", path: "/api/hold", body: `hello`}, 400, "bad-json", "byte 1", "cannot be read", "JSON object"},
	{"broken JSON", call{method: "POST", path: "/api/cue", body: `{"look": "ti`}, 400, "bad-json", "byte 12", "unexpected end", "JSON object"},
	{"a number", call{method: "POST", path: "/api/cue", body: `5`}, 400, "bad-json", "", "not a JSON object", ""},
	{"a list", call{method: "POST", path: "/api/cue", body: `[]`}, 400, "bad-json", "", "not a JSON object", ""},
	{"something after the object", call{method: "POST", path: "/api/cue", body: `{"look": "tide"} {}`}, 400, "bad-json", "byte 18", "after top-level value", ""},
	{"text that is not UTF-8", call{method: "POST", path: "/api/cue", body: "{\"look\": \"\xff\"}"}, 400, "bad-json", "", "UTF-8", ""},
	{"a field that is not there", call{method: "POST", path: "/api/cue", body: `{"look": "tide", "fdae": "4 s"}`}, 400, "unknown-field", "fdae", `"fade"`, `"fade"`},
	{"a field nothing like any", call{method: "POST", path: "/api/cue", body: `{"brightness": 4}`}, 400, "unknown-field", "brightness", "brightness", "look, cue, fade"},
	{"a field of a verb that has none", call{method: "POST", path: "/api/hold", body: `{"on": true}`}, 400, "unknown-field", "on", `"on"`, "leave it out"},
	{"a field in the wrong case", call{method: "POST", path: "/api/cue", body: `{"Look": "tide"}`}, 400, "unknown-field", "Look", `"look"`, ""},
	{"a field twice", call{method: "POST", path: "/api/cue", body: `{"look": "tide", "look": "warden"}`}, 400, "duplicate-field", "look", "twice", ""},
	{"a look that is a number", call{method: "POST", path: "/api/cue", body: `{"look": 5}`}, 400, "bad-value", "look", "5", "quotes"},
	{"a fade without its unit", call{method: "POST", path: "/api/cue", body: `{"look": "tide", "fade": 4}`}, 400, "bad-value", "fade", "4", `"4 s"`},
	{"a cue of half", call{method: "POST", path: "/api/cue", body: `{"cue": 1.5}`}, 400, "bad-value", "cue", "1.5", ""},
	{"a cue of zero", call{method: "POST", path: "/api/cue", body: `{"cue": 0}`}, 400, "bad-value", "cue", "1 or more", ""},
	{"a cue below zero", call{method: "POST", path: "/api/standby", body: `{"cue": -1}`}, 400, "bad-value", "cue", "-1", ""},
	{"a cue beyond all", call{method: "POST", path: "/api/standby", body: `{"cue": 99999999999}`}, 400, "bad-value", "cue", "99999999999", ""},
	{"a progress above 1", call{method: "POST", path: "/api/ride", body: `{"at": 1.01}`}, 400, "bad-value", "at", "1.01", "0.5"},
	{"a progress below 0", call{method: "POST", path: "/api/cue", body: `{"look": "tide", "at": -0.1}`}, 400, "bad-value", "at", "-0.1", ""},
	{"a progress that is no number", call{method: "POST", path: "/api/ride", body: `{"at": "half"}`}, 400, "bad-value", "at", `"half"`, ""},
	{"a progress that no float holds", call{method: "POST", path: "/api/ride", body: `{"at": 1e999}`}, 400, "bad-value", "at", "1e999", ""},
	{"a value longer than a message", call{method: "POST", path: "/api/ride", body: `{"at": "` + strings.Repeat("é", 500) + `"}`}, 400, "bad-value", "at", "...", ""},
	{"a ride to nowhere", call{method: "POST", path: "/api/ride", body: `{}`}, 400, "missing-field", "at", "missing", `{"at": 0.5}`},
	{"an overall of nothing", call{method: "POST", path: "/api/overall", body: ``}, 400, "missing-field", "level", "missing", `"80%"`},
	{"a location of no name", call{method: "POST", path: "/api/location", body: `{"name": ""}`}, 400, "missing-field", "name", "missing", ""},
	{"a dry run neither on nor off", call{method: "POST", path: "/api/dry", body: `{}`}, 400, "missing-field", "on", "missing", ""},
	{"a work light of maybe", call{method: "POST", path: "/api/worklight", body: `{"on": "yes"}`}, 400, "bad-value", "on", `"yes"`, "true or false"},
	{"a look that the director does not know", call{method: "POST", path: "/api/cue", body: `{"look": "tied"}`}, 404, "unknown-look", "look", `"tied"`, `"tide"`},
	{"a level that the director cannot read", call{method: "POST", path: "/api/overall", body: `{"level": "loud"}`}, 400, "bad-level", "level", "loud", "80%"},
	{"a resume of nothing", call{method: "POST", path: "/api/resume"}, 409, "not-held", "", "held", ""},
	{"cells of a look that is not there", call{method: "GET", path: "/api/looks/tied/cells"}, 404, "unknown-look", "look", "tied", ""},
	{"paint of a look that is not there", call{method: "GET", path: "/api/looks/tied/paint"}, 404, "unknown-look", "look", "tied", ""},
	{"the reach of words", call{method: "GET", path: "/api/reach?cells=edge"}, 400, "bad-value", "cells", "edge", "0,3-7"},
	{"the reach of a run backwards", call{method: "GET", path: "/api/reach?cells=7-3"}, 400, "bad-value", "cells", "7-3", "0,3-7"},
	{"the reach of too many cells", call{method: "GET", path: "/api/reach?cells=0-65535,0-9"}, 400, "bad-value", "cells", "65535", "0,3-7"},
	{"the reach of nothing", call{method: "GET", path: "/api/reach"}, 400, "bad-value", "cells", "", "0,3-7"},
	{"the websocket by a plain request", call{method: "GET", path: "/ws"}, 426, "not-a-websocket", "/ws", "websocket", "POST /api/VERB"},
	{"a websocket of an old version", call{method: "GET", path: "/ws", header: map[string]string{"Connection": "Upgrade", "Upgrade": "websocket", "Sec-WebSocket-Version": "8"}}, 400, "not-a-websocket", "/ws", "version", "13"},
}

func TestEveryFailureSaysWhatWhereAndTheMend(t *testing.T) {
	for _, test := range failures {
		t.Run(test.name, func(t *testing.T) {
			d := newFake()
			w := ask(newServer(t, d), test.call)
			require.Equal(t, test.status, w.Code, w.Body)
			code, message, where, mend := problemOf(t, w)
			require.Equal(t, test.code, code)
			if test.where != "" {
				require.Equal(t, test.where, where)
			}
			require.Contains(t, message, test.says)
			require.Contains(t, mend, test.mends)
			require.Less(t, len(message), 250, "a message for a phone")
			require.Empty(t, d.verbs(), "a refused request did something")
			require.Equal(t, "no-store", w.Header().Get("Cache-Control"))
			if w.Code == http.StatusMethodNotAllowed {
				require.NotEmpty(t, w.Header().Get("Allow")) // RFC 9110 15.5.6
			}
			if w.Code == http.StatusUpgradeRequired {
				require.Equal(t, "websocket", w.Header().Get("Upgrade")) // RFC 9110 15.5.22
			}
		})
	}
}

func TestABodyThatBreaksOffDoesNothing(t *testing.T) {
	d := newFake()
	r := httptest.NewRequest("POST", "/api/kill", io.MultiReader(strings.NewReader("{"), iotest.ErrReader(io.ErrUnexpectedEOF)))
	r.Host = "127.0.0.1"
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	newServer(t, d).ServeHTTP(w, r)
	require.Equal(t, 400, w.Code)
	require.Empty(t, d.verbs())
}

func TestAnUnexpectedErrorIsLoggedAndNotShown(t *testing.T) {
	var log strings.Builder
	d := newFake()
	d.fail = errors.New("secret: disk on fire")
	s := newServer(t, d, func(c *server.Config) { c.Logger = slog.New(slog.NewTextHandler(&log, nil)) })
	w := post(s, "/api/hold", "")
	require.Equal(t, http.StatusInternalServerError, w.Code)
	code, message, _, _ := problemOf(t, w)
	require.Equal(t, "internal", code)
	require.NotContains(t, message, "secret")
	require.Equal(t, 1, strings.Count(log.String(), "disk on fire"), log.String())
}

func TestStateTellsNodesAndWarnings(t *testing.T) {
	nodes := []server.NodeInfo{{Name: "pool", IP: "10.0.0.2", Ports: []string{"0:0:1"}, LastSeenMS: 12, Software: true}, {Name: "hut", IP: "10.0.0.3"}}
	s := newServer(t, newFake(), func(c *server.Config) { c.Nodes = func() []server.NodeInfo { return nodes } })
	w := get(s, "/api/state")
	require.Equal(t, http.StatusOK, w.Code)
	require.Equal(t, "application/json; charset=utf-8", w.Header().Get("Content-Type"))
	var body map[string]any
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &body))
	// The fields of the state, as the page is written against them.
	for _, field := range []string{"show", "title", "location", "setup", "look", "standby", "fade", "held", "killed", "worklight", "dry", "hot", "overall", "can_back", "follow", "timecode", "nodes", "output", "warnings", "light", "revision", "take", "last_take", "next_take", "as_shot", "moving", "counting", "tempo", "last", "trying", "pointing"} {
		require.Contains(t, body, field)
	}
	require.Len(t, body, 34)
	require.Equal(t, []any{
		map[string]any{"name": "pool", "ip": "10.0.0.2", "ports": []any{"0:0:1"}, "last_seen_ms": 12.0, "lost": false, "software": true},
		map[string]any{"name": "hut", "ip": "10.0.0.3", "ports": []any{}, "last_seen_ms": 0.0, "lost": false, "software": false},
	}, body["nodes"])
	require.Len(t, body["warnings"], 1, "the director's own; nodes have had no time to answer yet")
	require.Nil(t, nodes[1].Ports, "what the network knows was changed")
}

func TestPlanAndFramesAndHealth(t *testing.T) {
	s := newServer(t, newFake())
	var plan map[string]any
	require.NoError(t, json.Unmarshal(get(s, "/api/plan").Body.Bytes(), &plan))
	require.Equal(t, []any{"deep-end", "pump-room"}, plan["locations"])

	var frames struct{ Frames []map[string]any }
	require.NoError(t, json.Unmarshal(get(s, "/api/frames").Body.Bytes(), &frames))
	// 0x123 is net 1, sub-net 2, universe 3: bits 14-8, 7-4, 3-0 (Art-Net 4, Port-Address).
	require.Equal(t, []map[string]any{
		{"port_address": 1.0, "address": "0:0:1", "slots": base64.StdEncoding.EncodeToString([]byte{0, 128, 255})},
		{"port_address": 291.0, "address": "1:2:3", "slots": base64.StdEncoding.EncodeToString([]byte{9})},
	}, frames.Frames)

	health := get(s, "/healthz")
	require.Equal(t, http.StatusNoContent, health.Code)
	require.Empty(t, health.Body.Bytes())
	require.Equal(t, http.StatusOK, ask(s, call{method: "HEAD", path: "/api/state"}).Code)
}

// readCells reads a cells frame by the layout of the contract, byte by byte.
func readCells(t testing.TB, b []byte) (revision uint32, frame uint64, cells [][3]float32) {
	t.Helper()
	require.GreaterOrEqual(t, len(b), 16)
	require.Equal(t, []byte{1, 0}, b[:2], "kind and pad")
	n := int(binary.LittleEndian.Uint16(b[2:]))
	require.Len(t, b, 16+12*n)
	for i := range n {
		var c [3]float32
		for k := range c {
			c[k] = math.Float32frombits(binary.LittleEndian.Uint32(b[16+12*i+4*k:]))
		}
		cells = append(cells, c)
	}
	return binary.LittleEndian.Uint32(b[4:]), binary.LittleEndian.Uint64(b[8:]), cells
}

func TestCellsOfALook(t *testing.T) {
	s := newServer(t, newFake())
	for look, want := range map[string][][3]float32{"warden": {{4, 5, 6}}, "low%20tide": {{0, 1, 0}}, "tide": nil} {
		w := get(s, "/api/looks/"+look+"/cells")
		require.Equal(t, http.StatusOK, w.Code)
		require.Equal(t, "application/octet-stream", w.Header().Get("Content-Type"))
		require.Equal(t, fmt.Sprint(w.Body.Len()), w.Header().Get("Content-Length"))
		revision, frame, cells := readCells(t, w.Body.Bytes())
		require.Equal(t, uint32(1), revision)
		require.Zero(t, frame)
		require.Equal(t, want, cells)
	}
}

func TestMetricsTellTheOutput(t *testing.T) {
	s := newServer(t, newFake(), func(c *server.Config) {
		c.Version = "1.2"
		c.Nodes = func() []server.NodeInfo { return []server.NodeInfo{{}, {Lost: true}, {}} }
	})
	post(s, "/api/hold", "")
	post(s, "/api/cue", `{"look": "tied"}`)
	post(s, "/api/cue", `{"loook": "tide"}`)
	w := get(s, "/metrics")
	require.Equal(t, http.StatusOK, w.Code)
	for _, line := range []string{
		"linkboy_output_frames_total 7",
		"linkboy_output_late_p99_seconds 0.00025",
		"linkboy_output_skipped_frames_total 3",
		`linkboy_output_late_seconds_bucket{le="5e-05"} 0`,
		`linkboy_output_late_seconds_bucket{le="0.0002"} 4`,
		`linkboy_output_late_seconds_bucket{le="0.5"} 4`,
		`linkboy_output_late_seconds_bucket{le="+Inf"} 5`,
		"linkboy_output_late_seconds_sum 2",
		"linkboy_output_late_seconds_count 5",
		"linkboy_output_first_frame_seconds_count 0",
		"linkboy_output_send_errors_total 2",
		"linkboy_ws_clients 0",
		`linkboy_ws_cut_total{reason="slow reader"} 0`,
		`linkboy_verbs_total{result="ok",verb="hold"} 1`,
		`linkboy_verbs_total{result="unknown-look",verb="cue"} 1`,
		`linkboy_verbs_total{result="unknown-field",verb="cue"} 1`,
		`linkboy_nodes{state="here"} 2`,
		`linkboy_nodes{state="lost"} 1`,
		`linkboy_build_info{version="1.2"} 1`,
		`linkboy_request_seconds_count{path="/api/cue",status="404"} 1`,
		`linkboy_request_seconds_count{path="/api/hold",status="200"} 1`,
	} {
		require.Contains(t, w.Body.String(), line+"\n")
	}
}

func TestNewRefusesWhatCannotWork(t *testing.T) {
	for name, cfg := range map[string]server.Config{
		"no director":        {UI: testPage()},
		"no port":            {Director: newFake(), UI: testPage(), Listen: "127.0.0.1"},
		"a code too short":   {Director: newFake(), UI: testPage(), Listen: "0.0.0.0:0", Code: "abc-def"},
		"a page of no index": {Director: newFake(), UI: fstest.MapFS{"main.js": {}}},
	} {
		_, err := server.New(cfg)
		require.Error(t, err, name)
	}
}
