package server

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"

	"linkboy/cues"
)

// Problem is a refusal as the outside sees it: what, where and the mend. The
// status is that of HTTP; over the websocket it is not sent.
type Problem struct {
	Status  int    `json:"-"`
	Code    string `json:"code"` // stable; scripts may branch on it
	Message string `json:"message"`
	Where   string `json:"where"` // the field, header or path at fault
	Mend    string `json:"mend"`
}

// Error gives the problem in one line.
func (p *Problem) Error() string {
	text := p.Message
	if p.Where != "" {
		text = p.Where + ": " + text
	}
	if p.Mend != "" {
		text += "; " + p.Mend
	}
	return text
}

// What can be wrong with a request. Codes of refused verbs are the director's.
const (
	codeNoSuchPath   = "no-such-path"
	codeMethod       = "wrong-method"
	codeContentType  = "wrong-content-type"
	codeTooLarge     = "too-large"
	codeBadJSON      = "bad-json"
	codeUnknownField = "unknown-field"
	codeDoubledField = "duplicate-field"
	codeMissingField = "missing-field"
	codeBadValue     = "bad-value"
	codeUnknownVerb  = "unknown-verb"
	codeNotText      = "not-text"
	codeTooOften     = "too-often"
	codeHost         = "foreign-host"
	codeOrigin       = "foreign-origin"
	codeNotPaired    = "not-paired"
	codeWrongCode    = "wrong-pairing-code"
	codeNotYours     = "not-yours"
	codeNoPairing    = "no-pairing"
	codeNotWebsocket = "not-a-websocket"
	codeFull         = "too-many-pages"
	codeStopping     = "stopping"
	codeInternal     = "internal"
	codeNoDevices    = "no-devices"
	codeNoDevice     = "no-such-device"
	codeNoSuchLamp   = "unknown-lamp"
	codeHotSet       = "hot-set"
	codeDeviceFailed = "device-failed"
	codeNoLight      = "no-light"
	codeNoEditor     = "no-editor"
	codeNoTakes      = "no-takes"
	codeBadPhoto     = "bad-photo"
)

// badValue is a field whose value cannot be read.
func badValue(field, got, want, mend string) *Problem {
	return &Problem{http.StatusBadRequest, codeBadValue, fmt.Sprintf("%s is %s, not %s", field, got, want), field, mend}
}

// hint ends a message with the nearest known word, when one is near.
func hint(word string, known []string) string {
	if near := cues.Nearest(word, known); near != "" {
		return fmt.Sprintf("; the nearest is %q", near)
	}
	return ""
}

// mendWords says which words to use.
func mendWords(word string, known []string) string {
	if near := cues.Nearest(word, known); near != "" {
		return fmt.Sprintf("write %q", near)
	}
	return "use one of " + strings.Join(known, ", ")
}

// asProblem turns an error into what the outside may see of it. known is
// false for an error that nobody expected: its text is for the log only.
func asProblem(err error) (p *Problem, known bool) {
	if errors.As(err, &p) {
		return p, true
	}
	if p := refusal(err); p != nil {
		return p, true
	}
	return &Problem{http.StatusInternalServerError, codeInternal, "the daemon failed at this request", "", "try again; what went wrong is in the daemon's log"}, false
}

// refuse answers a request with what is wrong.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, err error) {
	p, known := asProblem(err)
	if !known {
		s.log.Error("request failed", "method", r.Method, "path", r.URL.Path, "error", err)
	}
	writeJSON(w, p.Status, struct {
		Error *Problem `json:"error"`
	}{p})
}

// writeJSON sends body. A reader that has gone away is no error of ours.
func writeJSON(w http.ResponseWriter, status int, body any) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(body)
}
