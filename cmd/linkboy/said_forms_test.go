package main

import (
	"go/ast"
	"go/token"
	"maps"
	"regexp"
	"slices"
	"strconv"
)

// part stands in a sentence for what is only known when it is said.
const part = "{}"

const (
	// mostWays is how many forms one expression can have before it is taken for any text.
	mostWays = 500
	// deepest is how far calls and names are followed.
	deepest = 40
)

// bound is what is known of a function's parameters.
type bound map[string][]string

// forms gives every text that an expression in a function can make, with part for what
// cannot be told from the sources.
func (s *sources) forms(e ast.Expr, in *ast.FuncDecl, known bound) []string {
	s.depth++
	defer func() { s.depth-- }()
	if s.depth > deepest {
		return []string{part}
	}
	switch e := e.(type) {
	case *ast.ParenExpr:
		return s.forms(e.X, in, known)
	case *ast.BasicLit:
		if text, err := strconv.Unquote(e.Value); err == nil && e.Kind == token.STRING {
			return []string{text}
		}
	case *ast.BinaryExpr:
		if e.Op == token.ADD {
			return joined(s.forms(e.X, in, known), s.forms(e.Y, in, known))
		}
	case *ast.Ident:
		return s.named(e.Name, in, known)
	case *ast.CallExpr:
		return s.called(e, in, known)
	}
	return []string{part}
}

// joined puts every text of one list before every text of another.
func joined(before, after []string) []string {
	if len(before)*len(after) > mostWays {
		return []string{part}
	}
	var out []string
	for _, a := range before {
		for _, b := range after {
			out = append(out, a+b)
		}
	}
	return out
}

// named gives what a name can stand for.
func (s *sources) named(name string, in *ast.FuncDecl, known bound) []string {
	if texts, ok := known[name]; ok {
		return texts
	}
	if at := paramAt(in, name); at >= 0 {
		return s.given(in, at)
	}
	if texts := s.assigned(name, in, known); len(texts) > 0 {
		return texts
	}
	if value, ok := s.values[name]; ok {
		return s.forms(value, nil, nil)
	}
	return []string{part}
}

// paramAt is which parameter of a function a name is; -1 for none.
func paramAt(in *ast.FuncDecl, name string) int {
	if in == nil {
		return -1
	}
	return slices.Index(params(in), name)
}

func params(f *ast.FuncDecl) []string {
	var names []string
	for _, field := range f.Type.Params.List {
		for _, n := range field.Names {
			names = append(names, n.Name)
		}
	}
	return names
}

// given is what the callers of a function pass at a place.
func (s *sources) given(f *ast.FuncDecl, at int) []string {
	var out []string
	if len(s.funcs[f.Name.Name]) == 1 {
		for _, c := range s.calls[f.Name.Name] {
			if c.in != f && at < len(c.call.Args) && !slices.Contains(s.without, c.file) && !slices.Contains(s.without, c.in.Name.Name) {
				out = append(out, s.forms(c.call.Args[at], c.in, nil)...)
			}
		}
	}
	if len(out) == 0 || len(out) > mostWays {
		return []string{part}
	}
	return out
}

// assigned is what a function puts into a variable of its own.
func (s *sources) assigned(name string, in *ast.FuncDecl, known bound) []string {
	if in == nil {
		return nil
	}
	plain, added := assignments(name, in)
	var out []string
	own := bound{name: nil} // what it is made of itself, in a second round
	maps.Copy(own, known)
	for range 2 {
		var round []string
		for _, e := range plain {
			round = append(round, s.forms(e, in, own)...)
		}
		out = append(out, round...)
		own[name] = round
	}
	if len(added) > 1 { // in the one order or another
		return []string{part}
	}
	for _, e := range added {
		out = append(out, joined(out, s.forms(e, in, own))...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// assignments are what is assigned to a variable, and what is added to it.
func assignments(name string, in *ast.FuncDecl) (plain, added []ast.Expr) {
	ast.Inspect(in, func(n ast.Node) bool {
		a, ok := n.(*ast.AssignStmt)
		if !ok || len(a.Lhs) != len(a.Rhs) {
			return true
		}
		for i, to := range a.Lhs {
			switch id, ok := to.(*ast.Ident); {
			case !ok || id.Name != name:
			case a.Tok == token.ADD_ASSIGN:
				added = append(added, a.Rhs[i])
			default:
				plain = append(plain, a.Rhs[i])
			}
		}
		return true
	})
	return plain, added
}

// called gives what a call can give: of fmt.Sprintf and the like, and of functions of the
// package.
func (s *sources) called(c *ast.CallExpr, in *ast.FuncDecl, known bound) []string {
	name := nameOf(c.Fun)
	switch name {
	case "Sprintf", "Errorf", "New":
		return s.printed(c, in, known)
	}
	_, isMethod := c.Fun.(*ast.SelectorExpr)
	found := slices.DeleteFunc(slices.Clone(s.funcs[name]), func(f *ast.FuncDecl) bool { return (f.Recv != nil) != isMethod })
	if name == "Error" || name == "String" || len(found) != 1 || found[0].Body == nil || found[0] == in {
		return []string{part}
	}
	results := found[0].Type.Results
	if results == nil || len(results.List) != 1 || nameOf(results.List[0].Type) != "string" {
		return []string{part}
	}
	passed := bound{}
	for i, param := range params(found[0]) {
		passed[param] = []string{part}
		if i < len(c.Args) {
			passed[param] = s.forms(c.Args[i], in, known)
		}
	}
	var out []string
	ast.Inspect(found[0].Body, func(n ast.Node) bool {
		if r, ok := n.(*ast.ReturnStmt); ok && len(r.Results) == 1 {
			out = append(out, s.forms(r.Results[0], found[0], passed)...)
		}
		return true
	})
	return out
}

var verbOf = regexp.MustCompile(`%[-+# 0]*\d*(?:\.\d+)?[a-zA-Z%]`)

// printed is what fmt.Sprintf makes.
func (s *sources) printed(c *ast.CallExpr, in *ast.FuncDecl, known bound) []string {
	var out []string
	for _, format := range s.forms(c.Args[0], in, known) {
		ways, rest, args := []string{""}, format, c.Args[1:]
		for at := verbOf.FindStringIndex(rest); at != nil; at = verbOf.FindStringIndex(rest) {
			verb, value := rest[at[0]:at[1]], []string{part}
			switch {
			case verb == "%%":
				value = []string{"%"}
			case verb == "%q":
				value = []string{strconv.Quote(part)}
			case (verb == "%s" || verb == "%v") && len(args) > 0 && !c.Ellipsis.IsValid():
				value = s.forms(args[0], in, known)
			}
			if verb != "%%" && len(args) > 0 {
				args = args[1:]
			}
			ways = joined(joined(ways, []string{rest[:at[0]]}), value)
			rest = rest[at[1]:]
		}
		out = append(out, joined(ways, []string{rest})...)
	}
	return out
}
