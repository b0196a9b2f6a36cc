package server

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"path"
	"strings"
)

// Role is what the person at a device does on set, and so what is taken from it. Each can
// do what the one before can.
type Role uint8

// The roles.
const (
	nobody    Role = iota
	Viewer         // sees the picture and what runs
	Assistant      // sees to the lamps: points at them, moves and addresses them, has work light
	Operator       // runs cues, paints, makes takes
	Owner          // lets others in
)

var roleNames = [...]string{nobody: "", Viewer: "viewer", Assistant: "assistant", Operator: "operator", Owner: "owner"}

// guests are the roles that an owner lets others in with.
var guests = []Role{Operator, Assistant, Viewer}

func (r Role) String() string { return roleNames[r] }

// MarshalText gives the name of the role.
func (r Role) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// needs is who may at least do what is no reading, by the last part of its path or the name
// of its verb. All others are the operator's.
var needs = map[string]Role{
	watchVerb:   Viewer,
	"worklight": Assistant, // nobody who is on set stays in the dark
	"point":     Assistant,
	"identify":  Assistant,
	"devices":   Assistant,
	"rigcheck":  Assistant,
	"edit":      Assistant, // of lamps; see mayEdit
}

// may tells whether a role may do a verb.
func (r Role) may(verb string) *Problem {
	least, named := needs[verb]
	if !named {
		least = Operator
	}
	if r >= least {
		return nil
	}
	return notYours(r, verb)
}

func notYours(r Role, what string) *Problem {
	return &Problem{
		http.StatusForbidden, codeNotYours, fmt.Sprintf("%s is not for a device that is paired as %s", what, r), what,
		"ask who runs the cues, or have the owner pair this device for more",
	}
}

// lampWork is what an assistant may edit: the lamps of the rig.
const lampWork = "lamp"

// mayEdit refuses edits of anything but lamps to an assistant.
func (r Role) mayEdit(edits []json.RawMessage) *Problem {
	if r >= Operator {
		return nil
	}
	for _, e := range edits {
		if !ofLamps(e) {
			return notYours(r, "an edit of anything but lamps")
		}
	}
	return nil
}

// ofLamps reads what an edit is of, and nothing into it: a key twice, in other letters, is
// not to mean one thing here and another to the editor.
func ofLamps(edit json.RawMessage) bool {
	var all map[string]json.RawMessage
	if json.Unmarshal(edit, &all) != nil {
		return false
	}
	said := 0
	for key := range all {
		if strings.EqualFold(key, "what") {
			said++
		}
	}
	var what string
	return said == 1 && json.Unmarshal(all["what"], &what) == nil && what == lampWork
}

type roleKey struct{}

// roleOf is that of who sent the request; a daemon that pairs nobody is its owner's.
func roleOf(r *http.Request) Role {
	if role, ok := r.Context().Value(roleKey{}).(Role); ok {
		return role
	}
	return Owner
}

func withRole(r *http.Request, role Role) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), roleKey{}, role))
}

// forRole lets only those through who may do what a path does.
func (s *Server) forRole(rt route, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		role := roleOf(r)
		var p *Problem
		switch {
		case rt.path == pairPath:
		case rt.path == pairingPath && role < Owner:
			p = notYours(role, "letting others in")
		case r.Method != http.MethodGet && r.Method != http.MethodHead:
			p = role.may(path.Base(rt.path))
		}
		if p != nil {
			s.refuse(w, r, p)
			return
		}
		next.ServeHTTP(w, r)
	})
}
