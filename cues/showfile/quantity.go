package showfile

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// span is the range a number may lie in, both ends included.
type span struct{ least, most float64 }

func (s span) holds(v float64) bool { return v >= s.least && v <= s.most }

func (s span) String() string { return fmt.Sprintf("%s to %s", short(s.least), short(s.most)) }

func short(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

var amountText = regexp.MustCompile(`^([+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+))(\s*)(.*)$`)

// noAmount is what cannot follow a number without a space: its own going on in
// a way that is not read (1e3, 1_000, 1,5, 0x10).
var noAmount = regexp.MustCompile(`^(?:[eE][+-]?[0-9]|[_.,][0-9]|[xX][0-9a-fA-F])`)

// splitAmount splits "4.5 s on screen" into 4.5 and "s on screen". Numbers
// are plain decimals: no exponent, no underscore, no hexadecimal.
func splitAmount(text string) (amount float64, rest string, ok bool) {
	m := amountText.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil || m[2] == "" && noAmount.MatchString(m[3]) {
		return 0, "", false
	}
	amount, err := strconv.ParseFloat(m[1], 64)
	if err != nil || math.IsInf(amount, 0) {
		return 0, "", false
	}
	if amount == 0 {
		amount = 0 // no negative zero
	}
	return amount, strings.Join(strings.Fields(m[3]), " "), true
}

// hundredth gives the share that v percent is: 33.3 gives the number nearest
// to 0.333, which 33.3/100 is not.
func hundredth(v float64) float64 {
	share, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', -1, 64)+"e-2", 64)
	if err != nil {
		return v / 100
	}
	return share
}

// quantity reads a number that may carry unit behind it ("24 fps"); in says
// its range. needed says whether the unit must be there.
func (r *reader) quantity(n *yaml.Node, what, unit string, in span, needed bool) (float64, bool) {
	text := r.text(n, what)
	if n.Kind != yaml.ScalarNode {
		return 0, false
	}
	amount, rest, ok := splitAmount(text)
	switch {
	case !ok:
		r.problem(n, cues.CodeBadNumber, fmt.Sprintf("%q is no number for %s", shorten(text), what),
			"it must be a plain decimal number, like 12 or 0.5", "write a number, "+withUnit(in.String(), unit))
	case rest == "" && unit != "" && needed:
		if unit == "%" && amount > 0 && amount < 1 {
			amount *= 100 // a share, most likely
		}
		r.problem(n, cues.CodeBadUnit, fmt.Sprintf("%q has no unit for %s", shorten(text), what), unitWhy(unit), "write "+withUnit(short(amount), unit))
	case rest != unit && rest != "":
		r.problem(n, cues.CodeBadUnit, fmt.Sprintf("%q has the wrong unit for %s", shorten(text), what),
			unitWhy(unit), "write "+withUnit(short(amount), unit))
	case !in.holds(amount):
		r.problem(n, cues.CodeOutOfRange, fmt.Sprintf("%s is out of range for %s", shorten(text), what),
			"it can be "+withUnit(in.String(), unit), "write a number in that range")
	default:
		return amount, true
	}
	return 0, false
}

// withUnit writes an amount with its unit as a person does.
func withUnit(amount, unit string) string {
	switch unit {
	case "":
		return amount
	case "%":
		return amount + unit
	}
	return amount + " " + unit
}

func unitWhy(unit string) string {
	if unit == "" {
		return "it has no unit"
	}
	return "it is in " + unit
}

// number reads a number without a unit.
func (r *reader) number(n *yaml.Node, what string, in span) (float64, bool) {
	return r.quantity(n, what, "", in, false)
}

// into returns what reads a quantity into dst; the unit may be left out.
func (r *reader) into(dst *float64, what, unit string, in span) func(*yaml.Node) {
	return func(n *yaml.Node) { *dst, _ = r.quantity(n, what, unit, in, false) }
}

// metres is how far from the origin of its plan a thing can stand or reach.
var metres = span{-1000, 1000}

// point reads [x, y, z] in metres.
func (r *reader) point(n *yaml.Node, what string) (cues.Point, bool) {
	var p cues.Point
	if n.Kind != yaml.SequenceNode || len(n.Content) != 3 {
		r.problem(n, cues.CodeWrongShape, what+" must be a point", "a point has three numbers, this is "+countOf(n),
			"write it as [x, y, z] in metres: x right, y up the plan, z up from the ground")
		return p, false
	}
	all := true
	for i, axis := range []string{"x", "y", "z"} {
		v, ok := r.quantity(n.Content[i], axis+" of "+what, "m", metres, false)
		p[i], all = v, all && ok
	}
	return p, all
}

func (r *reader) intoPoint(dst *cues.Point, what string) func(*yaml.Node) {
	return func(n *yaml.Node) { *dst, _ = r.point(n, what) }
}

func countOf(n *yaml.Node) string {
	if n.Kind == yaml.SequenceNode {
		return fmt.Sprintf("a list of %d", len(n.Content))
	}
	return shapeOf(n)
}
