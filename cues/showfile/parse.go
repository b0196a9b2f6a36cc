package showfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// Limits that keep a hostile or broken file from using up the machine. A
// location of 2000 lamps has about 250 kB and is 6 deep.
const (
	maxFileBytes = 1 << 20
	maxDepth     = 20
)

// parse turns the text of a file into its root node. It is nil when the file
// is empty, or is no YAML and a problem was told; ok is false in the latter
// case only.
func (r *reader) parse(src []byte) (root *yaml.Node, ok bool) {
	if len(src) > maxFileBytes {
		r.sink.add(cues.NewProblem(cues.Pos{File: r.file}, cues.CodeFileTooBig,
			fmt.Sprintf("%s has %d bytes", r.file, len(src)),
			fmt.Sprintf("a show file may have %d", maxFileBytes), "check that it is the right file, or split the location"))
		return nil, false
	}
	src = bytes.TrimPrefix(src, []byte("\uFEFF"))
	if at, why := badText(src); why != "" {
		at.File = r.file
		r.sink.add(cues.NewProblem(at, cues.CodeYAMLEncoding, "the file is not plain UTF-8 text", why,
			"save the file as UTF-8 with LF or CR LF at the end of lines"))
		return nil, false
	}
	if line := tooDeep(src); line > 0 {
		r.deep(cues.Pos{File: r.file, Line: line, Column: 1})
		return nil, false
	}
	decoder := yaml.NewDecoder(bytes.NewReader(src))
	var document yaml.Node
	switch err := decoder.Decode(&document); {
	case errors.Is(err, io.EOF):
		return nil, true
	case err != nil:
		r.sink.add(syntaxProblem(r.file, src, err))
		return nil, false
	}
	ok = r.oneDocument(decoder, src)
	if len(document.Content) == 0 {
		return nil, ok
	}
	root = document.Content[0]
	if !r.plain(root, 1) {
		return nil, false
	}
	if isNull(root) {
		return nil, ok
	}
	return root, ok
}

func (r *reader) oneDocument(decoder *yaml.Decoder, src []byte) bool {
	var second yaml.Node
	err := decoder.Decode(&second)
	switch {
	case errors.Is(err, io.EOF):
		return true
	case err != nil:
		r.sink.add(syntaxProblem(r.file, src, err))
	default:
		r.problem(&second, cues.CodeYAMLDocument, "a second document starts here",
			"a show file holds one; --- starts another", "take the --- out, or move the rest to a file of its own")
	}
	return false
}

// plain refuses what the show format does not have: anchors, aliases, merge
// keys, tags, and nesting past maxDepth. Aliases are never followed, so a bomb
// of them does nothing.
func (r *reader) plain(n *yaml.Node, depth int) bool {
	if depth > maxDepth && n.Kind != yaml.ScalarNode {
		r.deep(r.pos(n))
		return false
	}
	switch {
	case n.Kind == yaml.AliasNode:
		r.anchor(n, "*"+n.Value)
		return false
	case n.Anchor != "":
		r.anchor(n, "&"+n.Anchor)
		return false
	case n.Style&yaml.TaggedStyle != 0:
		r.problem(n, cues.CodeYAMLTag, fmt.Sprintf("the tag %q is not part of the show format", n.Tag),
			"every value has one meaning, by its key", "take the tag out")
		return false
	}
	ok := true
	for i, child := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 && child.Value == "<<" && child.Style == 0 {
			r.anchor(child, "<<")
			ok = false
			continue
		}
		ok = r.plain(child, depth+1) && ok
	}
	return ok
}

func (r *reader) anchor(n *yaml.Node, text string) {
	r.problem(n, cues.CodeYAMLAnchor, fmt.Sprintf("%q is not part of the show format", shorten(text)),
		"show files have no anchors, aliases and merge keys", "write the values out; a look starts from another with from:")
}

func (r *reader) deep(at cues.Pos) {
	r.sink.add(cues.NewProblem(at, cues.CodeYAMLTooDeep, "lists and maps are nested too deep here",
		fmt.Sprintf("a show file is at most %d deep", maxDepth), "check for brackets or dashes that are not closed"))
}

// tooDeep gives the first line whose brackets or dashes nest far past
// anything sensible, 0 for none. It guards the YAML parser, which recurses; it
// counts roughly (quotes are not looked at), so its limit is wide.
func tooDeep(src []byte) int {
	const most = 1000
	open, dashes, line := 0, 0, 1
	for _, c := range src {
		switch c {
		case '[', '{':
			open++
		case ']', '}':
			open = max(0, open-1)
		case '-', '?', ':':
			dashes++
		case '\n':
			line, dashes = line+1, 0
		}
		if open > most || dashes > 8*most {
			return line
		}
	}
	return 0
}

// badText finds the first thing in src that editors and the YAML parser read
// differently, and says why it is one; "" when there is none. YAML breaks
// lines where editors do not, and then no line number would be right.
func badText(src []byte) (cues.Pos, string) {
	at := cues.Pos{Line: 1, Column: 1}
	for i, c := range string(src) {
		switch {
		case c == utf8.RuneError && !bytes.HasPrefix(src[i:], []byte("\uFFFD")):
			return at, "there are bytes here that are no letters"
		case c == '\r' && !bytes.HasPrefix(src[i:], []byte("\r\n")):
			return at, "a carriage return stands alone here"
		case c == '\u0085' || c == '\u2028' || c == '\u2029':
			return at, fmt.Sprintf("the line break U+%04X stands here", c)
		}
		if at.Column++; c == '\n' {
			at = cues.Pos{Line: at.Line + 1, Column: 1}
		}
	}
	return at, ""
}
