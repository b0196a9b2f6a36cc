package server

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
)

// RigChecker compares the plan of the location that is lit with the devices found
// by RDM. Every method may be called from any goroutine.
type RigChecker interface {
	// Check compares with what is known; it asks no lamp.
	Check() RigCheck
	// Apply sets what the list says of the lamps at these places of the rig, reads
	// back what each took, and compares again.
	Apply(ctx context.Context, places []string) (RigCheck, error)
}

// RigCheck is one list of all that differs between plan and rig.
type RigCheck struct {
	Location string   `json:"location"`
	Devices  int      `json:"devices"`
	Set      int      `json:"set"` // devices that took what differed
	Rows     []RigRow `json:"rows"`
}

// RigRow is one lamp, or what is no lamp of the rig.
type RigRow struct {
	Place    string       `json:"place,omitempty"`
	Lamp     string       `json:"lamp,omitempty"`
	UID      string       `json:"uid,omitempty"`
	By       string       `json:"by,omitempty"`
	Right    bool         `json:"right"`
	Findings []RigFinding `json:"findings"`
	Change   *RigChange   `json:"change,omitempty"` // nil where nothing can be set from here
	Failed   string       `json:"failed,omitempty"`
}

// RigFinding is one thing found of a lamp.
type RigFinding struct {
	Kind string `json:"kind"`
	What string `json:"what"`
	Mend string `json:"mend,omitempty"`
}

// RigChange is what to set; 0 and "" leave a thing as it is.
type RigChange struct {
	Personality int    `json:"personality,omitempty"`
	Address     int    `json:"address,omitempty"`
	Label       string `json:"label,omitempty"`
}

// getRigCheck is GET /api/rigcheck: plan against found, without asking a lamp.
func (s *Server) getRigCheck(w http.ResponseWriter, r *http.Request) {
	if s.cfg.RigCheck == nil {
		s.refuse(w, r, noDevices(r.URL.Path))
		return
	}
	writeJSON(w, http.StatusOK, s.cfg.RigCheck.Check())
}

// postRigCheck is POST /api/rigcheck {"apply": ["lane-1"]}: the lamps at these places
// of the rig are set as the plan has them. A lamp may jump or go dark meanwhile, so
// it is refused while the set is hot.
func (s *Server) postRigCheck(w http.ResponseWriter, r *http.Request) {
	places, err := s.placesToSet(w, r)
	if err != nil {
		s.refuse(w, r, err)
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), searchWait)
	defer cancel()
	check, err := s.cfg.RigCheck.Apply(ctx, places)
	if err != nil {
		s.refuse(w, r, deviceProblem(err, ""))
		return
	}
	writeJSON(w, http.StatusOK, check)
}

// placesToSet reads which lamps are to be set. Its error is a *Problem.
func (s *Server) placesToSet(w http.ResponseWriter, r *http.Request) ([]string, error) {
	f, p := readFields(w, r)
	if p != nil {
		return nil, p
	}
	if s.cfg.RigCheck == nil {
		return nil, noDevices(r.URL.Path)
	}
	places := f.texts("apply", `["lane-1"]`)
	if p := f.problem(); p != nil {
		return nil, p
	}
	if len(places) == 0 {
		return nil, missing("apply", `{"apply": ["lane-1"]}, the places of the rig that are to be set`)
	}
	if s.director.State().Hot {
		return nil, &Problem{http.StatusConflict, codeHotSet, "the set is hot: no lamp is set anew", r.URL.Path, "cut first: a lamp may jump or go dark while it is set"}
	}
	var known []string
	for _, row := range s.cfg.RigCheck.Check().Rows {
		if row.Place != "" {
			known = append(known, row.Place)
		}
	}
	for _, place := range places {
		if !slices.Contains(known, place) {
			return nil, &Problem{http.StatusNotFound, codeNoSuchLamp, fmt.Sprintf("no lamp stands at %q here%s", place, hint(place, known)), "apply", mendWords(place, known)}
		}
	}
	return places, nil
}

func noDevices(path string) *Problem {
	return &Problem{http.StatusConflict, codeNoDevices, "this daemon asks no lamps", path, "start it with lamps on a network"}
}

// texts reads a list of texts; absent gives nil.
func (f *fields) texts(name, example string) []string {
	value, ok := f.take(name)
	if !ok {
		return nil
	}
	var list []string
	if err := json.Unmarshal(value, &list); err != nil {
		f.fail(badValue(name, shown(value), "a list of texts", fmt.Sprintf("write it like {%q: %s}", name, example)))
		return nil
	}
	return list
}
