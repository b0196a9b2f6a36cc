package session

import (
	"errors"

	"linkboy/cues"
)

// Kind says what sort of refusal it is, so that a caller can answer with the
// right status.
type Kind uint8

// The kinds of refusal.
const (
	Invalid  Kind = iota // the request itself makes no sense
	Unknown              // it names something that is not there
	Conflict             // it makes sense, but not now
)

// Refusal is why a verb was not done: nothing has changed. It is an error.
type Refusal struct {
	Code    string `json:"code"`
	Message string `json:"message"`
	Where   string `json:"where"`
	Mend    string `json:"mend"`
	Kind    Kind   `json:"-"`
}

// Error gives the refusal in one line.
func (r *Refusal) Error() string {
	text := r.Message
	if r.Where != "" {
		text = r.Where + ": " + text
	}
	if r.Mend != "" {
		text += "; " + r.Mend
	}
	return text
}

// Codes of refusals that are no problems of a show file.
const (
	codeNoTarget    = "no-target"
	codeNothingRuns = "nothing-runs"
	codeNotHeld     = "not-held"
	codeNoWayBack   = "no-way-back"
	codeNoStandby   = "no-stand-by"
	codeStopped     = "stopped"
	codeNoPicture   = "no-picture"
	codeUnknownCell = "unknown-cell"
	codeLocationLit = "location-is-lit"

	codeNoJournal   = "no-journal"
	codeNoSlate     = "no-slate"
	codeHot         = "hot-set"
	codeNotRolling  = "not-rolling"
	codeUnknownTake = "unknown-take"
	codeDoubledTake = "take-doubled"
	codeBadTaps     = "bad-taps"
	codeBounce      = "bounce"
	codeHandsFirst  = "hands-first"
	codeCueRuns     = "cue-runs"
	codeNoSetup     = "no-setup"
)

func refuse(kind Kind, code, message, mend string) *Refusal {
	return &Refusal{Code: code, Message: message, Mend: mend, Kind: kind}
}

// refusalOf turns a problem of the show, or of a value in a request, into a
// refusal; where stands in when the problem has no place.
func refusalOf(err error, where string) *Refusal {
	var p *cues.Problem
	if !errors.As(err, &p) {
		return &Refusal{Code: "failed", Message: err.Error(), Where: where, Kind: Conflict}
	}
	r := &Refusal{Code: p.Code, Message: p.What, Where: p.Pos.String(), Mend: p.Mend}
	if p.Why != "" {
		r.Message += ": " + p.Why
	}
	if r.Where == "" {
		r.Where = where
	}
	return r
}
