package server

import (
	"net/http"
	"strconv"
)

// getTimeline is GET /api/timeline?gap=2 s: the cue sheet laid out in time.
func (s *Server) getTimeline(w http.ResponseWriter, r *http.Request) {
	t, err := s.director.Timeline(r.URL.Query().Get("gap"))
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeJSON(w, http.StatusOK, t)
}

// getCueCells is GET /api/cues/{number}/cells?at=0.4: a cells frame of the light in the
// middle of a cue, with frame number 0.
func (s *Server) getCueCells(w http.ResponseWriter, r *http.Request) {
	revision := s.director.State().Revision
	number, at, p := cueMoment(r)
	if p != nil {
		s.refuse(w, r, p)
		return
	}
	cells, err := s.director.CueCells(number, at)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeFrame(w, appendCells(nil, revision, 0, cells))
}

// getCueSeen is GET /api/cues/{number}/seen?at=0.4: a seen frame of the same.
func (s *Server) getCueSeen(w http.ResponseWriter, r *http.Request) {
	revision := s.director.State().Revision
	number, at, p := cueMoment(r)
	if p != nil {
		s.refuse(w, r, p)
		return
	}
	cells, err := s.director.CueSeen(number, at)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeFrame(w, appendSeen(nil, revision, 0, cells))
}

// cueMoment reads which cue, and where in its time: 0 to 1, 1 unless it is said.
func cueMoment(r *http.Request) (number int, at float64, p *Problem) {
	text := r.PathValue("number")
	number, err := strconv.Atoi(text)
	if err != nil || number < 1 {
		return 0, 0, badValue("cue", strconv.Quote(text), "the number of a cue", "count from 1, as the cue sheet does")
	}
	at = 1
	if text := r.URL.Query().Get("at"); text != "" {
		at, err = strconv.ParseFloat(text, 64)
		if err != nil || !(at >= 0 && at <= 1) {
			return 0, 0, badValue("at", strconv.Quote(text), "a number from 0 to 1", "write it like at=0.5")
		}
	}
	return number, at, nil
}
