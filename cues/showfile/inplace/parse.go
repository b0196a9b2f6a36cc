package inplace

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// UnsureError says why a text cannot be changed with certainty.
type UnsureError struct {
	Line int // 1-based; 0 for the text as a whole
	Why  string
}

func (e *UnsureError) Error() string { return e.Why }

var mark = []byte("\uFEFF")

// parse reads a text with the place of every node. The root of a text without
// values is an empty Map at its end.
func parse(src []byte) (*Node, error) {
	at := 0
	if bytes.HasPrefix(src, mark) {
		at = len(mark)
	}
	decoder := yaml.NewDecoder(bytes.NewReader(src[at:]))
	var doc, second yaml.Node
	switch err := decoder.Decode(&doc); {
	case errors.Is(err, io.EOF):
		return &Node{Kind: Map, start: len(src), end: len(src)}, nil
	case err != nil:
		return nil, &UnsureError{Why: "the text is no YAML: " + err.Error()}
	}
	if err := decoder.Decode(&second); !errors.Is(err, io.EOF) {
		return nil, &UnsureError{Why: "the text holds more than one document"}
	}
	root := doc.Content[0]
	if root.Kind == yaml.ScalarNode && root.ShortTag() == "!!null" && root.Value == "" {
		return &Node{Kind: Map, start: len(src), end: len(src)}, nil
	}
	s := &spanner{src: src, off: at, first: at, line: 1, column: 1}
	return s.node(root)
}

// ParseValue reads the text of one value, like "3200 K", "{hue: 32, sat: 92%}"
// or "[a, b]".
func ParseValue(text string) (*Node, error) {
	if strings.ContainsAny(text, "\r\n\u0085\u2028\u2029") {
		return nil, &UnsureError{Why: "it has more than one line"}
	}
	if !utf8.ValidString(text) {
		return nil, &UnsureError{Why: "there are bytes in it that are no letters"}
	}
	n, err := parse([]byte(text))
	switch {
	case err != nil:
		return nil, err
	case n.start == len(text):
		return nil, &UnsureError{Why: "there is nothing in it; # starts a comment"}
	case n.start != len(text)-len(strings.TrimLeft(text, " ")) || n.end != len(strings.TrimRight(text, " ")):
		return nil, &UnsureError{Why: "something stands beside the value, like a comment"}
	case !n.inline():
		return nil, &UnsureError{Why: "a list is written [a, b] here, and a map {a: b}"}
	}
	return n, nil
}

// inline reports whether n and all that is in it is written in brackets.
func (n *Node) inline() bool {
	for _, kid := range n.Kids {
		if !kid.inline() {
			return false
		}
	}
	return n.Kind == Single || n.flow
}

// spanner turns the lines and columns of YAML nodes, which come in the order of
// the text, into where they begin and end in bytes.
type spanner struct {
	src          []byte
	first        int // where the text begins, behind a byte order mark
	off          int // where line and column are
	line, column int
}

// at gives the byte of a line and column, counted in letters from 1.
func (s *spanner) at(line, column int) (int, error) {
	if line < s.line || line == s.line && column < s.column {
		s.off, s.line, s.column = s.first, 1, 1
	}
	for s.line < line {
		next := bytes.IndexByte(s.src[s.off:], '\n')
		if next < 0 {
			return 0, s.unsure("a place is not where it was said to be")
		}
		s.off, s.line, s.column = s.off+next+1, s.line+1, 1
	}
	for s.column < column {
		_, size := utf8.DecodeRune(s.src[s.off:])
		if size == 0 {
			return 0, s.unsure("a place is not where it was said to be")
		}
		s.off, s.column = s.off+size, s.column+1
	}
	return s.off, nil
}

func (s *spanner) unsure(why string) error { return &UnsureError{Line: s.line, Why: why} }

func (s *spanner) node(n *yaml.Node) (*Node, error) {
	start, err := s.at(max(n.Line, 1), max(n.Column, 1))
	switch {
	case err != nil:
		return nil, err
	case n.Kind == yaml.AliasNode || n.Anchor != "" || n.Style&yaml.TaggedStyle != 0:
		return nil, s.unsure("an anchor, an alias or a tag stands here")
	case n.Kind == yaml.ScalarNode:
		return s.single(n, start)
	}
	out := &Node{Kind: List, flow: n.Style&yaml.FlowStyle != 0, start: start}
	step := 1
	if n.Kind == yaml.MappingNode {
		out.Kind, step = Map, 2
	}
	for i := 0; i+step <= len(n.Content); i += step {
		if step == 2 {
			key, err := s.node(n.Content[i])
			if err != nil {
				return nil, err
			}
			if key.Kind != Single {
				return nil, s.unsure("a key is no single word")
			}
			out.Keys = append(out.Keys, key)
		}
		kid, err := s.node(n.Content[i+step-1])
		if err != nil {
			return nil, err
		}
		out.Kids = append(out.Kids, kid)
	}
	return out, s.close(out)
}

// close finds the end of a list or map whose inside is known.
func (s *spanner) close(n *Node) error {
	if !n.flow {
		if len(n.Kids) == 0 || n.Kind == List && s.src[n.start] != '-' {
			return s.unsure("a list or map does not begin where it was said to")
		}
		n.end = n.Kids[len(n.Kids)-1].end
		return nil
	}
	opener, closer := byte('['), byte(']')
	if n.Kind == Map {
		opener, closer = '{', '}'
	}
	at := n.start + 1
	if len(n.Kids) > 0 {
		at = n.Kids[len(n.Kids)-1].end
	}
	if s.src[n.start] != opener {
		return s.unsure(fmt.Sprintf("this has no %c before it", opener))
	}
	at = gap(s.src, at, true)
	if at >= len(s.src) || s.src[at] != closer {
		return s.unsure(fmt.Sprintf("the %c that closes this was not found", closer))
	}
	n.end = at + 1
	return nil
}

// gap goes on over spaces, line ends and comments, and commas where they may be.
func gap(src []byte, at int, commas bool) int {
	for ; at < len(src); at++ {
		switch c := src[at]; {
		case c == ' ' || c == '\t' || c == '\r' || c == '\n' || c == ',' && commas:
		case c == '#' && (at == 0 || bytes.IndexByte([]byte(" \t\n,"), src[at-1]) >= 0):
			if at = lineEnd(src, at); at == len(src) {
				return at
			}
		default:
			return at
		}
	}
	return at
}

// lineEnd gives where the line feed of the line at is, or the end of the text.
func lineEnd(src []byte, at int) int {
	if next := bytes.IndexByte(src[at:], '\n'); next >= 0 {
		return at + next
	}
	return len(src)
}

// lineStart gives where the line at begins, behind a byte order mark.
func lineStart(src []byte, at int) int {
	start := bytes.LastIndexByte(src[:at], '\n') + 1
	if start == 0 && at >= len(mark) && bytes.HasPrefix(src, mark) {
		return len(mark)
	}
	return start
}
