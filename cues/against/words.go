package against

import (
	"fmt"
	"math"
	"strings"

	"linkboy/colour"
	"linkboy/cues/compile"
)

// The least that is put into words; less is called the same.
const (
	leastStops = 0.05
	leastUV    = 0.001 // under one step of the circles of CIE TN 001:2014
	leastMired = 3     // half of the least step that people tell apart (common practice, no source)
	leastTint  = 0.0015
	leastHue   = 1.5  // degrees
	otherHue   = 45   // from which on it is another colour, and no direction
	leastSat   = 0.02 // of the way from white to the edge
)

// A white is near the Planckian locus and neither a candle nor the zenith: what lamps are
// set to as a white (common practice, no source).
const (
	whiteDuv      = 0.012
	lowest, above = 2400, 15_000
)

// writtenText is a group's paint as it is left to be seen.
func writtenText(worn compile.Worn) string {
	var names []string
	for _, c := range worn.Colours {
		names = append(names, c.Text)
	}
	text := strings.Join(names, ", ")
	if len(names) > 1 {
		text = string(worn.Pattern) + " " + text
	}
	if worn.Level != "" {
		text += " at " + worn.Level
	}
	return text
}

func levelWords(dark, darkBefore bool, stops float64) string {
	switch {
	case dark:
		return "goes dark"
	case darkBefore:
		return "comes on"
	case math.Abs(stops) < leastStops:
		return "as bright"
	case stops > 0:
		return fmt.Sprintf("%.2f stops brighter", stops)
	}
	return fmt.Sprintf("%.2f stops darker", -stops)
}

// colourWords says how light b is of another colour than a.
func colourWords(a, b, balance colour.XY) string {
	if a.UV().Distance(b.UV()) < leastUV {
		return "same colour"
	}
	from, isWhite := whiteOf(a)
	to, becomesWhite := whiteOf(b)
	if isWhite && becomesWhite {
		return whiteWords(from, to)
	}
	return hueWords(a, b, balance, isWhite, becomesWhite)
}

func whiteOf(p colour.XY) (white colour.CCT, ok bool) {
	white, err := p.CCT()
	return white, err == nil && math.Abs(float64(white.Duv)) <= whiteDuv && white.T >= lowest && white.T <= above
}

// whiteWords says what a person says of two whites: warmer or cooler in mired, greener or
// pinker in Duv.
func whiteWords(from, to colour.CCT) string {
	var says []string
	mired := float64(to.T.Mired() - from.T.Mired())
	span := fmt.Sprintf(" (%.0f K to %.0f K)", float64(from.T), float64(to.T))
	switch {
	case mired >= leastMired:
		says = append(says, fmt.Sprintf("warmer by %.0f mired%s", mired, span))
	case mired <= -leastMired:
		says = append(says, fmt.Sprintf("cooler by %.0f mired%s", -mired, span))
	}
	switch tint := float64(to.Duv - from.Duv); {
	case tint >= leastTint:
		says = append(says, fmt.Sprintf("greener by %.4f Duv", tint))
	case tint <= -leastTint:
		says = append(says, fmt.Sprintf("pinker by %.4f Duv", -tint))
	}
	if len(says) == 0 {
		return "nearly the same white"
	}
	return strings.Join(says, ", ")
}

// hueNames are the names that hues go by, in degrees of HueSat.
var hueNames = []struct {
	deg  float64
	name string
}{{0, "red"}, {30, "orange"}, {60, "yellow"}, {120, "green"}, {180, "cyan"}, {240, "blue"}, {270, "violet"}, {300, "magenta"}, {360, "red"}}

// hueName gives the name nearest to a hue.
func hueName(deg float64) string {
	best := hueNames[0]
	for _, h := range hueNames {
		if math.Abs(h.deg-deg) < math.Abs(best.deg-deg) {
			best = h
		}
	}
	return best.name
}

// ahead gives the name of the first hue at or beyond one, on a way that turns up or down.
func ahead(deg float64, up bool) string {
	if up {
		for _, h := range hueNames {
			if h.deg >= deg-1e-6 {
				return h.name
			}
		}
	}
	name := hueNames[0].name
	for _, h := range hueNames {
		if h.deg <= deg+1e-6 {
			name = h.name
		}
	}
	return name
}

// hueWords says how one colour goes over into another.
func hueWords(a, b, balance colour.XY, white, becomesWhite bool) string {
	from, ok := colour.HueSatOf(a, balance)
	to, okToo := colour.HueSatOf(b, balance)
	switch {
	case white && okToo:
		return fmt.Sprintf("from white to %s", colourName(to))
	case becomesWhite && ok:
		return fmt.Sprintf("from %s to white", colourName(from))
	case !ok || !okToo:
		return "another colour"
	}
	var says []string
	turn := math.Mod(to.Hue-from.Hue+540, 360) - 180
	switch {
	case math.Abs(turn) >= otherHue && hueName(from.Hue) != hueName(to.Hue):
		says = append(says, fmt.Sprintf("%s, not %s (%.0f deg)", hueName(to.Hue), hueName(from.Hue), math.Abs(turn)))
	case math.Abs(turn) >= leastHue:
		says = append(says, fmt.Sprintf("%.0f deg towards %s", math.Abs(turn), ahead(to.Hue, turn > 0)))
	}
	switch more := to.Sat - from.Sat; {
	case more >= leastSat:
		says = append(says, fmt.Sprintf("more saturated, %.0f%% to %.0f%%", 100*from.Sat, 100*to.Sat))
	case more <= -leastSat:
		says = append(says, fmt.Sprintf("less saturated, %.0f%% to %.0f%%", 100*from.Sat, 100*to.Sat))
	}
	if len(says) == 0 {
		return "nearly the same colour"
	}
	return strings.Join(says, ", ")
}

func colourName(h colour.HueSat) string {
	return fmt.Sprintf("%s (hue %.0f, sat %.0f%%)", hueName(h.Hue), h.Hue, 100*h.Sat)
}
