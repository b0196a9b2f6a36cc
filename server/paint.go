package server

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"linkboy/cues/against"
	"linkboy/cues/script"
	"linkboy/cues/session"
)

// Painter tells whoever paints what there is to paint with.
type Painter interface {
	// LookPaint is a look as it is written.
	LookPaint(look string) (session.LookPaint, error)
	// LookAgainst is how a look differs from another one of the location.
	LookAgainst(look, other string) (*against.Report, error)
	// Reach is what cells of the plan can all show.
	Reach(cells []int) (session.Reach, error)
	// Script is the colour script of the show.
	Script() []script.Row
}

// getLookPaint is GET /api/looks/{name}/paint.
func (s *Server) getLookPaint(w http.ResponseWriter, r *http.Request) {
	paint, err := s.director.LookPaint(r.PathValue("name"))
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeJSON(w, http.StatusOK, paint)
}

// getLookAgainst is GET /api/looks/{name}/against/{other}.
func (s *Server) getLookAgainst(w http.ResponseWriter, r *http.Request) {
	report, err := s.director.LookAgainst(r.PathValue("name"), r.PathValue("other"))
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeJSON(w, http.StatusOK, report)
}

// getReach is GET /api/reach?cells=0,3-7: what these cells of the plan can all show.
func (s *Server) getReach(w http.ResponseWriter, r *http.Request) {
	cells, err := parseCells(r.FormValue("cells"))
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	reach, err := s.director.Reach(cells)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeJSON(w, http.StatusOK, reach)
}

// getScript is GET /api/script.
func (s *Server) getScript(w http.ResponseWriter, _ *http.Request) {
	writeJSON(w, http.StatusOK, map[string]any{"looks": s.director.Script()})
}

// parseCells reads numbers of cells and runs of them, 0,3-7.
func parseCells(text string) ([]int, error) {
	wrong := &Problem{
		http.StatusBadRequest, codeBadValue, fmt.Sprintf("cells %q are no numbers of cells", text), "cells",
		"write them like 0,3-7, as in /api/plan",
	}
	var cells []int
	for part := range strings.SplitSeq(text, ",") {
		low, high, run := strings.Cut(part, "-")
		first, err := strconv.Atoi(low)
		if err != nil {
			return nil, wrong
		}
		last := first
		if run {
			if last, err = strconv.Atoi(high); err != nil {
				return nil, wrong
			}
		}
		if first < 0 || last < first || last > maxCells {
			return nil, wrong
		}
		for i := first; i <= last; i++ {
			cells = append(cells, i)
		}
		if len(cells) > maxCells {
			return nil, wrong
		}
	}
	return cells, nil
}
