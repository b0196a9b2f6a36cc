package calibrate

import (
	"fmt"
	"math"
	"strings"

	"linkboy/colour"
	"linkboy/colour/lamp"
)

// How far the light of a unit may lie from its type's. Types are often generic:
// another maker's lamp of the class gives a half or twice the light.
const (
	plainStops   = 2.0  // farther is named
	mostStops    = 5.0  // farther still is not believed
	mendedStops  = 1.0  // a slip of units must explain all but this
	plainUV      = 0.02 // of any light, past what a bin is off
	plainNM      = 10   // of the peak: a bin
	mostUV       = 0.04
	mostNM       = 25
	farthestUV   = 0.15 // whatever the emitter
	explainedUV  = 0.04 // a slip of the colour must explain all but this
	luxPerCandle = 10.7639104
	metrePerFoot = 0.3048
)

// vetted is a reading with what of it can be used.
type vetted struct {
	Reading
	index     int
	emitter   int
	control   float64 // Drive as the bytes of the mode can carry it
	lux, tint bool
	lumens    float64 // of the whole lamp, by its law
	colour    colour.XY
}

// vetter looks at readings one by one.
type vetter struct {
	t       *lamp.Type
	m       *lamp.Mode
	law     Law
	lawless error
	own     []colour.XY                   // chromaticities of the type's emitters
	light   func(control float64) float64 // the type's curve
	faults  []Fault
}

// fault tells what is wrong with v.
func (c *vetter) fault(v *vetted, kind Kind, refused bool, what, why, mend string) {
	c.faults = append(c.faults, Fault{Reading: v.index, Emitter: v.Emitter, Kind: kind, Refused: refused, What: what, Why: why, Mend: mend})
}

// vet looks at one reading by itself; what it finds wrong is left out of it.
func (c *vetter) vet(v *vetted) {
	v.emitter = -1
	for i, e := range c.t.Emitters {
		if e.Name == v.Emitter {
			v.emitter = i
		}
	}
	if v.emitter < 0 {
		c.fault(v, UnknownEmitter, true, fmt.Sprintf("no emitter %q", v.Emitter), "the lamp type "+c.t.Name+" has none of that name",
			"name one of "+strings.Join(c.emitterNames(), ", "))
		return
	}
	if !v.hasLux() && !v.hasXY() && v.Spectrum == nil {
		c.fault(v, Impossible, true, "nothing was read", "it has neither lux nor xy nor a spectrum", "give at least one of them, or take the reading out")
		return
	}
	if !c.drive(v) {
		return
	}
	v.control = carried(c.m, v.emitter, v.Drive)
	v.lux = v.hasLux() && c.luxes(v)
	v.tint = c.tints(v)
}

func (c *vetter) emitterNames() []string {
	var names []string
	for _, e := range c.t.Emitters {
		names = append(names, e.Name)
	}
	return names
}

// carried returns a share of control as rounded to the bits of the emitter's channel.
func carried(m *lamp.Mode, emitter int, drive float64) float64 {
	full := 255.0
	for _, ch := range m.Channels {
		if ch.Param == nil && ch.Emitter == emitter && ch.Bits == 16 {
			full = 65535
		}
	}
	return max(math.Round(drive*full), 1) / full
}

func (c *vetter) drive(v *vetted) bool {
	switch d := v.Drive; {
	case d > 0 && d <= 1:
		return true
	case d > 1 && d <= 100:
		c.fault(v, WrongUnit, true, fmt.Sprintf("a drive of %g", d), "a drive is a share of full control, 0 to 1; this looks like per cent",
			fmt.Sprintf("write %g or %g%%", d/100, d))
	case d > 100 && d <= 255:
		c.fault(v, WrongUnit, true, fmt.Sprintf("a drive of %g", d), "a drive is a share of full control, 0 to 1; this looks like the value of a channel",
			fmt.Sprintf("write %.4g or %.4g%%", d/255, d/2.55))
	default:
		c.fault(v, Impossible, true, fmt.Sprintf("a drive of %g", d), "a drive is a share of full control, above 0 to 1", "write the share at which it was read, 1 or 100% for full")
	}
	return false
}

