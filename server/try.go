package server

import (
	"encoding/json"
	"net/http"

	"linkboy/cues/session"
)

// TryRequest asks for a look as edits would make it; no edits lets go of what was tried.
type TryRequest struct {
	Look  string
	Live  bool // on the set too, where the look is on
	Edits []json.RawMessage
}

// postTry is POST /api/try: {look, live, edits}. It asks for much less than an edit, as a
// thumb on a slider does it ten or twenty times a second, and answers without the state.
func (s *Server) postTry(w http.ResponseWriter, r *http.Request) {
	tried, err := s.tryLook(w, r)
	s.metrics.verbDone("try", err)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeJSON(w, http.StatusOK, tried)
}

func (s *Server) tryLook(w http.ResponseWriter, r *http.Request) (t session.Tried, err error) {
	f, p := readFields(w, r)
	if p != nil {
		return t, p
	}
	ask := TryRequest{Look: f.needText("look", "warden"), Live: f.is("live"), Edits: f.objects("edits")}
	if p := f.problem(); p != nil {
		return t, p
	}
	if s.cfg.Editor == nil {
		return t, noEditor("/api/try")
	}
	return s.cfg.Editor.Try(ask)
}
