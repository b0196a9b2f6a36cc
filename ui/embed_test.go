package ui_test

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/ui"
	"linkboy/ui/join"
)

// What a phone on a weak link loads before it shows anything, and all that there is, in
// gzip as it is sent. What draws the camera's picture, and every place but the set,
// comes after it.
const (
	maxEarlyBytes  = 150_000
	maxPageBytes   = 400_000
	maxJoinedBytes = 95_000 // before it shows anything, in few files
)

// forEach calls f for every embedded file.
func forEach(t *testing.T, f func(name string, data []byte)) {
	t.Helper()
	require.NoError(t, fs.WalkDir(ui.Files(), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := fs.ReadFile(ui.Files(), name)
		if err != nil {
			return err
		}
		f(name, data)
		return nil
	}))
}

// SHA256SUMS was made with sha256sum from the file of the htm 3.1.1 package
// (preact/standalone.module.js) and the licence texts of htm and preact.
func TestVendoredFilesAreTheOnesThatWereVendored(t *testing.T) {
	sums, err := os.ReadFile("vendor/SHA256SUMS")
	require.NoError(t, err)
	checked := 0
	lines := bufio.NewScanner(bytes.NewReader(sums))
	for lines.Scan() {
		want, name, found := strings.Cut(lines.Text(), "  ")
		require.True(t, found, "line %q is not SUM  NAME", lines.Text())
		data, err := fs.ReadFile(ui.Files(), "vendor/"+name)
		require.NoError(t, err)
		got := sha256.Sum256(data)
		require.Equal(t, want, hex.EncodeToString(got[:]), name)
		checked++
	}
	vendored, err := fs.ReadDir(ui.Files(), "vendor")
	require.NoError(t, err)
	require.Len(t, vendored, checked, "every vendored file has a sum")
}

func TestPageHoldsOnlyWhatABrowserLoads(t *testing.T) {
	early := append(ui.Early(ui.Files(), "main.js"), "en.js") // of the languages one is fetched
	require.Greater(t, len(early), 20)
	require.Contains(t, early, "vendor/htm-preact.js")
	require.NotContains(t, early, "camera/hand.js")
	before, whole := 0, 0
	forEach(t, func(name string, data []byte) {
		require.Contains(t, []string{".html", ".js", ".css", ".svg", ".png", ".webmanifest", ".txt"}, path.Ext(name), name)
		require.NotContains(t, name, "test", name)
		sent := packedSize(t, data)
		whole += sent
		if slices.Contains(early, name) || name == "index.html" || path.Ext(name) == ".css" {
			before += sent
		}
	})
	t.Logf("%d bytes before the page shows, %d in all, in gzip", before, whole)
	require.Less(t, before, maxEarlyBytes)
	require.Less(t, whole, maxPageBytes)
}

// TestThePageInFewFilesIsSmall: of the languages, which scripts ask for, the larger is counted.
func TestThePageInFewFilesIsSmall(t *testing.T) {
	files, err := join.Files(ui.Files())
	require.NoError(t, err)
	early, sent := htmlImport.FindAllSubmatch(files["index.html"], -1), 0
	for _, m := range early {
		sent += packedSize(t, files[string(m[1])])
	}
	language := 0
	for name, data := range files {
		if base := path.Base(name); strings.HasPrefix(base, "de-") || strings.HasPrefix(base, "en-") {
			language = max(language, packedSize(t, data))
		}
	}
	require.NotZero(t, language)
	sent += language
	t.Logf("%d bytes before the page shows, in gzip, %d of them words", sent, language)
	require.Greater(t, sent, 20_000)
	require.Less(t, sent, maxJoinedBytes)
}

func packedSize(t *testing.T, data []byte) int {
	t.Helper()
	var out bytes.Buffer
	z, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	require.NoError(t, err)
	_, err = z.Write(data)
	require.NoError(t, err)
	require.NoError(t, z.Close())
	return min(out.Len(), len(data))
}

var (
	jsImport   = regexp.MustCompile(`(?m)^(?:import|export)\s[^;]*?from '([^']+)';|^import '([^']+)';`)
	lateImport = regexp.MustCompile(`(?:(?:await|=>|return) import\(|new URL\(|\.register\()'/?([^']+)'`)
	iconSource = regexp.MustCompile(`"src": "([^"]+)"`)
	htmlImport = regexp.MustCompile(`(?:src|href)="([^"]+)"`)
)

func TestEveryFileThatThePageAsksForIsThere(t *testing.T) {
	asked := map[string]bool{"index.html": true, "vendor/LICENSE-htm.txt": true, "vendor/LICENSE-preact.txt": true}
	need := func(from, target string) {
		full := path.Join(path.Dir(from), target)
		asked[full] = true
		_, err := fs.Stat(ui.Files(), full)
		require.NoError(t, err, "%s asks for %s", from, target)
	}
	forEach(t, func(name string, data []byte) {
		switch {
		case strings.HasPrefix(name, "vendor/"):
		case path.Ext(name) == ".webmanifest":
			for _, m := range iconSource.FindAllSubmatch(data, -1) {
				need(name, string(m[1]))
			}
		case path.Ext(name) == ".html":
			for _, m := range htmlImport.FindAllSubmatch(data, -1) {
				need(name, string(m[1]))
			}
		case path.Ext(name) == ".js":
			for _, m := range jsImport.FindAllSubmatch(data, -1) {
				need(name, string(m[1])+string(m[2]))
			}
			for _, m := range lateImport.FindAllSubmatch(data, -1) {
				need(name, string(m[1]))
			}
		}
	})
	forEach(t, func(name string, _ []byte) {
		require.True(t, asked[name], "%s is embedded, but nothing asks for it", name)
	})
}

// A page that reaches elsewhere fails in a place without the internet, and
// tells others where the set is.
func TestNothingLeavesTheDaemon(t *testing.T) {
	elsewhere := regexp.MustCompile(`(?:https?:)?//[a-z0-9-]+\.[a-z]`)
	namespaces := regexp.MustCompile(`http://www\.w3\.org/[0-9]+/[A-Za-z0-9/]+`)
	forEach(t, func(name string, data []byte) {
		if path.Ext(name) == ".txt" {
			return
		}
		rest := namespaces.ReplaceAll(data, nil)
		require.Empty(t, elsewhere.FindAllString(string(rest), -1), name)
	})
}

// The daemon's content security policy allows neither (W3C CSP Level 3:
// style-src and script-src without 'unsafe-inline').
func TestNoInlineStyleOrScript(t *testing.T) {
	index, err := fs.ReadFile(ui.Files(), "index.html")
	require.NoError(t, err)
	require.NotRegexp(t, `<style|style=|<script(?:[^>]*)>[^<]|\son[a-z]+=`, string(index))
	forEach(t, func(name string, data []byte) {
		if path.Ext(name) == ".js" && !strings.HasPrefix(name, "vendor/") {
			require.NotRegexp(t, `style="|innerHTML|\beval\(|new Function`, string(data), name)
		}
	})
}
