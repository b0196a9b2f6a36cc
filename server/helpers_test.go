package server_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"linkboy/server"
)

// testPage is a page of three files.
func testPage() fstest.MapFS {
	return fstest.MapFS{
		"index.html":  {Data: []byte("<!doctype html><title>page</title>")},
		"main.js":     {Data: []byte("export const a = 1;\n")},
		"set/set.css": {Data: []byte("body { color: red }\n")},
	}
}

// newServer makes a server over d; change may alter its config first.
func newServer(t testing.TB, d server.Director, change ...func(*server.Config)) *server.Server {
	t.Helper()
	cfg := server.Config{Director: d, UI: testPage(), Listen: "127.0.0.1:0"}
	for _, c := range change {
		c(&cfg)
	}
	s, err := server.New(cfg)
	require.NoError(t, err)
	return s
}

// call is one request; zero fields are what a plain client on this machine sends.
type call struct {
	method, path, body string
	header             map[string]string // Host is one of them
	remote             string
}

// ask sends c to s.
func ask(s http.Handler, c call) *httptest.ResponseRecorder {
	r := httptest.NewRequest(c.method, c.path, strings.NewReader(c.body))
	r.Host = "127.0.0.1:4040"
	if c.remote != "" {
		r.RemoteAddr = c.remote
	}
	if c.body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for name, value := range c.header {
		switch {
		case name == "Host":
			r.Host = value
		case value == "":
			r.Header.Del(name)
		default:
			r.Header.Set(name, value)
		}
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func get(s http.Handler, path string) *httptest.ResponseRecorder {
	return ask(s, call{method: http.MethodGet, path: path})
}

func post(s http.Handler, path, body string) *httptest.ResponseRecorder {
	return ask(s, call{method: http.MethodPost, path: path, body: body})
}

// problemOf reads the problem of a refusal. Every refusal has all four fields.
func problemOf(t testing.TB, w *httptest.ResponseRecorder) (code, message, where, mend string) {
	t.Helper()
	require.Equal(t, "application/json; charset=utf-8", w.Header().Get("Content-Type"), "body: %s", w.Body)
	var body struct {
		Error map[string]string `json:"error"`
	}
	dec := json.NewDecoder(strings.NewReader(w.Body.String()))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&body), "body: %s", w.Body)
	require.Len(t, body.Error, 4, "body: %s", w.Body)
	e := body.Error
	require.NotEmpty(t, e["code"])
	require.NotEmpty(t, e["message"])
	require.NotEmpty(t, e["mend"], "a problem without a mend: %s", w.Body)
	return e["code"], e["message"], e["where"], e["mend"]
}
