package server

import (
	"bytes"
	"context"
	"net/http"
	"strconv"
	"time"
)

// Stills draws the looks of the location that is on, by their names, as the camera of a
// set-up sees them, "" for the one that is chosen. It may be called from any goroutine, and
// may take seconds.
type Stills func(ctx context.Context, setup string) (map[string]Still, error)

// Still is the small picture of a look.
type Still struct {
	Hash string // names it: the same hash is the same picture, on any day
	PNG  []byte // not changed
}

// getStill is GET /api/looks/{name}/still?setup=NAME.
func (s *Server) getStill(w http.ResponseWriter, r *http.Request) {
	if p := onlyFields(r.URL.Query(), "setup"); p != nil {
		s.refuse(w, r, p)
		return
	}
	name := r.PathValue("name")
	if s.cfg.Stills == nil {
		s.refuse(w, r, noLight(false))
		return
	}
	all, err := s.cfg.Stills(r.Context(), r.URL.Query().Get("setup"))
	if r.Context().Err() != nil { // nobody waits any more
		return
	}
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	still, ok := all[name]
	if !ok {
		if _, err := s.director.LookCells(name); err != nil {
			s.refuse(w, r, err)
			return
		}
		s.refuse(w, r, &Problem{http.StatusConflict, codeNoLight, "the show has just changed", r.URL.Path, "ask again"})
		return
	}
	h := w.Header()
	h.Set("Content-Type", "image/png")
	h.Set("Cache-Control", "no-cache")
	h.Set("ETag", strconv.Quote(still.Hash))
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(still.PNG))
}
