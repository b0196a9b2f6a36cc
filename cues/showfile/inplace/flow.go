package inplace

import (
	"bytes"
	"strings"
)

// inline writes the entry for a list or map in brackets.
func (e *entry) inline() []byte {
	switch {
	case e.raw != nil:
		return bytes.Clone(e.raw)
	case e.in.Kind == Map:
		return appendInline(append(appendSingle(nil, e.key, 0), ": "...), e.value)
	}
	return appendInline(nil, e.value)
}

// start gives where entry i of a list or map in brackets begins.
func (n *Node) begin(i int) int {
	if n.Kind == Map {
		return n.Keys[i].start
	}
	return n.Kids[i].start
}

// intoFlow puts the entry before entry i of a list or map in brackets, in a
// line of its own where the others have theirs.
func (e *entry) intoFlow(i int) []splice {
	n, text := e.in, e.inline()
	if len(n.Kids) == 0 {
		return []splice{{n.start + 1, n.start + 1, text}}
	}
	if i == 0 {
		first := n.begin(0)
		if !e.firstInLine(first) {
			return []splice{{first, first, append(text, ", "...)}}
		}
		line := lineStart(e.src, first)
		text = append(append(bytes.Clone(e.src[line:first]), text...), ","+e.pen.nl...)
		return []splice{{line, line, text}}
	}
	if s := e.ownFlowLine(i, text); s != nil {
		return s
	}
	end := n.Kids[i-1].end
	return []splice{{end, end, append([]byte(", "), text...)}}
}

// ownFlowLine puts text in a line behind that of entry i-1, nil where the
// entries do not stand in lines of their own.
func (e *entry) ownFlowLine(i int, text []byte) []splice {
	n := e.in
	before, end := n.begin(i-1), n.Kids[i-1].end
	if !e.firstInLine(before) || i < len(n.Kids) && !e.firstInLine(n.begin(i)) {
		return nil
	}
	line := []byte(e.pen.nl + strings.Repeat(" ", e.pen.column(before)))
	line = append(line, text...)
	if comma := spaces(e.src, end); e.src[comma] == ',' {
		if at, _, ok := e.tail(comma + 1); ok {
			return []splice{{at, at, append(line, ',')}}
		}
		return nil
	}
	at, _, ok := e.tail(end)
	if !ok || i < len(n.Kids) {
		return nil
	}
	return []splice{{end, end, []byte(",")}, {at, at, line}}
}

// spaces goes on over spaces in a line.
func spaces(src []byte, at int) int {
	for at < len(src) && (src[at] == ' ' || src[at] == '\t') {
		at++
	}
	return at
}

// withoutFlow takes entry i out of a list or map in brackets.
func (f *File) withoutFlow(n *Node, i int) []splice {
	start, end := n.begin(i), n.Kids[i].end
	comma := gap(f.src, end, false)
	followed := f.src[comma] == ','
	if len(n.Kids) == 1 {
		out := []splice{{start, end, nil}}
		if followed {
			out = append(out, splice{comma, comma + 1, nil})
		}
		return out
	}
	near := spaces(f.src, end)
	if f.firstInLine(start) {
		after := end
		if f.src[near] == ',' {
			after = near + 1
		}
		if _, next, ok := f.tail(after); ok && (after > end || !followed) {
			return []splice{{lineStart(f.src, start), next, nil}}
		}
	}
	if i > 0 {
		before := f.src[n.Kids[i-1].end:start]
		// The comma before it goes when nothing else stands there.
		if len(bytes.Trim(before, " \t,")) == 0 || i == len(n.Kids)-1 && len(bytes.Trim(before, " \t\r\n,")) == 0 {
			return []splice{{n.Kids[i-1].end, end, nil}}
		}
	}
	if followed && comma == near {
		return []splice{{start, spaces(f.src, comma+1), nil}}
	}
	if followed {
		return []splice{{start, end, nil}, {comma, comma + 1, nil}}
	}
	return []splice{{start, end, nil}}
}
