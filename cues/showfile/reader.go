package showfile

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// maxProblems is how many problems one load tells; past it something is wrong
// with the file as a whole.
const maxProblems = 500

// sink collects the problems of a load.
type sink struct {
	problems cues.Problems
	dropped  int
}

func (s *sink) add(p *cues.Problem) {
	if len(s.problems) >= maxProblems {
		s.dropped++
		return
	}
	s.problems = append(s.problems, p)
}

// sorted gives the problems in order of place.
func (s *sink) sorted() cues.Problems {
	if s.dropped > 0 {
		s.problems = append(s.problems, cues.NewProblem(cues.Pos{}, cues.CodeTooMany,
			fmt.Sprintf("%d more problems are not listed", s.dropped),
			fmt.Sprintf("only the first %d found are", maxProblems), "mend those and check again"))
		s.dropped = 0
	}
	s.problems.Sort()
	return s.problems
}

// reader reads the nodes of one file and tells their problems to a sink.
type reader struct {
	file string
	sink *sink
}

func (r *reader) pos(n *yaml.Node) cues.Pos {
	return cues.Pos{File: r.file, Line: max(n.Line, 1), Column: max(n.Column, 1)}
}

func (r *reader) problem(n *yaml.Node, code, what, why, mend string) {
	r.sink.add(cues.NewProblem(r.pos(n), code, what, why, mend))
}

// entry is one key of a map: what reads its value, and whether it must be there.
type entry struct {
	read   func(*yaml.Node)
	needed bool
}

func need(read func(*yaml.Node)) entry { return entry{read, true} }
func may(read func(*yaml.Node)) entry  { return entry{read, false} }

// schema is the keys that a map may have.
type schema map[string]entry

// keys reads a map that has a fixed set of keys. what names the map in
// problems ("a cue"). It reports whether n is a map with every needed key.
func (r *reader) keys(n *yaml.Node, what string, known schema) bool {
	seen := map[string]bool{} // also what an unknown key was probably meant to be
	whole := true
	ok := r.each(n, what, func(key, value *yaml.Node) {
		seen[key.Value] = true
		field, found := known[key.Value]
		if !found {
			near := r.unknownKey(key, what, known)
			seen[near] = true
			whole = whole && !known[near].needed
			return
		}
		if r.present(key, value) {
			field.read(value)
		}
	})
	if !ok {
		return false
	}
	ok = whole
	for _, name := range sortedKeys(known) {
		if known[name].needed && !seen[name] {
			r.problem(n, cues.CodeMissingKey, fmt.Sprintf("%s has no %q", what, name),
				"it cannot be understood without", fmt.Sprintf("add %q", name+":"))
			ok = false
		}
	}
	return ok
}

// unknownKey tells a key that is not known and gives the one that was
// probably meant, "" for none.
func (r *reader) unknownKey(key *yaml.Node, what string, known schema) string {
	names := sortedKeys(known)
	mend := "use one of " + list(names)
	near := cues.Nearest(key.Value, names)
	if near != "" {
		mend = fmt.Sprintf("write %q, or one of %s", near, list(names))
	}
	r.problem(key, cues.CodeUnknownKey, fmt.Sprintf("unknown key %q in %s", key.Value, what),
		"a slip in a key would otherwise go unseen", mend)
	return near
}

// each calls read for every key of the map n with its value, in file order,
// once for a key that stands twice. It reports whether n is a map.
func (r *reader) each(n *yaml.Node, what string, read func(key, value *yaml.Node)) bool {
	if n.Kind != yaml.MappingNode {
		r.shape(n, what, "a map (key: value)")
		return false
	}
	first := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		if key.Kind != yaml.ScalarNode {
			r.shape(key, "a key of "+what, "a single word")
			continue
		}
		if before, twice := first[key.Value]; twice {
			r.problem(key, cues.CodeDuplicateKey, fmt.Sprintf("key %q stands twice in %s", key.Value, what),
				fmt.Sprintf("it is already at line %d", before.Line), "keep one of the two, or rename one")
			continue
		}
		first[key.Value] = key
		read(key, value)
	}
	return true
}

// items calls read for every item of the list n and reports whether n is a list.
func (r *reader) items(n *yaml.Node, what string, read func(item *yaml.Node)) bool {
	if n.Kind != yaml.SequenceNode {
		r.shape(n, what, "a list ([a, b])")
		return false
	}
	for _, item := range n.Content {
		if r.present(n, item) {
			read(item)
		}
	}
	return true
}

