package main

import (
	"go/ast"
	"go/token"
	"slices"
	"strconv"
)

// told is one thing that people are told.
type told struct {
	Text string `json:"text"`
	Word bool   `json:"word"` // it is no sentence, but a part of one
	At   string `json:"at"`   // the package
}

func (s told) key() string { return s.Text + "\x00" + strconv.FormatBool(s.Word) }

// tellingIn is a package that tells people something.
type tellingIn struct {
	dir     string
	without []string // files and functions of which nothing is told to people
	gives   []string // functions that give a sentence
	prints  []string // functions of which everything that fmt.Sprintf makes is one
	words   []string // functions, variables and types of constants whose texts are parts of sentences
}

// shown are the fields of types that a page shows.
var shown = map[string][]string{
	"Refusal":    {"Message", "Mend"},
	"Problem":    {"Message", "Mend"},
	"Warning":    {"Message", "Why", "Where", "Mend"},
	"PhotoError": {"Why", "Mend"},
	"Finding":    {"What", "Mend"},
}

// inOrder are the fields of types whose literals name none.
var inOrder = map[string][]string{
	"Problem": {"", "", "Message", "", "Mend"},
	"Finding": {"", "What", "Mend"},
}

// tells lists what a package tells people.
func (s *sources) tells(from tellingIn) []told {
	s.without = from.without
	var list []told
	for name, f := range s.files {
		if slices.Contains(from.without, name) {
			continue
		}
		for _, d := range f.Decls {
			list = append(list, s.toldBy(from, d)...)
		}
	}
	return list
}

func (s *sources) toldBy(from tellingIn, d ast.Decl) []told {
	var list []told
	fn, _ := d.(*ast.FuncDecl)
	tell := func(word bool, exprs ...ast.Expr) {
		for _, e := range exprs {
			for _, text := range s.forms(e, fn, nil) {
				list = append(list, told{text, word, from.dir})
			}
		}
	}
	if fn != nil && slices.Contains(from.without, fn.Name.Name) {
		return nil
	}
	ast.Inspect(d, func(n ast.Node) bool {
		for field, exprs := range fieldsOf(n) {
			tell(field == "Where", exprs...)
		}
		switch n := n.(type) {
		case *ast.ReturnStmt:
			if fn != nil && len(n.Results) == 1 && slices.Contains(from.gives, fn.Name.Name) {
				tell(false, n.Results[0])
			}
		case *ast.CallExpr:
			if fn != nil && slices.Contains(from.prints, fn.Name.Name) && slices.Contains([]string{"Sprintf", "Errorf", "New"}, nameOf(n.Fun)) {
				tell(false, n)
			}
		}
		return true
	})
	tell(true, wordsOf(from, d)...)
	return list
}

// fieldsOf gives what a piece of source puts into fields that a page shows.
func fieldsOf(n ast.Node) map[string][]ast.Expr {
	out := map[string][]ast.Expr{}
	switch n := n.(type) {
	case *ast.CompositeLit:
		list, ok := n.Type.(*ast.ArrayType)
		if !ok {
			fieldsIn(n, nameOf(n.Type), out)
			break
		}
		for _, e := range n.Elts { // whose own type need not be written
			if item, ok := e.(*ast.CompositeLit); ok && item.Type == nil {
				fieldsIn(item, nameOf(list.Elt), out)
			}
		}
	case *ast.CallExpr:
		if nameOf(n.Fun) == "NewProblem" && len(n.Args) == 5 {
			out["What"] = n.Args[2:]
		}
	case *ast.AssignStmt:
		for i, to := range n.Lhs {
			field, ok := to.(*ast.SelectorExpr)
			if ok && len(n.Lhs) == len(n.Rhs) && slices.Contains([]string{"Message", "Why", "Mend"}, field.Sel.Name) {
				e := n.Rhs[i]
				if n.Tok == token.ADD_ASSIGN { // behind a sentence, whichever
					e = &ast.BinaryExpr{X: &ast.BasicLit{Kind: token.STRING, Value: `"cut first"`}, Op: token.ADD, Y: e}
				}
				out[field.Sel.Name] = append(out[field.Sel.Name], e)
			}
		}
	}
	return out
}

func fieldsIn(lit *ast.CompositeLit, kind string, out map[string][]ast.Expr) {
	for i, e := range lit.Elts {
		field := ""
		if named, ok := e.(*ast.KeyValueExpr); ok {
			field, e = nameOf(named.Key), named.Value
		} else if i < len(inOrder[kind]) {
			field = inOrder[kind][i]
		}
		if slices.Contains(shown[kind], field) {
			out[field] = append(out[field], e)
		}
	}
}

// wordsOf lists the texts that a declaration has in lists, or says with "say", and those of
// its constants, where words are asked of it.
func wordsOf(from tellingIn, d ast.Decl) []ast.Expr {
	var out []ast.Expr
	switch d := d.(type) {
	case *ast.FuncDecl:
		if !slices.Contains(from.words, d.Name.Name) {
			return nil
		}
		ast.Inspect(d, func(n ast.Node) bool {
			if c, ok := n.(*ast.CallExpr); ok && nameOf(c.Fun) == "say" {
				out = append(out, literals(c.Args[len(c.Args)-1])...)
			}
			list, ok := n.(*ast.CompositeLit)
			if ok {
				out = append(out, literals(list)...)
			}
			return !ok
		})
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			if v, ok := spec.(*ast.ValueSpec); ok && (slices.Contains(from.words, v.Names[0].Name) || slices.Contains(from.words, nameOf(v.Type))) {
				for _, value := range v.Values {
					out = append(out, literals(value)...)
				}
			}
		}
	}
	return out
}

// literals are the texts in an expression, but for those that it calls with.
func literals(e ast.Expr) []ast.Expr {
	var out []ast.Expr
	ast.Inspect(e, func(n ast.Node) bool {
		if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
			out = append(out, lit)
		}
		_, calls := n.(*ast.CallExpr)
		return !calls
	})
	return out
}
