package showfile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"

	"gopkg.in/yaml.v3"

	"linkboy/colour/table"
	"linkboy/cues"
)

// tableFile is a table of figures that a show file names.
type tableFile struct {
	name    string
	example string // of such a name
	missing string // the code of a file that is not there
	bad     string // and of one that is not right
	why     string // what is wanted of it
	mend    string // where it is not there
}

// table reads the table that n names. What is wrong in it has its place there,
// what is wrong with the file as a whole has n's.
func (l *loader) table(r *reader, n *yaml.Node, t tableFile, read func(io.Reader) error) {
	if !fs.ValidPath(t.name) {
		r.problem(n, t.missing, fmt.Sprintf("%q is no file of the show", shorten(t.name)),
			"it must lie in the show's folder", "copy it there and write its name, like "+t.example)
		return
	}
	f, err := l.fsys.Open(t.name)
	if errors.Is(err, fs.ErrNotExist) {
		r.problem(n, t.missing, "the show has no file "+shorten(t.name), t.why, t.mend)
		return
	}
	if err == nil {
		defer f.Close()
		err = read(f)
	}
	var found table.Problems
	switch {
	case errors.As(err, &found):
		for _, p := range found {
			l.sink.add(cues.NewProblem(cues.Pos{File: t.name, Line: p.Line, Column: p.Column}, t.bad, p.What, p.Why, p.Mend))
		}
	case err != nil:
		r.problem(n, cues.CodeFileRead, shorten(t.name)+" cannot be read", reason(err), "check what it is and who may read it")
	}
}
