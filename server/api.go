package server

import (
	"net/http"
	"strconv"

	"linkboy/cues/session"
)

// done answers a verb that was obeyed. State is absent where it does not matter.
type done struct {
	OK    bool           `json:"ok"`
	Edit  *Edited        `json:"edit,omitempty"`
	State *session.State `json:"state,omitempty"`
}

// getHealth is GET /healthz: whoever gets this answer knows that the daemon
// serves, and nothing else.
func (s *Server) getHealth(w http.ResponseWriter, _ *http.Request) {
	w.WriteHeader(http.StatusNoContent)
}

func (s *Server) getState(w http.ResponseWriter, _ *http.Request) {
	writeJSON(w, http.StatusOK, s.state())
}

func (s *Server) getPlan(w http.ResponseWriter, _ *http.Request) {
	writeJSON(w, http.StatusOK, s.director.Plan())
}

// getLookCells is GET /api/looks/{name}/cells: a cells frame of the look's
// settled light, with frame number 0.
func (s *Server) getLookCells(w http.ResponseWriter, r *http.Request) {
	revision := s.director.State().Revision
	cells, err := s.director.LookCells(r.PathValue("name"))
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	writeFrame(w, appendCells(nil, revision, 0, cells))
}

// writeFrame answers with a binary frame.
func writeFrame(w http.ResponseWriter, body []byte) {
	w.Header().Set("Content-Type", "application/octet-stream")
	w.Header().Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(http.StatusOK)
	_, _ = w.Write(body) // a reader that has gone away is no error of ours
}

// frame is the newest bytes of one port-address.
type frame struct {
	PortAddress uint16 `json:"port_address"`
	Address     string `json:"address"`
	Slots       []byte `json:"slots"` // base64 in JSON
}

func (s *Server) getFrames(w http.ResponseWriter, _ *http.Request) {
	addresses, slots := s.director.Frames()
	frames := make([]frame, len(addresses))
	for i, address := range addresses {
		frames[i] = frame{address, portText(address), slots[i]}
	}
	writeJSON(w, http.StatusOK, struct {
		Frames []frame `json:"frames"`
	}{frames})
}

// postVerb is POST /api/VERB with the fields of the verb as JSON; a verb that
// needs none may come without a body.
func (s *Server) postVerb(v verb) http.HandlerFunc {
	return s.postFields(v.name, func(r *http.Request, f *fields) (*Edited, error) {
		return nil, s.run(v, f, by(sourceHTTP, r.RemoteAddr))
	})
}

// postFields is a POST of fields that something is done with; it answers with the state
// after it.
func (s *Server) postFields(name string, do func(*http.Request, *fields) (*Edited, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		f, p := readFields(w, r)
		if p != nil {
			s.metrics.verbDone(name, p)
			s.refuse(w, r, p)
			return
		}
		edited, err := do(r, f)
		if err != nil {
			s.refuse(w, r, err)
			return
		}
		st := s.state()
		writeJSON(w, http.StatusOK, done{OK: true, Edit: edited, State: &st})
	}
}
