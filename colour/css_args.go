package colour

import (
	"strconv"
	"strings"
)

// cssSpace is what counts as white space in CSS [css-syntax-3].
const cssSpace = " \t\n\r\f"

// cssKind is what a component was written as.
type cssKind int

const (
	cssNumber cssKind = iota
	cssPercent
	cssAngle // in degrees
	cssNone
)

type cssValue struct {
	kind cssKind
	v    float64
}

// cssArgs are the three components of a colour function; alpha has been
// dropped.
type cssArgs struct {
	values [3]cssValue
	commas bool // the older syntax
}

// share reads component i as a number, 100% being full; an angle is a fault.
func (a cssArgs) share(i int, full float64) (float64, *cssFault) {
	switch v := a.values[i]; v.kind {
	case cssPercent:
		return v.v / 100 * full, nil
	case cssAngle:
		return 0, &cssFault{"component " + strconv.Itoa(i+1) + " is an angle", "write a number or a percentage there"}
	default:
		return v.v, nil
	}
}

// hue reads component i in degrees.
func (a cssArgs) hue(i int) (float64, *cssFault) {
	if v := a.values[i]; v.kind != cssPercent {
		return v.v, nil
	}
	return 0, &cssFault{"the hue is a percentage", "write the hue in degrees, like 150 or 150deg"}
}

// cssArguments reads what stands between the parentheses of a function; text
// begins after the opening one.
func cssArguments(text string) (cssArgs, *cssFault) {
	var args cssArgs
	var values []cssValue
	alpha := false
	s := cssScanner{text}
	for {
		s.space()
		v, fault := s.value()
		if fault != nil {
			return cssArgs{}, fault
		}
		values = append(values, v)
		s.space()
		switch {
		case s.take(')'):
			return args, finishArguments(&args, values, alpha, s.rest)
		case s.take(','):
			if alpha || len(values) > 1 && !args.commas {
				return cssArgs{}, mixedSeparators
			}
			args.commas = true
		case s.take('/'):
			if alpha || args.commas {
				return cssArgs{}, mixedSeparators
			}
			alpha = true
		case args.commas:
			return cssArgs{}, mixedSeparators
		case alpha:
			return cssArgs{}, &cssFault{"more than alpha follows the /", "end it after alpha: \"/ 50%)\""}
		}
		if len(values) > 4 {
			return cssArgs{}, tooMany(len(values))
		}
	}
}

var mixedSeparators = &cssFault{"its components are separated in mixed ways", "put spaces between the components, as in \"rgb(255 128 0 / 50%)\", or commas between all of them"}

func tooMany(n int) *cssFault {
	return &cssFault{"it has " + strconv.Itoa(n) + " components, not 3", "write three components; alpha may follow after a /"}
}

// finishArguments checks the count of components and puts them in place.
func finishArguments(args *cssArgs, values []cssValue, alpha bool, rest string) *cssFault {
	if rest != "" {
		return &cssFault{strconv.Quote(rest) + " follows the colour", "leave it out"}
	}
	n := len(values)
	if alpha || args.commas && n == 4 {
		n--
	}
	if n != 3 {
		return tooMany(n)
	}
	copy(args.values[:], values)
	if args.commas {
		for _, v := range values {
			if v.kind == cssNone {
				return &cssFault{"none cannot stand between commas", "write 0, or put spaces between the components"}
			}
		}
	}
	return nil
}

// cssScanner reads a lower-case text from its start.
type cssScanner struct{ rest string }

func (s *cssScanner) space() { s.rest = strings.TrimLeft(s.rest, cssSpace) }

func (s *cssScanner) take(c byte) bool {
	if s.rest == "" || s.rest[0] != c {
		return false
	}
	s.rest = s.rest[1:]
	return true
}

// word takes a run of letters, digits and hyphens.
func (s *cssScanner) word() string {
	n := 0
	for n < len(s.rest) && (isLetter(s.rest[n]) || isDigit(s.rest[n]) || s.rest[n] == '-') {
		n++
	}
	w := s.rest[:n]
	s.rest = s.rest[n:]
	return w
}

// degreesPer is the size of each CSS unit of angle.
var degreesPer = map[string]float64{"deg": 1, "grad": 0.9, "rad": 57.29577951308232, "turn": 360}

// value takes a number, a percentage, an angle or none.
func (s *cssScanner) value() (cssValue, *cssFault) {
	n := numberLength(s.rest)
	if n == 0 {
		return s.noNumber()
	}
	v, err := strconv.ParseFloat(s.rest[:n], 64)
	if err != nil {
		return cssValue{}, &cssFault{strconv.Quote(s.rest[:n]) + " is too large a number", "write numbers within the ranges of CSS Color 4"}
	}
	s.rest = s.rest[n:]
	if s.take('%') {
		return cssValue{cssPercent, v}, nil
	}
	if s.rest == "" || !isLetter(s.rest[0]) {
		return cssValue{cssNumber, v}, nil
	}
	unit := s.word()
	degrees, known := degreesPer[unit]
	if !known {
		return cssValue{}, &cssFault{strconv.Quote(unit) + " is no unit that a colour has", "write plain numbers, percentages, or angles in deg, rad, grad or turn"}
	}
	return cssValue{cssAngle, v * degrees}, nil
}

// noNumber takes what may stand in place of a number.
func (s *cssScanner) noNumber() (cssValue, *cssFault) {
	before := s.rest
	switch w := s.word(); {
	case w == "none":
		return cssValue{kind: cssNone}, nil
	case w == "from":
		return cssValue{}, &cssFault{"colours relative to another are not read", "write the colour out"}
	case w != "":
		return cssValue{}, &cssFault{strconv.Quote(w) + " stands where a number should", "write a number; calc() and variables are not read"}
	case before == "":
		return cssValue{}, &cssFault{"it ends early", "close it with )"}
	}
	return cssValue{}, &cssFault{strconv.Quote(before[:1]) + " stands where a number should", "write three components like \"rgb(255 128 0)\""}
}

// numberLength is the length of the CSS number at the start of text: 12,
// -1.5, .5, 1e-3, but not "1." [css-syntax-3].
func numberLength(text string) int {
	digits := func(i int) int {
		for i < len(text) && isDigit(text[i]) {
			i++
		}
		return i
	}
	start := 0
	if text != "" && (text[0] == '+' || text[0] == '-') {
		start = 1
	}
	end := digits(start)
	if end < len(text) && text[end] == '.' {
		if fraction := digits(end + 1); fraction > end+1 {
			end = fraction
		}
	}
	if end == start {
		return 0
	}
	if end < len(text) && text[end] == 'e' {
		e := end + 1
		if e < len(text) && (text[e] == '+' || text[e] == '-') {
			e++
		}
		if exponent := digits(e); exponent > e {
			end = exponent
		}
	}
	return end
}

// cssLower takes A to Z down, and only those: CSS ignores case in ASCII alone,
// so that the Kelvin sign is no k.
func cssLower(text string) string {
	return strings.Map(func(r rune) rune {
		if 'A' <= r && r <= 'Z' {
			return r + 'a' - 'A'
		}
		return r
	}, text)
}

func isDigit(c byte) bool  { return '0' <= c && c <= '9' }
func isLetter(c byte) bool { return 'a' <= c && c <= 'z' }
