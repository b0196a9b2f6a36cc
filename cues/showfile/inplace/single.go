package inplace

import (
	"bytes"

	"gopkg.in/yaml.v3"
)

// single finds where a single value ends.
func (s *spanner) single(n *yaml.Node, start int) (*Node, error) {
	out := &Node{Text: n.Value, style: n.Style, start: start}
	ok := false
	switch {
	case n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		out.end, ok = quotedEnd(s.src, start, n.Style&yaml.DoubleQuotedStyle != 0)
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		out.end, ok = blockEnd(s.src, start)
	case n.Value == "":
		return nil, s.unsure("an empty value stands here")
	default:
		out.end, ok = plainEnd(s.src, start, n.Value)
	}
	if !ok {
		return nil, s.unsure("where a value ends is not clear")
	}
	return out, nil
}

func quotedEnd(src []byte, at int, double bool) (int, bool) {
	quote := byte('\'')
	if double {
		quote = '"'
	}
	if at >= len(src) || src[at] != quote {
		return 0, false
	}
	for at++; at < len(src); at++ {
		switch {
		case double && src[at] == '\\':
			at++
		case src[at] == quote && !double && at+1 < len(src) && src[at+1] == quote:
			at++
		case src[at] == quote:
			return at + 1, true
		}
	}
	return 0, false
}

// plainEnd follows the text of a plain value, which has no escapes. A line end
// in it stands for a space, and each further one for a line end.
func plainEnd(src []byte, at int, value string) (int, bool) {
	for i := 0; i < len(value); {
		if value[i] == ' ' || value[i] == '\n' {
			if next := gapIn(src, at); next > at && bytes.IndexByte(src[at:next], '\n') >= 0 {
				at = next
				for i < len(value) && (value[i] == ' ' || value[i] == '\n') {
					i++
				}
				continue
			}
		}
		if at >= len(src) || src[at] != value[i] {
			return 0, false
		}
		at, i = at+1, i+1
	}
	return at, true
}

// gapIn goes on over spaces and line ends.
func gapIn(src []byte, at int) int {
	for at < len(src) && bytes.IndexByte([]byte(" \t\r\n"), src[at]) >= 0 {
		at++
	}
	return at
}

// blockEnd finds the end of a text behind | or >, without its last line end.
func blockEnd(src []byte, at int) (int, bool) {
	end := lineEnd(src, at)
	header := bytes.Fields(src[at:end])
	if len(header) == 0 || (src[at] != '|' && src[at] != '>') || bytes.ContainsAny(header[0], "123456789+") {
		return 0, false // its indentation or its last empty lines are told apart there
	}
	inside := -1
	for line := end + 1; line < len(src); {
		next := lineEnd(src, line)
		text := bytes.TrimRight(src[line:next], " \r")
		column := len(text) - len(bytes.TrimLeft(text, " "))
		if len(text) > 0 {
			if inside < 0 {
				inside = column
			}
			if column < inside || inside == 0 {
				break
			}
			end = next
			if next > 0 && next < len(src) && src[next-1] == '\r' {
				end--
			}
		}
		line = next + 1
	}
	return end, inside > 0
}
