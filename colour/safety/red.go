package safety

import "linkboy/colour"

const (
	// saturatedRed is the share of red among linear R, G, B from which a
	// state is a saturated red [WCAG].
	saturatedRed = 0.8
	// redStep is the distance in CIE 1976 u'v' over which a change to or from
	// one counts [WCAG 2.2].
	redStep = 0.2
	// olderRedStep is the change of (R - G - B) 320 over which one counted
	// before [WCAG 2.0].
	olderRedStep = 20
)

// IsSaturatedRed reports whether R/(R + G + B) is 0.8 or more, linear light with
// the primaries of BT.709 [WCAG]. Light beyond those primaries counts with
// what it has of them: nothing is taken off for less than none.
func IsSaturatedRed(light colour.XYZ) bool {
	r, g, b := inside(light)
	return r > 0 && r/(r+g+b) >= saturatedRed
}

// IsRedChange reports whether a change between two states is half of a red
// flash by either form of the rule: one of them is a saturated red, and they are
// over 0.2 apart in u'v' [WCAG 2.2] or over 20 in (R - G - B) 320 [WCAG 2.0],
// which also tells red from darkness.
func IsRedChange(a, b colour.XYZ) bool {
	if !IsSaturatedRed(a) && !IsSaturatedRed(b) {
		return false
	}
	return apart(a, b) || olderRed(a)-olderRed(b) > olderRedStep || olderRed(b)-olderRed(a) > olderRedStep
}

// olderRed is max(0, (R - G - B) 320).
func olderRed(light colour.XYZ) float64 {
	r, g, b := inside(light)
	return max(0, (r-g-b)*320)
}

// inside returns light in linear BT.709 with nothing under 0.
func inside(light colour.XYZ) (r, g, b float64) {
	r, g, b = light.SRGB()
	return max(r, 0), max(g, 0), max(b, 0)
}

// apart reports whether two lights are over redStep apart. Darkness has no
// chromaticity to be apart by.
func apart(a, b colour.XYZ) bool {
	return a.Y > 0 && b.Y > 0 && a.XY().UV().Distance(b.XY().UV()) > redStep
}

// chromaticity finds changes to and from saturated red by their chromaticity.
type chromaticity struct {
	from    colour.XYZ // where the last change ended
	red     bool
	started bool
}

// turns takes the next state and reports whether a change is complete with it.
// A state of darkness changes nothing.
func (c *chromaticity) turns(light colour.XYZ, red bool) bool {
	if light.Y <= 0 {
		return false
	}
	turned := c.started && (c.red || red) && apart(c.from, light)
	if turned || !c.started {
		*c = chromaticity{from: light, red: red, started: true}
	}
	return turned
}
