package server_test

import (
	"compress/gzip"
	"io"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

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

// bigPage is a page whose script is worth packing.
func bigPage() fstest.MapFS {
	return fstest.MapFS{
		"index.html":        {Data: []byte(`<!doctype html><link rel="stylesheet" href="set/set.css"><link rel="manifest" href="a.webmanifest"><script type="module" src="main.js"></script>`)},
		"a.webmanifest":     {Data: []byte(`{}`)},
		"main.js":           {Data: []byte(strings.Repeat("export const a = 1;\n", 100))},
		"set/set.css":       {Data: []byte("body { color: red }\n")},
		"service-worker.js": {Data: []byte("const version = 'PAGE-VERSION';\n")},
	}
}

func TestPageIsSentInGzip(t *testing.T) {
	s := newServer(t, newFake(), func(c *server.Config) { c.UI = bigPage() })
	plain := get(s, "/main.js")
	require.Empty(t, plain.Header().Get("Content-Encoding"))
	w := ask(s, call{method: "GET", path: "/main.js", header: map[string]string{"Accept-Encoding": "gzip, br", "Range": "bytes=0-9"}})
	require.Equal(t, http.StatusOK, w.Code)
	require.Equal(t, "gzip", w.Header().Get("Content-Encoding"))
	require.Equal(t, "Accept-Encoding", w.Header().Get("Vary"))
	require.Equal(t, strconv.Itoa(w.Body.Len()), w.Header().Get("Content-Length"))
	require.Less(t, w.Body.Len(), plain.Body.Len()/10)
	z, err := gzip.NewReader(w.Body)
	require.NoError(t, err)
	got, err := io.ReadAll(z)
	require.NoError(t, err)
	require.Equal(t, plain.Body.String(), string(got))

	tag := w.Header().Get("ETag")
	require.NotEqual(t, plain.Header().Get("ETag"), tag, "RFC 9110 8.8.3: a strong tag is of one representation")
	again := ask(s, call{method: "GET", path: "/main.js", header: map[string]string{"Accept-Encoding": "gzip", "If-None-Match": tag}})
	require.Equal(t, http.StatusNotModified, again.Code)
	small := ask(s, call{method: "GET", path: "/set/set.css", header: map[string]string{"Accept-Encoding": "gzip"}})
	require.Empty(t, small.Header().Get("Content-Encoding"), "it would only grow")
	refused := ask(s, call{method: "GET", path: "/main.js", header: map[string]string{"Accept-Encoding": "gzip;q=0"}})
	require.Empty(t, refused.Header().Get("Content-Encoding"))
}

func TestPageLiesInAFolderNamedByItsContent(t *testing.T) {
	s := newServer(t, newFake(), func(c *server.Config) { c.UI = bigPage() })
	index := get(s, "/")
	require.Equal(t, "no-cache", index.Header().Get("Cache-Control"))
	m := regexp.MustCompile(`src="(at/([0-9a-f]{16})/)main\.js"`).FindStringSubmatch(index.Body.String())
	require.NotNil(t, m, index.Body.String())
	require.Contains(t, index.Body.String(), `href="`+m[1]+`set/set.css"`)
	require.Contains(t, index.Body.String(), `href="a.webmanifest"`, "a manifest speaks of what lies beside it")
	for _, file := range []string{"main.js", "set/set.css"} {
		w := get(s, "/"+m[1]+file)
		require.Equal(t, http.StatusOK, w.Code, file)
		require.Contains(t, w.Header().Get("Cache-Control"), "immutable", file) // RFC 8246
		require.Equal(t, get(s, "/"+file).Body.String(), w.Body.String())
		require.Empty(t, w.Header().Get("Content-Security-Policy"), "no document, and no worker")
		require.Equal(t, "nosniff", w.Header().Get("X-Content-Type-Options"))
	}
	worker := get(s, "/"+m[1]+"service-worker.js").Header().Get("Content-Security-Policy")
	require.Equal(t, index.Header().Get("Content-Security-Policy"), worker, "a worker has a policy of its own (W3C CSP 3, 4.2.1)")
	require.Equal(t, "const version = '"+m[2]+"';\n", get(s, "/service-worker.js").Body.String())
	require.Equal(t, "no-cache", get(s, "/service-worker.js").Header().Get("Cache-Control"))

	changed := bigPage()
	changed["set/set.css"].Data = []byte("body { color: blue }\n")
	other := newServer(t, newFake(), func(c *server.Config) { c.UI = changed })
	require.Equal(t, http.StatusNotFound, get(other, "/"+m[1]+"main.js").Code, "half an old page is no page")
	require.NotEqual(t, index.Header().Get("ETag"), get(other, "/").Header().Get("ETag"))
}

// A page that is loaded goes on with the files that it began with.
func TestThePageInAnotherForm(t *testing.T) {
	s := newServer(t, newFake(), func(c *server.Config) { c.UI = bigPage() })
	asked := regexp.MustCompile(`at/[0-9a-f]{16}/[a-z/]+\.(?:js|css)`)
	was := asked.FindAllString(get(s, "/").Body.String(), -1)
	require.Len(t, was, 2)
	require.NoError(t, s.UsePage(map[string][]byte{
		"index.html":     []byte(`<!doctype html><link rel="stylesheet" href="joined/page.css"><script type="module" src="joined/main.js"></script>`),
		"joined/main.js": []byte("1;\n"), "joined/page.css": []byte("a{}\n"),
	}))
	is := asked.FindAllString(get(s, "/").Body.String(), -1)
	version, _, _ := strings.Cut(was[0], "set/")
	require.Equal(t, []string{version + "joined/page.css", version + "joined/main.js"}, is)
	for _, name := range append(was, is...) {
		w := get(s, "/"+name)
		require.Equal(t, http.StatusOK, w.Code, name)
		require.Contains(t, w.Header().Get("Cache-Control"), "immutable", name)
	}
}
