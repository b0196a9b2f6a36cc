package cues_test

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
)

func TestProblemsSort(t *testing.T) {
	at := func(file string, line, column int, code string) *cues.Problem {
		return &cues.Problem{Pos: cues.Pos{File: file, Line: line, Column: column}, Code: code, Severity: cues.Error}
	}
	want := cues.Problems{at("a.yaml", 2, 1, "x"), at("a.yaml", 10, 3, "x"), at("a.yaml", 10, 12, "a"), at("a.yaml", 10, 12, "b"), at("b.yaml", 1, 1, "x")}
	got := cues.Problems{want[4], want[2], want[0], want[3], want[1]}
	got.Sort()
	require.Equal(t, want, got)
}

func TestProblemsFilter(t *testing.T) {
	e := cues.NewProblem(cues.Pos{File: "kit.yaml", Line: 3, Column: 5}, cues.CodeUnknownType, `no lamp type is named "tub"`, "known are tube", `write "tube"`)
	w := cues.NewProblem(cues.Pos{}, cues.CodePortZero, "zero", "why", "mend")
	ps := cues.Problems{e, w}
	require.Equal(t, cues.Problems{e}, ps.Errors())
	require.Equal(t, cues.Problems{w}, ps.Warnings())
	require.True(t, ps.HasErrors())
	require.False(t, ps.Warnings().HasErrors())
	require.NoError(t, ps.Warnings().Err())
	require.NoError(t, cues.Problems(nil).Err())

	err := ps.Err()
	var p *cues.Problem
	require.True(t, errors.As(err, &p))
	require.Same(t, e, p)
	require.Equal(t, `kit.yaml:3:5: no lamp type is named "tub": known are tube; write "tube"`, err.Error())
	require.Contains(t, ps.Error(), "(and 1 more)")
	require.Equal(t, cues.Error, cues.NewProblem(cues.Pos{}, "of-another-room", "", "", "").Severity)
}

// Every code that has a name has an explanation, and the other way round.
func TestCatalogue(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "problem_codes.go", nil, 0)
	require.NoError(t, err)
	named := map[string]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok || !strings.HasPrefix(spec.Names[0].Name, "Code") {
			return true
		}
		code, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
		require.NoError(t, err)
		require.False(t, named[code], "%s stands twice", code)
		named[code] = true
		return true
	})
	require.NotEmpty(t, named)
	for code := range named {
		require.NotEmpty(t, cues.Explain(code), "%s has no explanation", code)
		require.Regexp(t, `^[a-z][a-z0-9-]*$`, code)
		require.NotRegexp(t, `\.$`, cues.Explain(code), "no full stop")
	}
	require.Len(t, cues.Codes(), len(named))
	for code, severity := range cues.Catalogue() {
		require.True(t, named[code], "%s has no name", code)
		require.Contains(t, []cues.Severity{cues.Error, cues.Warning}, severity)
	}
	require.Empty(t, cues.Explain("no-such-code"))
}
