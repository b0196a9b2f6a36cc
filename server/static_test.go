package server_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/server"
)

func TestPageIsServedWithItsTypes(t *testing.T) {
	s := newServer(t, newFake())
	// Media types of RFC 9239 (JavaScript), RFC 2318 (CSS) and WHATWG HTML.
	for path, want := range map[string][2]string{
		"/":            {"text/html; charset=utf-8", "<!doctype html><title>page</title>"},
		"/index.html":  {"text/html; charset=utf-8", "<!doctype html><title>page</title>"},
		"/main.js":     {"text/javascript; charset=utf-8", "export const a = 1;\n"},
		"/set/set.css": {"text/css; charset=utf-8", "body { color: red }\n"},
	} {
		w := get(s, path)
		require.Equal(t, http.StatusOK, w.Code, path)
		require.Equal(t, want[0], w.Header().Get("Content-Type"), path)
		require.Equal(t, want[1], w.Body.String(), path)
		require.Equal(t, "no-cache", w.Header().Get("Cache-Control"), path)
	}
	head := ask(s, call{method: "HEAD", path: "/main.js"})
	require.Equal(t, "20", head.Header().Get("Content-Length"))
	require.Empty(t, head.Body.Bytes())
}

func TestPageIsSentAgainOnlyWhenItChanged(t *testing.T) {
	tag := func(data string) (string, http.Handler) {
		files := testPage()
		files["main.js"].Data = []byte(data)
		s := newServer(t, newFake(), func(c *server.Config) { c.UI = files })
		return get(s, "/main.js").Header().Get("ETag"), s
	}
	old, s := tag("old")
	same, _ := tag("old")
	fresh, _ := tag("new")
	require.Equal(t, old, same, "the tag follows from the content")
	require.NotEqual(t, old, fresh)
	require.Regexp(t, `^"[0-9a-f]{32}"$`, old)

	w := ask(s, call{method: "GET", path: "/main.js", header: map[string]string{"If-None-Match": old}})
	require.Equal(t, http.StatusNotModified, w.Code) // RFC 9110 13.1.2
	require.Empty(t, w.Body.Bytes())
	w = ask(s, call{method: "GET", path: "/main.js", header: map[string]string{"If-None-Match": fresh}})
	require.Equal(t, http.StatusOK, w.Code)
}

func TestBuiltInPageIsServed(t *testing.T) {
	s := newServer(t, newFake(), func(c *server.Config) { c.UI = nil })
	w := get(s, "/")
	require.Equal(t, http.StatusOK, w.Code)
	require.Contains(t, w.Body.String(), "<title>linkboy</title>")
	require.Equal(t, http.StatusOK, get(s, "/main.js").Code)
}
