package showfile

import (
	"fmt"
	"regexp"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/colour"
	"linkboy/cues"
)

const levelForms = "write it like 40%, -2 stops (from full), -1.5 stops under key at a, or 120 lx at a"

// Ranges of levels. 20 stops is a millionth; the brightest sun is 100 000 lx.
var (
	stopsDown  = span{-20, 0}
	stopsUnder = span{-20, 10}
	luxRange   = span{0, 200_000}
)

var (
	underText = regexp.MustCompile(`^under (\S+) at (\S+)$`)
	atText    = regexp.MustCompile(`^at (\S+)$`)
)

// ParseLevel reads a level as it is written in a show file: "40%", "-2 stops",
// "-1.5 stops under key at a", "120 lx at a". The problem has no place.
func ParseLevel(text string) (cues.Level, *cues.Problem) {
	return parseLevel(text, cues.Pos{})
}

func parseLevel(text string, at cues.Pos) (cues.Level, *cues.Problem) {
	amount, rest, ok := splitAmount(text)
	if !ok {
		return cues.Level{}, badLevel(at, text, "it must start with a plain decimal number", levelForms)
	}
	unit, where, _ := strings.Cut(rest, " ")
	switch unit {
	case "%":
		if where == "" {
			return share(text, amount, at)
		}
	case "stops", "stop":
		return stops(text, amount, where, at)
	case "lx":
		return lux(text, amount, where, at)
	case "":
		return cues.Level{}, badLevel(at, text, "it has no unit", fmt.Sprintf("write %s%%, or stops or lx", short(amount)))
	}
	return cues.Level{}, badLevel(at, text, fmt.Sprintf("%q is no unit of level", shorten(rest)), levelForms)
}

func badLevel(at cues.Pos, text, why, mend string) *cues.Problem {
	return cues.NewProblem(at, cues.CodeBadLevel, fmt.Sprintf("%q is no level", shorten(text)), why, mend)
}

func levelRange(at cues.Pos, text, why, mend string) *cues.Problem {
	return cues.NewProblem(at, cues.CodeOutOfRange, fmt.Sprintf("the level %q is out of range", shorten(text)), why, mend)
}

func share(text string, amount float64, at cues.Pos) (cues.Level, *cues.Problem) {
	if amount < 0 || amount > 100 {
		return cues.Level{}, levelRange(at, text, "a lamp gives 0% to 100% of its light", "write a level in that range")
	}
	return cues.Level{Kind: cues.Share, Value: hundredth(amount), At: at}, nil
}

func stops(text string, amount float64, where string, at cues.Pos) (cues.Level, *cues.Problem) {
	if where == "" {
		switch {
		case amount > 0:
			return cues.Level{}, levelRange(at, text, "stops are counted from full, and nothing is brighter than that",
				fmt.Sprintf("write -%s stops", short(amount)))
		case !stopsDown.holds(amount):
			return cues.Level{}, levelRange(at, text, "20 stops under full is dark", "write 0% for no light")
		}
		return cues.Level{Kind: cues.StopsFromFull, Value: amount, At: at}, nil
	}
	m := underText.FindStringSubmatch(where)
	switch {
	case m == nil || !isName(m[1]) || !isName(m[2]):
		return cues.Level{}, badLevel(at, text, "stops are measured from full, or under a group at a mark", levelForms)
	case amount > 0 && !strings.HasPrefix(strings.TrimSpace(text), "+"):
		return cues.Level{}, badLevel(at, text, "without a sign it could mean darker or brighter",
			fmt.Sprintf("write -%[1]s stops for darker than %[2]s, +%[1]s for brighter", short(amount), m[1]))
	case !stopsUnder.holds(amount):
		return cues.Level{}, levelRange(at, text, fmt.Sprintf("it can be %s stops", stopsUnder), "write a level in that range")
	}
	return cues.Level{Kind: cues.StopsUnder, Value: amount, Group: m[1], Mark: m[2], At: at}, nil
}

func lux(text string, amount float64, where string, at cues.Pos) (cues.Level, *cues.Problem) {
	m := atText.FindStringSubmatch(where)
	switch {
	case m == nil || !isName(m[1]):
		return cues.Level{}, badLevel(at, text, "lux are measured at a mark", fmt.Sprintf("write %s lx at MARK", short(amount)))
	case !luxRange.holds(amount):
		return cues.Level{}, levelRange(at, text, fmt.Sprintf("it can be %s lx", luxRange), "write a level in that range")
	}
	return cues.Level{Kind: cues.Lux, Value: amount, Mark: m[1], At: at}, nil
}

func isName(text string) bool {
	for i, c := range text {
		if !nameRune(c, i > 0) {
			return false
		}
	}
	return len(text) > 0 && len(text) <= maxName
}

func (r *reader) level(n *yaml.Node, what string) (cues.Level, bool) {
	text := r.text(n, what)
	if n.Kind != yaml.ScalarNode {
		return cues.Level{}, false
	}
	l, p := parseLevel(text, r.pos(n))
	if p != nil {
		r.sink.add(p)
	}
	return l, p == nil
}

// fixedLevel reads a level that needs no meter: a share or stops from full.
func (r *reader) fixedLevel(n *yaml.Node, what string) colour.Level {
	l, ok := r.level(n, what)
	if !ok {
		return 0
	}
	if share, ok := l.Share(); ok {
		return share
	}
	r.problem(n, cues.CodeBadLevel, fmt.Sprintf("%q cannot be the level of %s", shorten(n.Value), what),
		"it must hold without measuring anything", "write it in % or in stops from full")
	return 0
}
