package inplace

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"
)

// appendSingle writes a value on one line, so that it is read as text in a list
// in brackets too. It keeps the quotes of style where they can hold it.
func appendSingle(dst []byte, text string, style yaml.Style) []byte {
	printable := strings.IndexFunc(text, func(c rune) bool { return !safe(c) }) < 0
	switch {
	case style&yaml.SingleQuotedStyle != 0 && printable:
		dst = append(dst, '\'')
		dst = append(dst, strings.ReplaceAll(text, "'", "''")...)
		return append(dst, '\'')
	case style&yaml.DoubleQuotedStyle == 0 && printable && plain(text):
		return append(dst, text...)
	}
	return appendQuoted(dst, text)
}

// safe reports whether a letter may stand in a line as it is.
func safe(c rune) bool { return c == ' ' || unicode.IsPrint(c) }

func appendQuoted(dst []byte, text string) []byte {
	dst = append(dst, '"')
	for _, c := range text {
		switch {
		case c == '"' || c == '\\':
			dst = append(dst, '\\', byte(c))
		case c == '\n':
			dst = append(dst, `\n`...)
		case c == '\t':
			dst = append(dst, `\t`...)
		case safe(c):
			dst = append(dst, string(c)...)
		case c < 0x100:
			dst = fmt.Appendf(dst, `\x%02x`, c)
		case c < 0x10000:
			dst = fmt.Appendf(dst, `\u%04x`, c)
		default:
			dst = fmt.Appendf(dst, `\U%08x`, c)
		}
	}
	return append(dst, '"')
}

// plain reports whether a text needs no quotes. It takes quotes where some
// texts could do without.
func plain(text string) bool {
	switch strings.ToLower(text) {
	case "", "~", "null":
		return false
	}
	before := ' '
	for i, c := range text {
		last := i == len(text)-1
		switch {
		case unicode.IsLetter(c) || unicode.IsDigit(c) || c == '_':
		case strings.ContainsRune("+./", c):
		case c == '-':
			if i == 0 && (last || !unicode.IsDigit(rune(text[1])) && text[1] != '.') {
				return false
			}
		case c == ' ':
			if i == 0 || last {
				return false
			}
		case i == 0:
			return false
		case c == ':':
			if last || text[i+1] == ' ' || strings.IndexByte(",[]{}", text[i+1]) >= 0 {
				return false
			}
		case c == '#':
			if before == ' ' {
				return false
			}
		case strings.ContainsRune("%()'\"*&!?<>=;^~$|", c):
		default:
			if c < 0x80 || !unicode.IsPrint(c) {
				return false
			}
		}
		before = c
	}
	return !strings.HasPrefix(text, "...") && !strings.HasPrefix(text, "<<")
}

// appendInline writes a node on one line.
func appendInline(dst []byte, n *Node) []byte {
	switch n.Kind {
	case Single:
		return appendSingle(dst, n.Text, n.style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle))
	case List:
		dst = append(dst, '[')
		for i, kid := range n.Kids {
			if i > 0 {
				dst = append(dst, ", "...)
			}
			dst = appendInline(dst, kid)
		}
		return append(dst, ']')
	}
	dst = append(dst, '{')
	for i, kid := range n.Kids {
		if i > 0 {
			dst = append(dst, ", "...)
		}
		dst = append(appendSingle(dst, n.Keys[i].Text, 0), ": "...)
		dst = appendInline(dst, kid)
	}
	return append(dst, '}')
}

// pen writes new entries the way a neighbour is written.
type pen struct {
	src []byte
	nl  string
}

// column counts the letters before at in its line.
func (p *pen) column(at int) int {
	return len([]rune(string(p.src[lineStart(p.src, at):at])))
}

// appendBehind writes n behind "key:" or "-". like is what stands at that place
// of the neighbour, nil for nothing; column and likeColumn are those of the keys
// or dashes.
func (p *pen) appendBehind(dst []byte, n, like *Node, column, likeColumn int, dash bool) []byte {
	if like == nil || like.flow || like.Kind != n.Kind || n.Kind == Single || len(n.Kids) == 0 {
		return appendInline(append(dst, ' '), n)
	}
	from := p.column(like.start)
	inside := column + from - likeColumn
	for i, kid := range n.Kids {
		if i == 0 && dash && p.behindDash(like.start) {
			dst = append(dst, strings.Repeat(" ", from-likeColumn-1)...)
		} else {
			dst = append(append(dst, p.nl...), strings.Repeat(" ", inside)...)
		}
		if n.Kind == List {
			dst = p.appendBehind(append(dst, '-'), kid, like.Kids[0], inside, from, true)
			continue
		}
		dst = append(appendSingle(dst, n.Keys[i].Text, 0), ':')
		dst = p.appendBehind(dst, kid, like.Get(n.Keys[i].Text), inside, from, false)
	}
	return dst
}

// longestLine is how many letters a new entry without a neighbour may have on one line.
const longestLine = 120

// appendOpen writes n behind "key:" or "-", where nothing shows how: on one line, or
// where that would be too long in lines of its own, from the given column.
func (p *pen) appendOpen(dst []byte, n *Node, column int) []byte {
	line := appendInline(nil, n)
	if n.Kind == Single || len(n.Kids) == 0 || len(line) <= longestLine || dst[len(dst)-1] == '-' {
		return append(append(dst, ' '), line...)
	}
	for i, kid := range n.Kids {
		dst = append(append(dst, p.nl...), strings.Repeat(" ", column)...)
		if n.Kind == List {
			dst = append(append(dst, "- "...), appendInline(nil, kid)...)
			continue
		}
		dst = p.appendOpen(append(appendSingle(dst, n.Keys[i].Text, 0), ':'), kid, column+2)
	}
	return dst
}

// behindDash reports whether the item that begins at begins in the line of its
// dash.
func (p *pen) behindDash(at int) bool {
	before := bytes.TrimRight(p.src[:at], " ")
	return len(before) > 0 && before[len(before)-1] == '-'
}

// neighbour gives the entry of n nearest to i whose shape value can take.
func neighbour(n *Node, i int, value *Node) int {
	best := -1
	for distance := 1; distance <= len(n.Kids)+1; distance++ {
		for _, j := range []int{i - distance, i + distance - 1} {
			if j < 0 || j >= len(n.Kids) {
				continue
			}
			if best < 0 {
				best = j
			}
			if shaped(n.Kids[j], value) {
				return j
			}
		}
	}
	return best
}

// shaped reports whether like shows how to write every list and map of value.
func shaped(like, value *Node) bool {
	if like.Kind != value.Kind {
		return false
	}
	for i, kid := range value.Kids {
		if value.Kind != Map || kid.Kind == Single || len(kid.Kids) == 0 {
			continue
		}
		if known := like.Get(value.Keys[i].Text); known == nil || known.Kind != kid.Kind || len(known.Kids) == 0 {
			return false
		}
	}
	return true
}
