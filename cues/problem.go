package cues

import (
	"fmt"
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
