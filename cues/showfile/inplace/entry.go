package inplace

import (
	"bytes"
	"slices"
	"strings"
)

// entry is an item or entry about to be put into a list or map.
type entry struct {
	*File
	pen   *pen
	in    *Node // the list or map
	path  []int // of in
	key   string
	value *Node
	raw   []byte // what is written instead of value, when it was taken from elsewhere
}

// begins gives where entry i of n begins: its dash, its key, or itself.
func (f *File) begins(n *Node, i int) (int, error) {
	switch {
	case n.Kind == Map:
		return n.Keys[i].start, nil
	case n.flow:
		return n.Kids[i].start, nil
	}
	at := n.start
	if i > 0 {
		at = gap(f.src, n.Kids[i-1].end, false)
	}
	if at >= len(f.src) || f.src[at] != '-' {
		return 0, f.unsure(n.start, "where an item of this list begins is not clear")
	}
	return at, nil
}

// tail gives the end of the text of the line at, and where the next one begins,
// when only a comment stands behind at.
func (f *File) tail(at int) (end, next int, ok bool) {
	end = lineEnd(f.src, at)
	next = min(end+1, len(f.src))
	if end > at && f.src[end-1] == '\r' {
		end--
	}
	rest := bytes.TrimLeft(f.src[at:end], " \t")
	return end, next, len(rest) == 0 || rest[0] == '#' && len(rest) < end-at
}

// firstInLine reports whether only spaces stand before at.
func (f *File) firstInLine(at int) bool {
	return len(bytes.Trim(f.src[lineStart(f.src, at):at], " \t")) == 0
}

// lines gives the lines of entry i of a list or map that is not in brackets.
func (f *File) lines(n *Node, i int) (from, to int, err error) {
	start, err := f.begins(n, i)
	if err != nil {
		return 0, 0, err
	}
	_, to, ok := f.tail(n.Kids[i].end)
	if !ok || !f.firstInLine(start) {
		return 0, 0, f.unsure(start, "it shares its line with something else")
	}
	return lineStart(f.src, start), to, nil
}

// without takes out entry i of n, the list or map at path.
func (f *File) without(n *Node, path []int, i int) ([]splice, error) {
	if n.flow {
		return f.withoutFlow(n, i), nil
	}
	from, to, err := f.lines(n, i)
	if err != nil {
		if n.Kind == Map && i == 0 && len(n.Kids) > 1 { // behind the dash of the item that the map is
			end, next, ok := f.tail(n.Kids[0].end)
			if ok && end < len(f.src) && len(bytes.Trim(f.src[next:n.Keys[1].start], " \t")) == 0 {
				return []splice{{n.start, n.Keys[1].start, nil}}, nil
			}
		}
		return nil, err
	}
	out := []splice{{from, to, nil}}
	if len(n.Kids) > 1 || len(path) == 0 {
		return out, nil
	}
	parent := f.root.At(path[:len(path)-1])
	if parent.Kind != Map {
		return nil, f.unsure(from, "it is all there is in a list within a list")
	}
	colon := gapIn(f.src, parent.Keys[path[len(path)-1]].end)
	if f.src[colon] != ':' || colon > from {
		return nil, f.unsure(from, "where its key ends is not clear")
	}
	empty := " []"
	if n.Kind == Map {
		empty = " {}"
	}
	return append(out, splice{colon + 1, colon + 1, []byte(empty)}), nil
}

// text writes the entry on lines of its own, from the given column.
func (e *entry) text(column int, like *Node, likeAt int) []byte {
	if e.raw != nil {
		if bytes.HasSuffix(e.raw, []byte("\n")) {
			return bytes.Clone(e.raw)
		}
		return append(bytes.Clone(e.raw), e.pen.nl...)
	}
	out := []byte(strings.Repeat(" ", column))
	dash := e.in.Kind == List
	if dash {
		out = append(out, '-')
	} else {
		out = append(appendSingle(out, e.key, 0), ':')
		if like != nil && (like.flow || like.Kind == Single) && lineStart(e.src, like.start) == lineStart(e.src, likeAt) {
			// In line with the neighbour, where that is in line with others.
			if pad := e.pen.column(like.start) - len([]rune(string(out))) - 1; pad > 0 && e.src[like.start-2] == ' ' {
				out = append(out, strings.Repeat(" ", pad)...)
			}
		}
	}
	if len(e.path) == 0 && e.value.nested() && (like == nil || like.flow || like.Kind != e.value.Kind) {
		for i, kid := range e.value.Kids {
			out = append(append(out, e.pen.nl...), "  "...)
			if e.value.Kind == List {
				out = append(out, "- "...)
			} else {
				out = append(appendSingle(out, e.value.Keys[i].Text, 0), ": "...)
			}
			out = e.pen.appendOpen(bytes.TrimRight(out, " "), kid, 4)
		}
	} else {
		out = e.pen.appendBehind(out, e.value, like, column, column, dash)
	}
	return append(out, e.pen.nl...)
}

