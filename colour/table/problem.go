package table

import (
	"fmt"
	"strings"
)

// Problem is one thing wrong with a table: what, where, why and the mend.
type Problem struct {
	File         string
	Line, Column int // from 1; the column counts characters
	What         string
	Why          string
	Mend         string
}

// Error gives the problem in one line.
func (p *Problem) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s: %s; %s", p.File, p.Line, p.Column, p.What, p.Why, p.Mend)
}

// Problems are all that is wrong with a table, in the order of its lines, at
// most MostProblems. As an error it is for whoever shows them one by one.
type Problems []*Problem

// Add appends a problem, unless there are enough.
func (ps *Problems) Add(file string, at Field, what, why, mend string) {
	if len(*ps) < MostProblems {
		*ps = append(*ps, &Problem{file, max(at.Line, 1), max(at.Column, 1), what, why, mend})
	}
}

// Full reports whether there are enough.
func (ps Problems) Full() bool { return len(ps) >= MostProblems }

// Error gives the problems, one a line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}
