package camera

import (
	"fmt"
	"strings"
)

// Problem is one thing wrong with a table of sensitivities: what, where, why
// and the mend.
type Problem struct {
	File         string
	Line, Column int // 1-based; the column counts characters
	What         string
	Why          string
	Mend         string
}

// Error gives the problem in one line.
func (p *Problem) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s: %s; %s", p.File, p.Line, p.Column, p.What, p.Why, p.Mend)
}

// Problems are all that is wrong with a table, in the order of its lines. It
// is the error of ReadCSV.
type Problems []*Problem

// Error gives the problems, one a line.
func (ps Problems) Error() string {
	var lines []string
	for _, p := range ps {
		lines = append(lines, p.Error())
	}
	return strings.Join(lines, "\n")
}