// nested reports whether a list or map has others in it: a section of a file,
// with a line for each.
func (n *Node) nested() bool {
	return slices.ContainsFunc(n.Kids, func(kid *Node) bool { return kid.Kind != Single })
}

// intoBlock puts the entry before entry i of a list or map in lines.
func (e *entry) intoBlock(i int) ([]splice, error) {
	first, err := e.begins(e.in, 0)
	if err != nil {
		return nil, err
	}
	j := neighbour(e.in, i, e.value)
	likeAt, err := e.begins(e.in, j)
	if err != nil {
		return nil, err
	}
	column := e.pen.column(first)
	text := e.text(column, e.in.Kids[j], likeAt)
	if i == 0 {
		return e.beforeFirst(first, column, text)
	}
	_, next, ok := e.tail(e.in.Kids[i-1].end)
	if !ok {
		return nil, e.unsure(e.in.Kids[i-1].end, "something stands behind the entry before it, in the same line")
	}
	if e.raw == nil && e.spaced(i) {
		text = append([]byte(e.pen.nl), text...)
	}
	if next == len(e.src) && e.src[next-1] != '\n' {
		text = append([]byte(e.pen.nl), bytes.TrimSuffix(text, []byte(e.pen.nl))...)
	}
	return []splice{{next, next, text}}, nil
}

// beforeFirst puts text before the first entry, and before the comment over it.
func (e *entry) beforeFirst(first, column int, text []byte) ([]splice, error) {
	at := lineStart(e.src, first)
	if !e.firstInLine(first) {
		if e.in.Kind == List {
			return nil, e.unsure(first, "it would share its line with something else")
		}
		text = append(bytes.TrimLeft(text, " "), strings.Repeat(" ", column)...)
		return []splice{{first, first, text}}, nil
	}
	for len(e.path) > 0 && at > 0 {
		above := lineStart(e.src, at-1)
		line := e.src[above : at-1]
		if hash := len(line) - len(bytes.TrimLeft(line, " ")); hash != column || hash >= len(line) || line[hash] != '#' {
			break
		}
		at = above
	}
	return []splice{{at, at, text}}, nil
}

// spaced reports whether the entries about place i have empty lines between
// them.
func (e *entry) spaced(i int) bool {
	gaps := 0
	for _, j := range []int{i - 1, i} {
		if j < 1 || j >= len(e.in.Kids) {
			continue
		}
		start, err := e.begins(e.in, j)
		if err != nil {
			return false
		}
		between := e.src[e.in.Kids[j-1].end:lineStart(e.src, start)]
		if !bytes.Contains(bytes.ReplaceAll(between, []byte("\r"), nil), []byte("\n\n")) {
			return false
		}
		gaps++
	}
	return gaps > 0
}

// intoNothing puts the entry into a text that has no values yet.
func (e *entry) intoNothing() []splice {
	text := e.text(0, nil, 0)
	if end := len(e.src); end > 0 && e.src[end-1] != '\n' && !bytes.Equal(e.src, mark) {
		text = append([]byte(e.pen.nl), text...)
	}
	return []splice{{len(e.src), len(e.src), text}}
}

// ownLine reports whether the entry can stand in a line of its own under the
// key of an empty list or map.
func (e *entry) ownLine() bool {
	for i := range e.path {
		if e.root.At(e.path[:i]).flow {
			return false
		}
	}
	if len(e.path) == 0 || e.root.At(e.path[:len(e.path)-1]).Kind != Map {
		return false
	}
	_, _, ok := e.tail(e.in.end)
	return ok && gapIn(e.src, e.in.start+1) == e.in.end-1
}

// intoEmptied puts the entry in a line of its own under a key that has [] or {}.
func (e *entry) intoEmptied() []splice {
	key := e.root.At(e.path[:len(e.path)-1]).Keys[e.path[len(e.path)-1]]
	colon := gapIn(e.src, key.end)
	end, _, _ := e.tail(e.in.end)
	text := append([]byte(e.pen.nl), e.text(e.pen.column(key.start)+2, nil, 0)...)
	text = bytes.TrimSuffix(text, []byte(e.pen.nl))
	return []splice{{colon + 1, e.in.end, nil}, {end, end, text}}
}
