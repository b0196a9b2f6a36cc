// Package lamp describes types of lamp: their emitters, cells, photometry and
// power, and the modes in which they read DMX channels. It is the only place
// that knows how light becomes channel bytes and channel bytes become light.
package lamp

import "linkboy/colour/spectra"

// Class says what a lamp is shaped like; plan and transport draw it so.
type Class string

// The classes of lamp.
const (
	Tube  Class = "tube"
	Panel Class = "panel"
	Spot  Class = "spot"
	Puck  Class = "puck"
	Fog   Class = "fog"
)

// Type is a type of lamp. A type without emitters gives no light (a fog machine).
type Type struct {
	Name  string // as a kit names it: "tube-rgbww-4ft"
	Title string
	Class Class
	// Invented says that the numbers are made up for a generic lamp and
	// not those of any product.
	Invented   bool
	Emitters   []Emitter // of one cell; all cells are alike
	Cells      int       // physical cells, in order along the lamp
	Photometry Photometry
	Power      Power
	PWM        PWM
	Modes      []*Mode // the first one is the default
	Source     string  // the file it came from, "built-in" for ours
}

// Emitter is one LED colour.
type Emitter struct {
	Name     string
	Spectrum spectra.Spectrum // relative
	Lumens   float64          // whole lamp, this emitter alone at full
}

// Photometry is the shape and throw of a lamp.
type Photometry struct {
	BeamDeg, FieldDeg float64 // full angles to 50 % and 10 %
	LengthM, WidthM   float64 // of the emitting face
}

// Power is electrical input power in watts.
type Power struct{ FullW, StandbyW float64 }

// PWM is how a lamp dims: full on for a share of every period. The zero PWM is one that
// the type does not tell of.
type PWM struct {
	Hz      float64
	Between float64 // share of the light that is left between the pulses, 0 to under 1
}

// Curve names the law from a channel's control value to light.
type Curve string

// Mode is one way in which a lamp reads channels.
type Mode struct {
	Name      string
	Cells     int // cells that this mode can tell apart; divides Type.Cells
	Footprint int // slots taken
	Curve     Curve
	Channels  []Channel // in slot order
}

// Channel is one control of a mode. Exactly one of Emitter >= 0 or Param != nil holds.
type Channel struct {
	Offset  int // slot from the lamp's start address, 0-based; coarse byte first when Bits is 16
	Bits    int // 8 or 16
	Name    string
	Cell    int // mode cell of an emitter channel; -1 for a parameter
	Emitter int // index into Type.Emitters; -1 for a parameter
	Param   *Param
}

// Param is a control that is no colour: strobe, fan, spread, fog output.
type Param struct {
	Name     string
	Unit     string  // "%", "deg", "Hz" or ""
	Min, Max float64 // in Unit, at control 0 and at full
	Safe     float64 // in Unit; always sent unless a look sets another value
	Fades    bool    // false: takes its new value at the start of a fade
	// Stops: it goes to Safe, which is Min, when the daemon ends, as fog must not
	// go on with nobody there.
	Stops bool
}
