package server_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"testing"
	"testing/synctest"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
	"linkboy/server"
)

// fakeEditor writes down what it is asked, and refuses what was made for another
// revision than its own.
type fakeEditor struct {
	mu       sync.Mutex
	revision uint64
	done     []string
	hot      bool
}

func (e *fakeEditor) do(format string, args ...any) (server.Edited, error) {
	e.done = append(e.done, fmt.Sprintf(format, args...))
	e.revision++
	return server.Edited{Revision: e.revision, Changed: []string{"look tide"}, Waits: e.hot}, nil
}

func (e *fakeEditor) Edit(r server.EditRequest) (server.Edited, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if r.Revision != e.revision {
		return server.Edited{}, &session.Refusal{Kind: session.Conflict, Code: "old-revision", Where: "revision", Message: "look tide has changed since", Mend: "read the show again"}
	}
	if r.Preview {
		return server.Edited{Revision: e.revision + 1, Changed: []string{"look tide"}}, nil
	}
	return e.do("edit %s live=%t", r.Edits, r.Live)
}

func (e *fakeEditor) Undo(live bool) (server.Edited, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.do("undo live=%t", live)
}

func (e *fakeEditor) Redo(live bool) (server.Edited, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.do("redo live=%t", live)
}

func (e *fakeEditor) Try(r server.TryRequest) (session.Tried, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	if r.Look == "nobody" {
		return session.Tried{}, &session.Refusal{Kind: session.Unknown, Code: "unknown-look", Message: "there is no such look"}
	}
	e.done = append(e.done, fmt.Sprintf("try %s %s live=%t", r.Look, r.Edits, r.Live))
	return session.Tried{Look: r.Look, Live: r.Live, XYZ: []float32{1, 2, 3}}, nil
}

func (e *fakeEditor) Edits() server.EditList {
	e.mu.Lock()
	defer e.mu.Unlock()
	return server.EditList{Revision: e.revision, Undo: e.done}
}

func withEditor(e *fakeEditor) func(*server.Config) {
	return func(c *server.Config) { c.Editor = e }
}

func TestEditsReachTheEditor(t *testing.T) {
	for _, test := range []struct{ path, body, want string }{
		{"/api/edit", `{"revision": 4, "edits": [{"look": "tide"}, {"a": [1]}]}`, `edit [{"look": "tide"} {"a": [1]}] live=true`},
		{"/api/edit", `{"revision": 4, "edits": [{}], "live": false}`, `edit [{}] live=false`},
		{"/api/undo", ``, "undo live=true"},
		{"/api/redo", `{"live": false}`, "redo live=false"},
	} {
		t.Run(test.path+test.body, func(t *testing.T) {
			e := &fakeEditor{revision: 4, hot: true}
			s := newServer(t, newFake(), withEditor(e))
			w := post(s, test.path, test.body)
			require.Equal(t, http.StatusOK, w.Code, w.Body)
			var body struct {
				OK    bool
				Edit  server.Edited
				State session.State
			}
			require.NoError(t, json.Unmarshal(w.Body.Bytes(), &body))
			require.Equal(t, server.Edited{Revision: 5, Changed: []string{"look tide"}, Waits: true}, body.Edit)
			require.Equal(t, &session.Edits{Revision: 5, Undo: 1}, body.State.Edits)
			require.JSONEq(t, fmt.Sprintf(`{"revision": 5, "undo": [%q], "redo": []}`, test.want), get(s, "/api/edits").Body.String())
		})
	}
}

