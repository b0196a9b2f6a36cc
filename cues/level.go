package cues

import (
	"math"

	"linkboy/colour"
)

// Share gives l as a share of a cell's most light; ok is false for a level
// that is measured at a place, and for none.
func (l Level) Share() (share colour.Level, ok bool) {
	switch l.Kind {
	case Share:
		return colour.Level(l.Value), true
	case StopsFromFull:
		return colour.Level(math.Exp2(l.Value)), true
	}
	return 0, false
}
