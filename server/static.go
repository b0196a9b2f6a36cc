package server

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"maps"
	"net/http"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"linkboy/ui"
)

// page is the page's files, read once.
type page struct {
	files map[string]*pageFile
	// at is the folder that scripts and styles are asked for in: its name is the sum of
	// all files, so that what lies in it never changes.
	at string
}

type pageFile struct {
	data        []byte
	packed      func() []byte // in gzip, made once when first asked for; nil where that saves nothing
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

const (
	// indexFile is what stands at the root of the site.
	indexFile = "index.html"
	// workerFile is the page's service worker. It is told which page it belongs to.
	workerFile = "service-worker.js"
	// versionMark is where that name is put in.
	versionMark = "PAGE-VERSION"
	// atFolder holds the folder of the page that is served now.
	atFolder = "at/"
)

// readPage reads every file of the page.
func readPage(files fs.FS) (*page, error) {
	raw := map[string][]byte{}
	err := fs.WalkDir(files, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		raw[name], err = fs.ReadFile(files, name)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("page cannot be read: %w", err)
	}
	if raw[indexFile] == nil {
		return nil, fmt.Errorf("page cannot be read: it has no %s", indexFile)
	}
	version := ui.Sum(raw)
	p := &page{files: map[string]*pageFile{}, at: atFolder + version + "/"}
	raw[indexFile] = p.moved(preloading(files, raw[indexFile]))
	if worker, ok := raw[workerFile]; ok {
		raw[workerFile] = bytes.ReplaceAll(worker, []byte(versionMark), []byte(version))
	}
	for name, data := range raw {
		p.files[name] = newPageFile(name, data)
	}
	return p, nil
}

// with gives the page with files beside its own or in their place. It stays the page of
// that name: who has loaded the one goes on with it.
func (p *page) with(files map[string][]byte) *page {
	all := &page{files: maps.Clone(p.files), at: p.at}
	for name, data := range files {
		if name == indexFile {
			data = p.moved(data)
		}
		all.files[name] = newPageFile(name, data)
	}
	return all
}

// UsePage serves files beside those of the page or in their place, from now on: the page in
// another form. Their names are as those in its file system.
func (s *Server) UsePage(files map[string][]byte) error {
	now, err := s.pageNow()
	if err == nil {
		s.page.Store(now.with(files))
	}
	return err
}

func (s *Server) pageNow() (*page, error) {
	if p := s.page.Load(); p != nil {
		return p, nil
	}
	return s.plain()
}

// ownAsset is where the index names a script or a style of the page.
var ownAsset = regexp.MustCompile(`((?:src|href)=")([a-z][^":]*\.(?:js|css)")`)

// moved gives the index with its scripts and styles in the folder of this page. What they
// ask for themselves is named beside them, so it comes from there too.
func (p *page) moved(index []byte) []byte {
	return ownAsset.ReplaceAll(index, []byte("${1}"+p.at+"${2}"))
}

// entryScript is where the index names the module that is the page.
var entryScript = regexp.MustCompile(`<script type="module" src="([^":]+)"></script>`)

// preloading gives the index with a hint for every module that the page needs before it
// runs: a browser else learns of each only when the one that imports it has come, one
// way to the daemon and back after the other.
func preloading(files fs.FS, index []byte) []byte {
	return entryScript.ReplaceAllFunc(index, func(tag []byte) []byte {
		var hints bytes.Buffer
		for _, name := range ui.Early(files, string(entryScript.FindSubmatch(tag)[1]))[1:] {
			fmt.Fprintf(&hints, "<link rel=\"modulepreload\" href=%q>\n", name)
		}
		return append(hints.Bytes(), tag...)
	})
}

func newPageFile(name string, data []byte) *pageFile {
	sum := sha256.Sum256(data)
	f := &pageFile{data: data, contentType: contentTypes[path.Ext(name)], etag: hex.EncodeToString(sum[:16])}
	if f.contentType == "" {
		f.contentType = "application/octet-stream"
	}
	// Not at the start: the first frame would wait for it.
	f.packed = sync.OnceValue(func() []byte { return smaller(data) })
	return f
}

// smaller gives data in gzip, nil where that saves nothing.
func smaller(data []byte) []byte {
	var out bytes.Buffer
	z, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err == nil {
		_, err = z.Write(data)
	}
	if err == nil {
		err = z.Close()
	}
	if err != nil || out.Len() >= len(data) {
		return nil
	}
	return out.Bytes()
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

// find gives the file at a path, and whether it is the same for ever there.
func (p *page) find(asked string) (name string, f *pageFile, forever bool) {
	name = strings.TrimPrefix(asked, "/")
	if name == "" {
		name = indexFile
	}
	name, forever = strings.CutPrefix(name, p.at)
	return name, p.files[name], forever
}

// lighten takes out of the head of a script or a style what a browser heeds on documents
// alone (and on what runs as a worker): of a hundred small files it is a third.
func lighten(h http.Header, name string) {
	if kind := path.Ext(name); kind != ".js" && kind != ".css" || strings.Contains(path.Base(name), "worker") {
		return
	}
	for _, of := range []string{"Content-Security-Policy", "Permissions-Policy", "X-Frame-Options", "Referrer-Policy", "Cross-Origin-Opener-Policy"} {
		h.Del(of)
	}
}

// servePage answers with a file of the page, in gzip where that is taken. In the folder
// that is named by its content browsers keep it and never ask again; elsewhere they ask
// each time whether it is still the same, so that a new daemon is never shown by an old
// page. The folder of another page is not there: half of one and half of the other is
// no page.
func (s *Server) servePage(w http.ResponseWriter, r *http.Request) {
	page, err := s.pageNow()
	if err != nil {
		s.log.Error("the page cannot be served", "err", err)
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	name, f, forever := page.find(r.URL.Path)
	if f == nil {
		s.refuse(w, r, noSuchPath(r.URL.Path, page.names()))
		return
	}
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		s.refuse(w, r, wrongMethod(w, r, "GET, HEAD"))
		return
	}
	h := w.Header()
	h.Set("Content-Type", f.contentType)
	h.Set("Vary", "Accept-Encoding")
	h.Set("Cache-Control", "no-cache")
	if forever {
		h.Set("Cache-Control", "private, max-age=31536000, immutable") // RFC 8246
		lighten(h, name)
	}
	body, tag := f.data, f.etag
	if takesGzip(r) {
		if packed := f.packed(); packed != nil {
			body, tag = packed, f.etag+"-gzip" // another representation needs a tag of its own (RFC 9110 8.8.3)
			h.Set("Content-Encoding", "gzip")
			h.Set("Content-Length", strconv.Itoa(len(body)))
			r.Header.Del("Range") // a part of it is of no use
		}
	}
	h.Set("ETag", strconv.Quote(tag))
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(body))
}
