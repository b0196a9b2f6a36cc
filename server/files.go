package server

import (
	"fmt"

	"linkboy/cues/session"
)

// codeShowBroken is the warning of a show on disk that is not what runs.
const codeShowBroken = "show-broken"

// mostProblems is how many problems of the show's files pages are told as warnings;
// /api/state has all of them.
const mostProblems = 12

// fileWarnings tells people why the show on disk is not taken in.
func fileWarnings(f *session.Files) []session.Warning {
	if f == nil || len(f.Problems) == 0 {
		return nil
	}
	out := []session.Warning{{
		Code: codeShowBroken, Where: "the show on disk",
		Message: fmt.Sprintf("what was saved has %s and is not taken in; what runs is the show as it was before", count(len(f.Problems), "problem")),
		Mend:    "mend the files and save them: they are read again by themselves",
	}}
	for i, p := range f.Problems {
		if i == mostProblems {
			out = append(out, session.Warning{Code: codeShowBroken, Where: "the show on disk", Message: fmt.Sprintf("and %d more", len(f.Problems)-i), Mend: "linkboy check lists them all"})
			break
		}
		where := p.File
		if p.Line > 0 {
			where = fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
		}
		out = append(out, session.Warning{Code: p.Code, Message: p.What, Why: p.Why, Where: where, Mend: p.Mend})
	}
	return out
}

// count gives "1 problem" or "2 problems".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