func TestEditsThatAreRefused(t *testing.T) {
	for _, test := range []struct {
		path, body, code, where string
		status                  int
	}{
		{"/api/edit", `{"revision": 3, "edits": [{}]}`, "old-revision", "revision", 409},
		{"/api/edit", `{"edits": [{}]}`, "missing-field", "revision", 400},
		{"/api/edit", `{"revision": 4}`, "missing-field", "edits", 400},
		{"/api/edit", `{"revision": 4, "edits": []}`, "missing-field", "edits", 400},
		{"/api/edit", `{"revision": 4, "edits": {}}`, "bad-value", "edits", 400},
		{"/api/edit", `{"revision": 4, "edits": [1]}`, "bad-value", "edits[0]", 400},
		{"/api/edit", `{"revision": 4, "edits": [{}, null]}`, "bad-value", "edits[1]", 400},
		{"/api/edit", `{"revision": -1, "edits": [{}]}`, "bad-value", "revision", 400},
		{"/api/edit", `{"revision": 4, "edits": [{}], "alive": true}`, "unknown-field", "alive", 400},
		{"/api/edit", `{"revision": 4, "edits": [` + strings.Repeat("{},", 500) + `{}]}`, "bad-value", "edits", 400},
		{"/api/undo", `{"live": "yes"}`, "bad-value", "live", 400},
	} {
		t.Run(test.body[:min(len(test.body), 60)], func(t *testing.T) {
			e := &fakeEditor{revision: 4}
			w := post(newServer(t, newFake(), withEditor(e)), test.path, test.body)
			require.Equal(t, test.status, w.Code, w.Body)
			code, _, where, _ := problemOf(t, w)
			require.Equal(t, test.code, code)
			require.Equal(t, test.where, where)
			require.Empty(t, e.done)
		})
	}
	s := newServer(t, newFake())
	for _, w := range []int{post(s, "/api/edit", `{"revision": 1, "edits": [{}]}`).Code, post(s, "/api/undo", "").Code, get(s, "/api/edits").Code} {
		require.Equal(t, 409, w, "nobody edits")
	}
}

func TestEditsOverTheWebsocket(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		e := &fakeEditor{revision: 4}
		l, stop := runOn(t, newServer(t, newFake(), withEditor(e)))
		p := openPage(t, l.dial, nil)
		p.send(`{"id": 1, "verb": "edit", "revision": 4, "edits": [{"look": "tide"}], "live": false}`)
		require.JSONEq(t, `{"type": "answer", "id": 1, "ok": true, "edit": {"revision": 5, "changed": ["look tide"], "waits": false}}`, string(p.answer(1).text))
		p.send(`{"id": 2, "verb": "edit", "revision": 4, "edits": [{}]}`)
		require.JSONEq(t, `{"type": "answer", "id": 2, "error": {"code": "old-revision", "message": "look tide has changed since", "where": "revision", "mend": "read the show again"}}`, string(p.answer(2).text))
		p.send(`{"id": 3, "verb": "undo"}`)
		require.Contains(t, string(p.answer(3).text), `"revision":6`)
		require.Equal(t, []string{`edit [{"look": "tide"}] live=false`, "undo live=true"}, e.done)
		p.leave()
		stop()
	})
}

func TestStateTellsWhatIsWrongOnDisk(t *testing.T) {
	files := session.Files{Taken: 2, Last: []string{"show.yaml"}}
	s := newServer(t, newFake(), func(c *server.Config) { c.Files = func() session.Files { return files } })
	state := func() (st session.State) {
		require.NoError(t, json.Unmarshal(get(s, "/api/state").Body.Bytes(), &st))
		return st
	}
	require.Len(t, state().Warnings, 1, "of the director")
	require.Equal(t, 2, state().Files.Taken)
	for i := range 20 {
		files.Problems = append(files.Problems, session.FileProblem{File: "show.yaml", Line: i + 1, Column: 3, Code: "unknown-look", What: "no look", Why: "known are", Mend: "write"})
	}
	st := state()
	require.Len(t, st.Files.Problems, 20)
	require.Len(t, st.Warnings, 1+1+12+1)
	require.Contains(t, st.Warnings[1].Message, "20 problems")
	require.Equal(t, session.Warning{Code: "unknown-look", Message: "no look", Why: "known are", Where: "show.yaml:1:3", Mend: "write"}, st.Warnings[2])
	require.Equal(t, "and 8 more", st.Warnings[14].Message)
}
