package server

import (
	"context"
	"net/http"
)

// Stills draws a look of the location that is on as the camera of a set-up sees it, "" for
// the one that is chosen. It gives none of a look that it does not have. It may be called
// from any goroutine, and may take seconds.
type Stills func(ctx context.Context, setup, look string) (still Still, ok bool, err error)

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
	still, ok, err := s.cfg.Stills(r.Context(), r.URL.Query().Get("setup"), name)
	if r.Context().Err() != nil { // nobody waits any more
		return
	}
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	if !ok {
		if _, err := s.director.LookCells(name); err != nil {
			s.refuse(w, r, err)
			return
		}
		s.refuse(w, r, &Problem{http.StatusConflict, codeNoLight, "the show has just changed", r.URL.Path, "ask again"})
		return
	}
	sendTagged(w, r, "image/png", still.Hash, still.PNG)
}