// luxes checks an illuminance and makes lumens of it.
func (c *vetter) luxes(v *vetted) bool {
	switch {
	case c.lawless != nil:
		c.fault(v, NoPhotometry, true, fmt.Sprintf("%g lx at %g m", v.Lux, v.DistanceM), "lumens cannot be told from lux: "+c.lawless.Error(), "give the lamp type a beam angle")
	case !(v.DistanceM > 0 && v.DistanceM <= 1e4):
		c.fault(v, Impossible, true, fmt.Sprintf("%g lx at a distance of %g m", v.Lux, v.DistanceM), "lux say nothing of a lamp without the distance from its face", "give the distance in metres")
	case !(v.Lux > 0 && v.Lux <= 1e7):
		c.fault(v, Impossible, true, fmt.Sprintf("%g lx", v.Lux), "an emitter that is on gives light, and less than the sun's 100000 lx a hundred times over", "read it again, nearer where it is too dim for the meter, or take it out")
	default:
		v.lumens = c.law.Lumens(v.Lux, v.DistanceM)
		return c.likely(v)
	}
	return false
}

// slip is a way of writing a right reading wrong.
type slip struct {
	why, mend string
	lux, at   float64 // what must be multiplied to mend it
	unit      string
}

var slips = []slip{
	{"it would fit if it were read in foot-candles", "1 fc is 10.76 lx", luxPerCandle, 1, "lx"},
	{"it would fit if the distance were in centimetres", "100 cm are 1 m", 1, 0.01, "m"},
	{"it would fit if the distance were in feet", "1 ft is 0.3048 m", 1, metrePerFoot, "m"},
	{"it would fit if it were read in kilolux", "1 klx is 1000 lx", 1000, 1, "lx"},
	{"it would fit if the distance were in millimetres", "1000 mm are 1 m", 1, 0.001, "m"},
}

// likely compares the light with the type's. Below full control the type's
// curve need not be the unit's, so any between control and its cube will do.
func (c *vetter) likely(v *vetted) bool {
	full := c.t.Emitters[v.emitter].Lumens
	least := math.Log2(full * min(math.Pow(v.control, 3), c.light(v.control)))
	most := math.Log2(full * max(v.control, c.light(v.control)))
	beyond := func(lumens float64) float64 { // stops past what can be, 0 within
		l := math.Log2(lumens)
		return max(least-l, l-most, 0)
	}
	off := beyond(v.lumens)
	if off <= plainStops {
		return true
	}
	what := fmt.Sprintf("%g lx at %g m", v.Lux, v.DistanceM)
	for _, s := range slips {
		if beyond(c.law.Lumens(v.Lux*s.lux, v.DistanceM*s.at)) > mendedStops {
			continue
		}
		write := fmt.Sprintf("write %.4g lx", v.Lux*s.lux)
		if s.unit == "m" {
			write = fmt.Sprintf("write %.4g m", v.DistanceM*s.at)
		}
		c.fault(v, WrongUnit, true, what, fmt.Sprintf("that is %.0f lm, %.1f stops off what the %s of %s gives; %s", v.lumens, off, v.Emitter, c.t.Name, s.why),
			fmt.Sprintf("%s (%s); or, if it is right, give the lamp type its own lumens", write, s.mend))
		return false
	}
	refused := off > mostStops
	c.fault(v, FarFromType, refused, what, fmt.Sprintf("that is %.3g lm, %.1f stops off what the %s of %s gives", v.lumens, off, v.Emitter, c.t.Name),
		"check the distance, the level and that nothing stands in the light; if it is right, give the lamp a type with such lumens")
	return !refused
}
