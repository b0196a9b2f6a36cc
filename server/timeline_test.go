package server_test

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
)

func TestTimelineAndCueMoments(t *testing.T) {
	s := newServer(t, newFake())
	var line map[string]any
	require.NoError(t, json.Unmarshal(get(s, "/api/timeline?gap=2%20s").Body.Bytes(), &line))
	require.Equal(t, "deep-end 2 s", line["location"])
	for _, field := range []string{"revision", "location", "capture_fps", "timeline_fps", "tempo", "gap_ms", "end_ms", "end_on_screen_ms", "cues", "walks"} {
		require.Contains(t, line, field)
	}
	require.Len(t, line, 10)
	require.Equal(t, http.StatusNotFound, get(s, "/api/timeline?gap=soon").Code)

	cells := get(s, "/api/cues/2/cells?at=0.25")
	require.Equal(t, http.StatusOK, cells.Code)
	require.Equal(t, "application/octet-stream", cells.Header().Get("Content-Type"))
	require.Len(t, cells.Body.Bytes(), 16+12)
	seen := get(s, "/api/cues/2/seen?at=0.25").Body.Bytes()
	require.Len(t, seen, 16+6)
	// 2^((n - 32768)/1024) lm: 2 is 33792, a quarter 30720, 1 is 32768; little-endian.
	require.Equal(t, []byte{0x00, 0x84, 0x00, 0x78, 0x00, 0x80}, seen[16:])
	require.Equal(t, []byte{0x00, 0x80}, get(s, "/api/cues/1/seen").Body.Bytes()[18:20], "the end unless it is said")
	for path, status := range map[string]int{
		"/api/cues/x/seen": 400, "/api/cues/0/seen": 400, "/api/cues/1/seen?at=2": 400, "/api/cues/1/cells?at=NaN": 400, "/api/cues/7/seen": 404, "/api/cues/7/cells": 404,
	} {
		w := get(s, path)
		require.Equal(t, status, w.Code, path)
		require.Contains(t, w.Body.String(), `"mend"`, path)
	}
}

// TestTriggersAreNamed: what asks is told with every verb, and whether it is a press that
// may bounce.
func TestTriggersAreNamed(t *testing.T) {
	for _, row := range []struct {
		path, body string
		want       session.Trigger
	}{
		{"/api/cue", `{"cue": 3}`, session.Trigger{Source: "http", Command: "cue 3", Bounces: true}},
		{"/api/cue", `{"look": "tide", "by": "key"}`, session.Trigger{Source: "key", Command: "cue tide", Bounces: true}},
		{"/api/cue", `{"cue": 3, "at": 0.5}`, session.Trigger{Source: "http", Command: "cue 3 0.5"}},
		{"/api/back", ``, session.Trigger{Source: "http", Command: "back", Bounces: true}},
		{"/api/worklight", ``, session.Trigger{Source: "http", Command: "worklight", Bounces: true}},
		{"/api/worklight", `{"on": true}`, session.Trigger{Source: "http", Command: "worklight true"}},
		{"/api/kill", ``, session.Trigger{Source: "http", Command: "kill"}},
		{"/api/overall", `{"level": "80%", "by": "page"}`, session.Trigger{Source: "page", Command: "overall 80%"}},
	} {
		d := newFake()
		require.Equal(t, http.StatusOK, post(newServer(t, d), row.path, row.body).Code, row.body)
		got := d.by()
		got.From = ""
		require.Equal(t, row.want, got)
	}
	d := newFake()
	w := post(newServer(t, d), "/api/back", `{"by": "magic"}`)
	require.Equal(t, http.StatusBadRequest, w.Code)
	require.Empty(t, d.verbs())
}
