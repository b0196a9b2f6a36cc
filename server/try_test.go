package server_test

import (
	"encoding/json"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues/session"
	"linkboy/server"
)

func TestTryReachesTheEditor(t *testing.T) {
	e := &fakeEditor{revision: 4}
	s := newServer(t, newFake(), withEditor(e))
	w := post(s, "/api/try", `{"look": "tide", "live": true, "edits": [{"a": 1}]}`)
	require.Equal(t, http.StatusOK, w.Code, w.Body)
	var tried session.Tried
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &tried))
	require.True(t, tried.Live)
	require.Equal(t, []float32{1, 2, 3}, tried.XYZ)
	require.Equal(t, http.StatusOK, post(s, "/api/try", `{"look": "tide"}`).Code)
	require.Equal(t, []string{`try tide [{"a": 1}] live=true`, "try tide [] live=false"}, e.done)
	require.Equal(t, http.StatusNotFound, post(s, "/api/try", `{"look": "nobody"}`).Code)
	for _, bad := range []string{``, `{}`, `{"look": 3}`, `{"look": "tide", "edits": 3}`, `{"look": "tide", "edits": [3]}`, `{"look": "tide", "revision": 3}`} {
		require.Equal(t, http.StatusBadRequest, post(s, "/api/try", bad).Code, bad)
	}
	none := newServer(t, newFake(), func(c *server.Config) { c.Editor = nil })
	require.Equal(t, http.StatusConflict, post(none, "/api/try", `{"look": "tide"}`).Code)
}

func TestAPreviewChangesNothing(t *testing.T) {
	e := &fakeEditor{revision: 4}
	s := newServer(t, newFake(), withEditor(e))
	w := post(s, "/api/edit", `{"revision": 4, "edits": [{"a": 1}], "preview": true}`)
	require.Equal(t, http.StatusOK, w.Code, w.Body)
	var body struct{ Edit server.Edited }
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &body))
	require.Equal(t, server.Edited{Revision: 5, Changed: []string{"look tide"}}, body.Edit)
	require.Empty(t, e.done)
}