// present reports whether value holds anything; an empty one is a problem at
// its key.
func (r *reader) present(key, value *yaml.Node) bool {
	if !isNull(value) {
		return true
	}
	what := "an empty item in a list"
	if key.Kind == yaml.ScalarNode {
		what = fmt.Sprintf("%q has no value", key.Value)
	} else {
		key = value
	}
	r.problem(key, cues.CodeEmptyValue, what, "nothing stands behind it; # starts a comment, so a value with # needs quotes",
		"give it a value, or take it out")
	return false
}

func isNull(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.ShortTag() == "!!null" }

func (r *reader) shape(n *yaml.Node, what, wanted string) {
	r.problem(n, cues.CodeWrongShape, fmt.Sprintf("%s must be %s", what, wanted),
		"this is "+shapeOf(n), "write it as "+wanted)
}

func shapeOf(n *yaml.Node) string {
	switch {
	case n.Kind == yaml.MappingNode:
		return "a map"
	case n.Kind == yaml.SequenceNode:
		return "a list"
	case isNull(n):
		return "empty"
	}
	return fmt.Sprintf("the single value %q", shorten(n.Value))
}

// text reads a single value; "" after a problem.
func (r *reader) text(n *yaml.Node, what string) string {
	if n.Kind != yaml.ScalarNode {
		r.shape(n, what, "a single value")
		return ""
	}
	return n.Value
}

// name reads a name that other places use; "" after a problem.
func (r *reader) name(n *yaml.Node, what string) string {
	text := r.text(n, what)
	if text == "" || r.goodName(n, what, text, false) {
		return text
	}
	return ""
}

// goodName reports whether text can be a name: letters, digits, - and _, and
// single spaces inside where spaced.
func (r *reader) goodName(n *yaml.Node, what, text string, spaced bool) bool {
	for i, c := range text {
		inside := i > 0 && i < len(text)-1
		if !nameRune(c, inside) && !(spaced && c == ' ' && inside && text[i-1] != ' ') || len(text) > maxName {
			allowed := "letters, digits, - and _"
			if spaced {
				allowed += ", and single spaces inside"
			}
			r.problem(n, cues.CodeBadName, fmt.Sprintf("%q cannot be the name of %s", shorten(text), what),
				fmt.Sprintf("names have %s, at most %d bytes", allowed, maxName), "choose another name")
			return false
		}
	}
	if text == "" {
		r.problem(n, cues.CodeBadName, what+" has an empty name", "nothing could refer to it", "give it a name")
	}
	return text != ""
}

// word reads one of a few words; "" after a problem.
func (r *reader) word(n *yaml.Node, what string, known ...string) string {
	text := r.text(n, what)
	if text == "" || slices.Contains(known, text) {
		return text
	}
	r.unknown(n, cues.CodeBadWord, fmt.Sprintf("%q is no %s", shorten(text), what), text, known)
	return ""
}

// unknown tells a name that is none of the known ones.
func (r *reader) unknown(n *yaml.Node, code, what, word string, known []string) {
	r.sink.add(unknownProblem(r.pos(n), code, what, word, known))
}

func unknownProblem(at cues.Pos, code, what, word string, known []string) *cues.Problem {
	why, mend := "known are "+list(known), "use one of them"
	if len(known) == 0 {
		why, mend = "there are none", "make one of that name first, or take this out"
	}
	if near := cues.Nearest(word, known); near != "" {
		mend = fmt.Sprintf("write %q", near)
	}
	return cues.NewProblem(at, code, what, why, mend)
}

// yesNo reads true or false.
func (r *reader) yesNo(n *yaml.Node, what string) bool {
	switch text := r.text(n, what); text {
	case "true":
		return true
	case "false", "":
	default:
		r.problem(n, cues.CodeBadWord, fmt.Sprintf("%q is neither true nor false for %s", shorten(text), what),
			"it is one or the other", "write true or false")
	}
	return false
}

func sortedKeys[V any](m map[string]V) []string {
	names := make([]string, 0, len(m))
	for name := range m {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// list writes names for a sentence, at most a dozen.
func list(names []string) string {
	const most = 12
	if len(names) > most {
		return strings.Join(names[:most], ", ") + fmt.Sprintf(" and %d more", len(names)-most)
	}
	return strings.Join(names, ", ")
}

// shorten keeps a quoted text from filling the screen.
func shorten(text string) string {
	const most = 60
	runes := []rune(text)
	if len(runes) <= most {
		return text
	}
	return string(runes[:most]) + "..."
}
