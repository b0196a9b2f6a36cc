package camera

import (
	"fmt"
	"math"
)

// Line is what one camera makes of one light, in the shape in which linkboy
// prints it and writes it as JSON.
type Line struct {
	// Name is the sensor's.
	Name string `json:"name"`
	// RGB are the balanced channel levels relative to what a meter reads of
	// the light: 1, 1, 1 is neutral.
	RGB [3]float64 `json:"rgb"`
	// ExcessStops is by how much the hottest channel runs ahead of the
	// meter, 0 where the camera sees nothing; Hottest says which one it is.
	ExcessStops float64 `json:"excess_stops"`
	Hottest     Channel `json:"hottest"`
	// CastStops is how green the light looks: G over the mean of R and B,
	// in stops; below 0 it looks magenta. It is there for whites only:
	// absent where a channel sees less than a fifth of what another does.
	CastStops *float64 `json:"cast_stops,omitempty"`
}

// castRange is the least share of the hottest channel that every channel of a
// white has: a black body of 2700 K seen at a balance of 5600 K has 0.24 to
// 0.63 in the sensors here, one of 10000 K seen at 3200 K 0.21 to 0.56.
const castRange = 0.2

// Line returns what v makes of a light whose response r is v's own. Darkness
// gives zeros.
func (v View) Line(r Response) Line {
	levels := r.PerMeter()
	excess, hottest := r.Excess()
	if math.IsInf(excess, 0) {
		excess = 0 // not a number that JSON has
	}
	line := Line{
		Name:        v.name,
		RGB:         [3]float64{levels.R, levels.G, levels.B},
		ExcessStops: excess,
		Hottest:     hottest,
	}
	if top, _ := levels.Hottest(); top > 0 && min(levels.R, levels.G, levels.B) >= castRange*top {
		cast := levels.Cast()
		line.CastStops = &cast
	}
	return line
}

// String gives the line for people.
func (l Line) String() string {
	text := fmt.Sprintf("%s: R %.2f G %.2f B %.2f of the meter, %s %+.2f stops", l.Name, l.RGB[0], l.RGB[1], l.RGB[2], l.Hottest, l.ExcessStops)
	if l.CastStops != nil {
		text += fmt.Sprintf(", green %+.2f", *l.CastStops)
	}
	return text
}

// Cast returns by how many stops green stands above the geometric mean of red
// and blue: what a tint control takes out, whatever the colour temperature.
// It has a meaning for whites; a channel at 0 makes it infinite or NaN.
func (c RGB) Cast() (stops float64) { return math.Log2(c.G / math.Sqrt(c.R*c.B)) }
