package server

import (
	"encoding/json"
	"fmt"
	"net/http"

	"linkboy/cues/session"
)

// Editor changes the show on disk and has what it makes of it taken in. Every method
// may be called from any goroutine. A refusal is a *session.Refusal: of an edit against
// an older revision it says what has changed since, and then nothing was done.
type Editor interface {
	// Edit does edits in their order, all of them or none.
	Edit(EditRequest) (Edited, error)
	// Undo takes back the newest edits that are not taken back, Redo does them again.
	Undo(live bool) (Edited, error)
	Redo(live bool) (Edited, error)
	// Try shows a look as edits would make it, and makes none. Of those of a look that
	// come while one is worked out only the newest is done.
	Try(TryRequest) (session.Tried, error)
	// Edits tells what can be taken back and done again. It reads no file.
	Edits() EditList
}

// EditRequest asks for edits of the show.
type EditRequest struct {
	// Revision is that of the show which the edits were made for.
	Revision uint64
	// Edits are JSON objects; what they can be is the Editor's.
	Edits []json.RawMessage
	// Live lets what they change of the look that is on show at once; else it does when
	// the look is run again.
	Live bool
	// Preview tells what would change, and changes nothing.
	Preview bool
}

// Edited is what came of an edit.
type Edited struct {
	Revision uint64   `json:"revision"`        // of the show as it is now
	Changed  []string `json:"changed"`         // in words, every place that changes
	Looks    []string `json:"looks,omitempty"` // of a preview: those whose light changes, the worst first
	Waits    bool     `json:"waits"`           // the set is hot: it is on disk and comes with the cut
}

// EditList is what has been edited. Undo and Redo name what they would do next first.
type EditList struct {
	Revision uint64   `json:"revision"`
	Undo     []string `json:"undo"`
	Redo     []string `json:"redo"`
}

// mostEdits is how many edits one request can have.
const mostEdits = 500

// editVerb is one thing that may be asked of the editor, by POST /api/NAME or over the
// websocket. read takes the fields of a request and gives what is to be done.
type editVerb struct {
	name string
	read func(*fields, Role) func(Editor) (Edited, error)
}

var editVerbs = []editVerb{
	{"edit", readEdit},
	{"undo", func(f *fields, _ Role) func(Editor) (Edited, error) {
		live := f.live()
		return func(e Editor) (Edited, error) { return e.Undo(live) }
	}},
	{"redo", func(f *fields, _ Role) func(Editor) (Edited, error) {
		live := f.live()
		return func(e Editor) (Edited, error) { return e.Redo(live) }
	}},
}

func readEdit(f *fields, role Role) func(Editor) (Edited, error) {
	const example = `{"revision": 7, "edits": [{...}]}`
	revision, edits := f.whole("revision"), f.objects("edits")
	r := EditRequest{Edits: edits, Live: f.live(), Preview: f.is("preview")}
	switch {
	case revision == nil:
		f.fail(missing("revision", example))
	case len(edits) == 0:
		f.fail(missing("edits", example))
	default:
		r.Revision = *revision
		if p := role.mayEdit(edits); p != nil {
			f.fail(p)
		}
	}
	return func(e Editor) (Edited, error) { return e.Edit(r) }
}

// live reads whether an edit shows at once; it does unless the request says no.
func (f *fields) live() bool {
	live := f.flag("live")
	return live == nil || *live
}

// is reads true or false; absent is false.
func (f *fields) is(name string) bool {
	on := f.flag(name)
	return on != nil && *on
}

// whole reads a whole number of 0 or more; absent gives nil.
func (f *fields) whole(name string) *uint64 {
	value, ok := f.take(name)
	if !ok {
		return nil
	}
	var n uint64
	if err := json.Unmarshal(value, &n); err != nil {
		f.fail(badValue(name, shown(value), "a whole number of 0 or more", fmt.Sprintf("write it like {%q: 0}", name)))
		return nil
	}
	return &n
}

// objects reads a list of JSON objects; absent gives nil.
func (f *fields) objects(name string) []json.RawMessage {
	value, ok := f.take(name)
	if !ok {
		return nil
	}
	var list []json.RawMessage
	want := fmt.Sprintf("a list of 1 to %d JSON objects", mostEdits)
	mend := fmt.Sprintf("write it like {%q: [{...}]}", name)
	if err := json.Unmarshal(value, &list); err != nil || len(list) > mostEdits {
		f.fail(badValue(name, shown(value), want, mend))
		return nil
	}
	for i, item := range list {
		if len(item) == 0 || item[0] != '{' {
			f.fail(badValue(fmt.Sprintf("%s[%d]", name, i), shown(item), "a JSON object", mend))
			return nil
		}
	}
	return list
}

// editVerbNamed finds a verb of the editor.
func editVerbNamed(name string) (editVerb, bool) {
	for _, v := range editVerbs {
		if v.name == name {
			return v, true
		}
	}
	return editVerb{}, false
}

// runEdit reads the fields of one request and does what they ask. It counts the verb by
// how it ended.
func (s *Server) runEdit(v editVerb, f *fields, role Role) (*Edited, error) {
	done, err := s.tryEdit(v, f, role)
	s.metrics.verbDone(v.name, err)
	if err != nil {
		return nil, err
	}
	if done.Changed == nil {
		done.Changed = []string{}
	}
	return &done, nil
}

func (s *Server) tryEdit(v editVerb, f *fields, role Role) (Edited, error) {
	do := v.read(f, role)
	if p := f.problem(); p != nil {
		return Edited{}, p
	}
	if s.cfg.Editor == nil {
		return Edited{}, noEditor("/api/" + v.name)
	}
	return do(s.cfg.Editor)
}

func noEditor(path string) *Problem {
	return &Problem{http.StatusConflict, codeNoEditor, "this daemon edits no show", path, "edit the show's files: they are read again as they change"}
}

// postEdit is POST /api/edit, /api/undo and /api/redo.
func (s *Server) postEdit(v editVerb) http.HandlerFunc {
	return s.postFields(v.name, func(r *http.Request, f *fields) (*Edited, error) { return s.runEdit(v, f, roleOf(r)) })
}

// getEdits is GET /api/edits.
func (s *Server) getEdits(w http.ResponseWriter, r *http.Request) {
	if s.cfg.Editor == nil {
		s.refuse(w, r, noEditor(r.URL.Path))
		return
	}
	list := s.cfg.Editor.Edits()
	list.Undo, list.Redo = append([]string{}, list.Undo...), append([]string{}, list.Redo...)
	writeJSON(w, http.StatusOK, list)
}
