package server

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"linkboy/cues/session"
)

// Light is what is computed so far of the light of the location that is on.
type Light struct {
	// Stage says how far: "computing", then the stages of colour/transport.
	Stage string
	// Hash names Encoded: the same hash is the same light, on any day. "" is none yet.
	Hash string
	// Encoded is a light map in the form of colour/transport. It is not changed.
	Encoded []byte
}

// light is what the state says of the light; nil where nobody computes it.
func (s *Server) light() *session.Light {
	if s.cfg.Light == nil {
		return nil
	}
	l := s.cfg.Light()
	return &session.Light{Stage: l.Stage, Hash: l.Hash}
}

// getLight is GET /api/light: the light map of the location that is on. Browsers keep
// it, and ask each time whether it is still the same.
func (s *Server) getLight(w http.ResponseWriter, r *http.Request) {
	var l Light
	if s.cfg.Light != nil {
		l = s.cfg.Light()
	}
	if l.Hash == "" {
		s.refuse(w, r, noLight(s.cfg.Light != nil))
		return
	}
	if !takesGzip(r) {
		sendKept(w, r, l.Hash, l.Encoded, false)
		return
	}
	packed, err := s.packed.of(l)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	sendKept(w, r, l.Hash, packed, true)
}

// sendKept sends what browsers keep, and ask for by its hash whether it is still the same.
func sendKept(w http.ResponseWriter, r *http.Request, hash string, body []byte, packed bool) {
	h := w.Header()
	h.Set("Vary", "Accept-Encoding")
	if packed {
		hash += "-gzip" // another representation needs a tag of its own (RFC 9110 8.8.3)
		h.Set("Content-Encoding", "gzip")
		h.Set("Content-Length", strconv.Itoa(len(body)))
	}
	r.Header.Del("Range") // a part of it is of no use
	sendTagged(w, r, "application/octet-stream", hash, body)
}

// sendTagged sends a body of a media type, which may be kept as long as its tag is asked for
// each time.
func sendTagged(w http.ResponseWriter, r *http.Request, media, tag string, body []byte) {
	h := w.Header()
	h.Set("Content-Type", media)
	h.Set("Cache-Control", "no-cache")
	h.Set("ETag", strconv.Quote(tag))
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
}

func noLight(computed bool) *Problem {
	if !computed {
		return &Problem{http.StatusNotFound, codeNoLight, "no light is computed here", "/api/light", "the plan, at /api/plan, needs none"}
	}
	return &Problem{http.StatusNotFound, codeNoLight, "the light of this location is being computed", "/api/light", "ask again when light.hash in /api/state is there"}
}

// takesGzip reports whether a request takes an answer in gzip (RFC 9110 12.5.3).
func takesGzip(r *http.Request) bool {
	for part := range strings.SplitSeq(r.Header.Get("Accept-Encoding"), ",") {
		name, weight, _ := strings.Cut(part, ";")
		if n := strings.TrimSpace(name); n != "gzip" && n != "*" {
			continue
		}
		q, given := strings.CutPrefix(strings.ReplaceAll(weight, " ", ""), "q=")
		if !given {
			return true
		}
		v, err := strconv.ParseFloat(q, 64)
		return err == nil && v > 0
	}
	return false
}

// packed keeps the newest light in gzip: it is packed once, not for each page. It is
// safe for concurrent use.
type packed struct {
	mu   sync.Mutex
	hash string
	data []byte
}

// of gives a light in gzip.
func (p *packed) of(l Light) ([]byte, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.hash == l.Hash {
		return p.data, nil
	}
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	_, err := z.Write(l.Encoded)
	if err == nil {
		err = z.Close()
	}
	if err != nil {
		return nil, fmt.Errorf("light cannot be packed: %w", err)
	}
	p.hash, p.data = l.Hash, out.Bytes()
	return p.data, nil
}

// getScene is GET /api/scene: the location as a page draws it from its cameras.
func (s *Server) getScene(w http.ResponseWriter, r *http.Request) {
	scene, err := s.director.Scene()
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeJSON(w, http.StatusOK, scene)
}

// getLookSeen is GET /api/looks/{name}/seen: a seen frame of the look's settled light,
// with frame number 0.
func (s *Server) getLookSeen(w http.ResponseWriter, r *http.Request) {
	revision := s.director.State().Revision
	cells, err := s.director.LookSeen(r.PathValue("name"))
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeFrame(w, appendSeen(nil, revision, 0, cells))
}
