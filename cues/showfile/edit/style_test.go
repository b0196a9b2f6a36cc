package edit_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"unicode"
)

// stylist writes trees as odd but legal YAML: comments everywhere, lists and
// maps in brackets, over lines and in lines, quotes of all kinds, odd
// indentation, CRLF, byte order marks, no line end at the end.
type stylist struct {
	*rand.Rand
	b strings.Builder
	// calm is how seldom odd things happen: one in so many.
	calm int
	// always writes every list and map in lines.
	always bool
}

func (s *stylist) odd() bool { return s.IntN(s.calm) == 0 }

// rare is odd twice over.
func (s *stylist) rare() bool {
	if !s.odd() {
		return false
	}
	return s.odd()
}

var remarks = []string{"# a remark", "#", "# [not, a, list]", "# key: value", "# \"quote", "# über die Bühne, 灯", "#- {look: no}", "# it's"}

func (s *stylist) remark() string { return remarks[s.IntN(len(remarks))] }

// file writes a whole file.
func (s *stylist) file(root *tree) []byte {
	s.b.Reset()
	if s.odd() {
		s.b.WriteString("---\n")
	}
	if s.rare() {
		s.b.WriteString(s.flow(root, 0, true))
		s.b.WriteByte('\n')
	} else {
		s.block(root, 0, false)
	}
	text := s.b.String()
	if s.odd() {
		text += "\n\n# the end\n"
	} else if s.odd() {
		text = strings.TrimSuffix(text, "\n")
	} else if s.odd() {
		text += "...\n"
	}
	if s.odd() {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	if s.odd() {
		text = "\uFEFF" + text
	}
	return []byte(text)
}

func (s *stylist) between(indent int) {
	for s.odd() {
		switch s.IntN(3) {
		case 0:
			s.b.WriteByte('\n')
		case 1:
			s.b.WriteString(strings.Repeat(" ", indent) + s.remark() + "\n")
		default:
			s.b.WriteString(strings.Repeat(" ", s.IntN(9)) + s.remark() + "\n")
		}
	}
}

// tail ends a line, perhaps with a remark.
func (s *stylist) tail() {
	if s.odd() {
		s.b.WriteString(strings.Repeat(" ", 1+s.IntN(3)) + s.remark())
	} else if s.odd() {
		s.b.WriteString("  ")
	}
	s.b.WriteByte('\n')
}

// block writes a list or map in lines; first says that its first entry goes on
// in the line that is begun.
func (s *stylist) block(n *tree, indent int, first bool) {
	for i, kid := range n.kids {
		if i > 0 || !first {
			s.between(indent)
			s.b.WriteString(strings.Repeat(" ", indent))
		}
		if n.kind == 'l' {
			s.b.WriteByte('-')
			s.behind(kid, indent, true)
			continue
		}
		s.b.WriteString(s.single(n.keys[i], true) + ":")
		s.behind(kid, indent, false)
	}
}

// behind writes what stands behind a dash or a key.
func (s *stylist) behind(n *tree, indent int, dash bool) {
	deep := n.kind != 's' && len(n.kids) > 0
	inBlock := deep && (s.always || s.IntN(3) == 0 || indent == 0 && s.IntN(4) > 0)
	switch {
	case n.kind == 's' && strings.HasPrefix(n.text, "many") && s.odd():
		s.b.WriteString(" |-")
		s.b.WriteByte('\n')
		s.b.WriteString(strings.Repeat(" ", indent+3) + n.text + "\n")
	case n.kind == 's':
		s.b.WriteString(strings.Repeat(" ", s.gap()) + s.single(n.text, false))
		s.tail()
	case !inBlock:
		s.b.WriteString(strings.Repeat(" ", s.gap()) + s.flow(n, indent, s.odd()))
		s.tail()
	case dash && s.IntN(2) == 0:
		gap := s.gap()
		s.b.WriteString(strings.Repeat(" ", gap))
		s.block(n, indent+1+gap, true)
	default:
		s.tail()
		deeper := indent + 1 + s.IntN(4)
		if n.kind == 'l' && !dash && s.odd() {
			deeper = indent
		}
		s.block(n, deeper, false)
	}
}

func (s *stylist) gap() int {
	if s.odd() {
		return 2 + s.IntN(4)
	}
	return 1
}

// flow writes a list or map in brackets, over several lines when open.
func (s *stylist) flow(n *tree, indent int, open bool) string {
	if n.kind == 's' {
		return s.single(n.text, true)
	}
	opener, closer := "[", "]"
	if n.kind == 'm' {
		opener, closer = "{", "}"
	}
	var b strings.Builder
	b.WriteString(opener)
	line := "\n" + strings.Repeat(" ", indent+1+s.IntN(4))
	for i, kid := range n.kids {
		switch {
		case open && s.odd():
			b.WriteString(" " + s.remark() + line + s.remark() + line)
		case open && !s.odd():
			b.WriteString(line)
		case i > 0 && !s.odd():
			b.WriteString(" ")
		case s.odd():
			b.WriteString("  ")
		}
		if n.kind == 'm' {
			b.WriteString(s.single(n.keys[i], true) + ": ")
		}
		b.WriteString(s.flow(kid, indent+2, open && s.odd()))
		if i < len(n.kids)-1 || s.odd() {
			if s.odd() {
				b.WriteString(" ")
			}
			b.WriteString(",")
		}
	}
	if open {
		b.WriteString(line)
	}
	b.WriteString(closer)
	return b.String()
}

// single writes a text in some quotes.
func (s *stylist) single(text string, inFlow bool) string {
	switch {
	case !bare(text) || s.rare():
		if s.IntN(2) == 0 && !strings.ContainsFunc(text, func(c rune) bool { return c < ' ' }) {
			return "'" + strings.ReplaceAll(text, "'", "''") + "'"
		}
		var b strings.Builder
		b.WriteByte('"')
		for _, c := range text {
			switch {
			case c == '"' || c == '\\':
				b.WriteString("\\" + string(c))
			case c < ' ' || c > 0x7e && s.odd() && c < 0x10000:
				fmt.Fprintf(&b, "\\u%04x", c)
			default:
				b.WriteRune(c)
			}
		}
		return b.String() + "\""
	}
	return text
}

// bare reports whether a text surely needs no quotes.
func bare(text string) bool {
	for i, c := range text {
		ok := unicode.IsLetter(c) || unicode.IsDigit(c) || strings.ContainsRune("+./%_", c) && i > 0 || c == '-' && len(text) > 1 && (i > 0 || text[1] != ' ') ||
			c == ' ' && i > 0 && i < len(text)-1 || c == ':' && i > 0 && i < len(text)-1 && text[i+1] != ' '
		if !ok {
			return false
		}
	}
	return text != "" && strings.ToLower(text) != "null"
}
