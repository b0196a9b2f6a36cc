package server

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"slices"
	"time"
)

// page is the page's files, read once.
type page struct{ files map[string]*pageFile }

type pageFile struct {
	data        []byte
	contentType string
	etag        string
}

// contentTypes is ours and not the system's: a machine that takes .js for
// plain text would leave the page blank.
var contentTypes = map[string]string{
	".html":        "text/html; charset=utf-8",
	".js":          "text/javascript; charset=utf-8",
	".mjs":         "text/javascript; charset=utf-8",
	".css":         "text/css; charset=utf-8",
	".json":        "application/json; charset=utf-8",
	".webmanifest": "application/manifest+json; charset=utf-8",
	".svg":         "image/svg+xml; charset=utf-8",
	".png":         "image/png",
	".ico":         "image/x-icon",
	".woff2":       "font/woff2",
	".wav":         "audio/wav",
	".txt":         "text/plain; charset=utf-8",
}

// indexFile is what stands at the root of the site.
const indexFile = "index.html"

// readPage reads every file of the page.
func readPage(files fs.FS) (*page, error) {
	p := &page{files: map[string]*pageFile{}}
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := fs.ReadFile(files, name)
		if err != nil {
			return err
		}
		sum := sha256.Sum256(data)
		kind := contentTypes[path.Ext(name)]
		if kind == "" {
			kind = "application/octet-stream"
		}
		p.files[name] = &pageFile{data: data, contentType: kind, etag: `"` + hex.EncodeToString(sum[:16]) + `"`}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("page cannot be read: %w", err)
	}
	if p.files[indexFile] == nil {
		return nil, fmt.Errorf("page cannot be read: it has no %s", indexFile)
	}
	return p, nil
}

// names lists the paths of the page, for hints.
func (p *page) names() []string {
	names := make([]string, 0, len(p.files))
	for name := range p.files {
		names = append(names, "/"+name)
	}
	slices.Sort(names)
	return names
}

// servePage answers with a file of the page. Browsers keep it but ask each
// time whether it is still the same, so that a new daemon is never shown by an
// old page.
func (s *Server) servePage(w http.ResponseWriter, r *http.Request) {
	name := r.URL.Path[1:]
	if name == "" {
		name = indexFile
	}
	f := s.page.files[name]
	if f == nil {
		s.refuse(w, r, noSuchPath(r.URL.Path, s.page.names()))
		return
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		s.refuse(w, r, wrongMethod(w, r, "GET, HEAD"))
		return
	}
	h := w.Header()
	h.Set("Content-Type", f.contentType)
	h.Set("ETag", f.etag)
	h.Set("Cache-Control", "no-cache")
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(f.data))
}
