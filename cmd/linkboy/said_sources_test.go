package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// sources are the Go files of a package, read for what they tell people.
type sources struct {
	files  map[string]*ast.File
	funcs  map[string][]*ast.FuncDecl
	values map[string]ast.Expr // constants and variables of the package
	calls  map[string][]call
	depth  int
	// without are files and functions of which nothing is told to people.
	without []string
}

// call is a call of a function, with the file and the function that it stands in.
type call struct {
	file string
	in   *ast.FuncDecl
	call *ast.CallExpr
}

// readSources reads the package in a folder.
func readSources(t *testing.T, dir string) *sources {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(dir, "*.go"))
	require.NoError(t, err)
	texts := map[string]string{}
	for _, name := range names {
		if !strings.HasSuffix(name, "_test.go") {
			text, err := os.ReadFile(name)
			require.NoError(t, err)
			texts[filepath.Base(name)] = string(text)
		}
	}
	require.NotEmpty(t, texts, "no Go files in %s", dir)
	return parseSources(t, texts)
}

// parseSources takes files by their names.
func parseSources(t *testing.T, texts map[string]string) *sources {
	t.Helper()
	s := &sources{files: map[string]*ast.File{}, funcs: map[string][]*ast.FuncDecl{}, values: map[string]ast.Expr{}, calls: map[string][]call{}}
	for name, text := range texts {
		f, err := parser.ParseFile(token.NewFileSet(), name, text, parser.SkipObjectResolution)
		require.NoError(t, err)
		s.files[name] = f
		for _, d := range f.Decls {
			s.take(name, d)
		}
	}
	return s
}

func (s *sources) take(file string, d ast.Decl) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		s.funcs[d.Name.Name] = append(s.funcs[d.Name.Name], d)
		ast.Inspect(d, func(n ast.Node) bool {
			if c, ok := n.(*ast.CallExpr); ok {
				s.calls[nameOf(c.Fun)] = append(s.calls[nameOf(c.Fun)], call{file, d, c})
			}
			return true
		})
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			if v, ok := spec.(*ast.ValueSpec); ok && len(v.Values) == len(v.Names) {
				for i, name := range v.Names {
					s.values[name.Name] = v.Values[i]
				}
			}
		}
	}
}

// nameOf is the name that is called, or the type of a literal, without its package.
func nameOf(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	}
	return ""
}
