package cues

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Pos is a place in a show file; the zero Pos is no place.
type Pos struct {
	File         string
	Line, Column int // 1-based
}

// String gives file:line:column.
func (p Pos) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Severity tells an error, which stops a show from loading, from a warning.
type Severity string

// The severities.
const (
	Error   Severity = "error"
	Warning Severity = "warning"
)

// Problem is one thing wrong with a show or a request: what, where, why and
// the mend. Code is stable and is listed in problem_codes.go.
type Problem struct {
	Pos
	Code     string
	Severity Severity
	What     string
	Why      string
	Mend     string
}

// Error gives the problem in one line.
func (p *Problem) Error() string {
	var b strings.Builder
	if at := p.Pos.String(); at != "" {
		b.WriteString(at + ": ")
	}
	b.WriteString(p.What)
	if p.Why != "" {
		b.WriteString(": " + p.Why)
	}
	if p.Mend != "" {
		b.WriteString("; " + p.Mend)
	}
	return b.String()
}

// Problems is a list of problems, sorted by place.
type Problems []*Problem

// Sort puts ps in the order of file, line, column, then code and what.
func (ps Problems) Sort() {
	slices.SortStableFunc(ps, func(a, b *Problem) int {
		return cmp.Or(
			cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column),
			cmp.Compare(a.Code, b.Code), cmp.Compare(a.What, b.What))
	})
}

// Errors gives the problems that stop a show from loading, in order.
func (ps Problems) Errors() Problems { return ps.only(Error) }

// Warnings gives the problems that do not stop a show, in order.
func (ps Problems) Warnings() Problems { return ps.only(Warning) }

// HasErrors reports whether any problem is an error.
func (ps Problems) HasErrors() bool {
	return slices.ContainsFunc(ps, func(p *Problem) bool { return p.Severity == Error })
}

func (ps Problems) only(severity Severity) Problems {
	var out Problems
	for _, p := range ps {
		if p.Severity == severity {
			out = append(out, p)
		}
	}
	return out
}

// Err gives ps as one error, nil when no problem is an error.
func (ps Problems) Err() error {
	if errs := ps.Errors(); len(errs) > 0 {
		return errs
	}
	return nil
}

// Error gives the first problem and how many follow.
func (ps Problems) Error() string {
	switch len(ps) {
	case 0:
		return "no problems"
	case 1:
		return ps[0].Error()
	}
	return fmt.Sprintf("%s (and %d more)", ps[0].Error(), len(ps)-1)
}

// Unwrap lets errors.As find the problems.
func (ps Problems) Unwrap() []error {
	errs := make([]error, len(ps))
	for i, p := range ps {
		errs[i] = p
	}
	return errs
}
