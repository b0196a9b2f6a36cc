package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"linkboy/cues"
	"linkboy/cues/showfile"
)

// problemJSON is one problem as `check --json` prints it.
type problemJSON struct {
	File     string `json:"file"`
	Line     int    `json:"line"`
	Column   int    `json:"column"`
	Code     string `json:"code"`
	Severity string `json:"severity"`
	What     string `json:"what"`
	Why      string `json:"why"`
	Mend     string `json:"mend"`
}

// printProblemsJSON prints {"problems": [...]}.
func printProblemsJSON(w io.Writer, problems cues.Problems) error {
	list := make([]problemJSON, 0, len(problems))
	for _, p := range problems {
		list = append(list, problemJSON{
			File: p.File, Line: p.Line, Column: p.Column,
			Code: p.Code, Severity: string(p.Severity),
			What: p.What, Why: p.Why, Mend: p.Mend,
		})
	}
	return writeJSON(w, map[string]any{"problems": list})
}

// writeJSON prints one indented JSON document.
func writeJSON(w io.Writer, v any) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// printProblems prints each problem with the line it is about; dir is the
// show's folder, "" when the files are not on disk.
func printProblems(w io.Writer, dir string, problems cues.Problems) {
	for _, p := range problems {
		where := p.Pos.String()
		if where != "" {
			where += ": "
		}
		fmt.Fprintf(w, "%s%s: %s [%s]\n", where, p.Severity, p.What, p.Code)
		if excerpt := excerptOf(dir, p); excerpt != "" {
			fmt.Fprint(w, excerpt)
		}
		if p.Why != "" {
			fmt.Fprintf(w, "  why:  %s\n", p.Why)
		}
		if p.Mend != "" {
			fmt.Fprintf(w, "  mend: %s\n", p.Mend)
		}
	}
}

// excerptOf gives the line that p points at with a caret under its column.
// A file that cannot be read any more has none.
func excerptOf(dir string, p *cues.Problem) string {
	if dir == "" || p.Line == 0 {
		return ""
	}
	src, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(p.File)))
	if err != nil {
		return ""
	}
	return showfile.Excerpt(src, p.Pos)
}

// countProblems says how many errors and warnings there are, in words.
func countProblems(problems cues.Problems) string {
	errs := len(problems.Errors())
	return fmt.Sprintf("%s, %s", plural(errs, "error"), plural(len(problems)-errs, "warning"))
}

// plural gives "1 lamp" or "2 lamps".
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
