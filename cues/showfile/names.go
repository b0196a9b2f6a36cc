package showfile

import (
	"strconv"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// maxName is the length in bytes that a name can have.
const maxName = 64

// maxRange is how many names one range can stand for.
const maxRange = 512

func nameRune(c rune, inside bool) bool {
	return unicode.IsLetter(c) || unicode.IsDigit(c) || inside && (c == '-' || c == '_')
}

// expandRange gives the names that T1..T12 stands for. A text without two dots
// stands for itself. ok is false when the ends do not share the text before
// their number or the range is too long; ranges may run down.
func expandRange(text string) (names []string, ok bool) {
	first, last, isRange := strings.Cut(text, "..")
	if !isRange {
		return []string{text}, true
	}
	stem, from, width := splitNumber(first)
	stem2, to, width2 := splitNumber(last)
	if stem != stem2 || width == 0 || width2 == 0 || max(from-to, to-from) >= maxRange {
		return nil, false
	}
	if first[len(stem)] != '0' && last[len(stem)] != '0' {
		width = 0 // no leading zeros
	}
	step := 1
	if to < from {
		step = -1
	}
	for i := from; ; i += step {
		digits := strconv.Itoa(i)
		names = append(names, stem+strings.Repeat("0", max(0, width-len(digits)))+digits)
		if i == to {
			return names, true
		}
	}
}

// splitNumber splits "lane-12" into "lane-", 12 and the count of its digits.
func splitNumber(text string) (stem string, n, width int) {
	stem = strings.TrimRight(text, "0123456789")
	width = len(text) - len(stem)
	if width > 6 {
		return stem, 0, 0
	}
	n, _ = strconv.Atoi(text[len(stem):])
	return stem, n, width
}

// CheckName gives what is wrong with a name of something, nil for nothing.
func CheckName(what, name string) *cues.Problem {
	s := &sink{}
	r := &reader{sink: s}
	r.goodName(&yaml.Node{}, what, name, false)
	if problems := s.sorted(); len(problems) > 0 {
		problems[0].Pos = cues.Pos{}
		return problems[0]
	}
	return nil
}
