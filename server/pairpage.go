package server

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"net/http"
	"net/url"
	"strings"
)

//go:embed pair.css
var pairStyle string

//go:embed pair.html
var pairText string

var pairTemplate = template.Must(template.New("pair").Parse(pairText))

// pairPolicy allows what the pairing page has: its own style and a form.
var pairPolicy = func() string {
	sum := sha256.Sum256([]byte(pairStyle))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) +
		"'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
}()

// stops answers a request that comes without pairing, and reports whether it
// did. /healthz says nothing that must be kept.
func (p *pairing) stops(w http.ResponseWriter, r *http.Request, s *Server, role Role) bool {
	reads := r.Method == http.MethodGet || r.Method == http.MethodHead
	switch {
	case r.URL.Path == "/healthz", r.URL.Path == pairPath && r.Method == http.MethodPost:
		return false
	case r.URL.Path == "/" && r.URL.Query().Has("code") && r.Method == http.MethodGet:
		p.byLink(w, r, role)
		return true
	case role != nobody:
		return false
	case reads && forPeople(r):
		showPairPage(w, http.StatusUnauthorized, nil)
		return true
	}
	challenge(w)
	s.refuse(w, r, notPaired)
	return true
}

// challenge names the way in, as every answer 401 must (RFC 9110 15.5.2).
func challenge(w http.ResponseWriter) { w.Header().Set("WWW-Authenticate", `Pairing realm="linkboy"`) }

// forPeople reports whether a person waits for the answer at a browser.
func forPeople(r *http.Request) bool {
	for _, machine := range []string{"/api/", "/ws", "/metrics"} {
		if strings.HasPrefix(r.URL.Path, machine) {
			return false
		}
	}
	return strings.Contains(r.Header.Get("Accept"), "text/html")
}

// byLink is GET /?code=..., as the QR code says it: it pairs and goes on to
// the page, so that the code stays in no address bar. A device that is paired for less, or
// for more, is paired as the code says; an old code changes nothing.
func (p *pairing) byLink(w http.ResponseWriter, r *http.Request, role Role) {
	code := r.URL.Query().Get("code")
	if role == nobody || p.roleOfCode(code) != nobody {
		if problem := p.try(w, r, code); problem != nil {
			showPairPage(w, problem.Status, problem)
			return
		}
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

const pairPath = "/pair"

// postPair is POST /pair, from the pairing page's form or as JSON {code}.
func (s *Server) postPair(w http.ResponseWriter, r *http.Request) {
	body, p := readBody(w, r, "application/json", formType)
	if p != nil {
		s.refuse(w, r, p)
		return
	}
	if mediaType(r) == formType {
		s.pairByForm(w, r, body)
		return
	}
	f, p := parseFields(body)
	if p == nil {
		code := f.needText("code", "abcd-efgh")
		if p = f.problem(); p == nil && s.pairing != nil {
			p = s.pairing.try(w, r, code)
		}
	}
	if p != nil {
		if p.Status == http.StatusUnauthorized {
			challenge(w)
		}
		s.refuse(w, r, p)
		return
	}
	writeJSON(w, http.StatusOK, done{OK: true})
}

const formType = "application/x-www-form-urlencoded"

func (s *Server) pairByForm(w http.ResponseWriter, r *http.Request, body []byte) {
	form, err := url.ParseQuery(string(body))
	if err != nil {
		showPairPage(w, http.StatusBadRequest, badValue("code", "garbled", "a form", "type the code that the daemon shows"))
		return
	}
	if s.pairing != nil {
		if p := s.pairing.try(w, r, form.Get("code")); p != nil {
			showPairPage(w, p.Status, p)
			return
		}
	}
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// getPair is GET /pair, where a browser stands after a wrong code: whoever
// gets here is paired.
func (s *Server) getPair(w http.ResponseWriter, r *http.Request) {
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// showPairPage asks for the code, and says what was wrong with the last one.
func showPairPage(w http.ResponseWriter, status int, wrong *Problem) {
	var text bytes.Buffer
	err := pairTemplate.Execute(&text, struct {
		Style template.CSS
		Wrong *Problem
	}{template.CSS(pairStyle), wrong})
	if err != nil {
		panic(err) // the template and its data are fixed
	}
	h := w.Header()
	if status == http.StatusUnauthorized {
		challenge(w)
	}
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Content-Security-Policy", pairPolicy)
	w.WriteHeader(status)
	_, _ = w.Write(text.Bytes()) // a reader that has gone away is no error of ours
}
