package cues

import (
	"time"

	"linkboy/cues/timecode"
)

// Cue is a look with its timing.
type Cue struct {
	Number   int // 1-based place in the cue sheet
	Look     string
	Fade     Duration
	Delay    Duration
	Curve    Curve
	Path     Path
	Spread   *Spread       // nil when every cell starts together
	After    *Duration     // runs by itself so long after the fade of the cue before it has ended; nil waits for a person
	Timecode timecode.Code // runs by itself when time code comes there; the zero Code waits for a person
	Dark     bool          // may go under the floor light
	Note     string
	At       Pos
}

// Spread starts the cells of a group one after another.
type Spread struct {
	Over  Duration
	Along string // group; its order is the order of starting
	At    Pos
}

// Curve is how a fade moves through its time.
type Curve string

// The curves. All run from 0 to 1 without reversal.
const (
	CurveEven Curve = "even" // straight in perceived lightness; the default
	CurveSoft Curve = "soft" // slow at both ends
	CurveIn   Curve = "in"   // starts slow
	CurveOut  Curve = "out"  // ends slow
)

// Path is the way a fade takes through colour.
type Path string

// The paths.
const (
	PathShort Path = "short"           // straight in OKLab; the default
	PathRound Path = "round"           // round the hue circle, the shorter way
	PathOther Path = "round other way" // round the hue circle, the longer way
	PathWhite Path = "white"           // through the balance white
	PathDark  Path = "dark"            // through dark: down in the old colour, up in the new
	PathMired Path = "mired"           // from white to white along the Planckian locus; the short way where an end is no white
	PathLight Path = "straight"        // straight in light: a cross-fade of the two looks
)

// PathNames lists every path as it is written.
func PathNames() []string {
	var names []string
	for _, p := range []Path{PathShort, PathRound, PathOther, PathWhite, PathDark, PathMired, PathLight} {
		names = append(names, string(p))
	}
	return names
}

// Unit is a unit of time in a show file.
type Unit string

// The units of time.
const (
	Seconds      Unit = "s"
	Milliseconds Unit = "ms"
	Frames       Unit = "frames"
	Beats        Unit = "beats"
	Bars         Unit = "bars"
)

// Duration is a time as written: an amount in a unit, in real time or in
// screen time.
type Duration struct {
	Amount   float64
	Unit     Unit
	OnScreen bool
	At       Pos
}

// Clock turns durations into real time.
type Clock struct {
	Capture  float64 // camera frames per second
	Timeline float64 // edit frames per second
	Tempo    Tempo
}

// IsZero reports whether no duration was written.
func (d Duration) IsZero() bool { return d.Unit == "" }

// maxDuration is the longest time a cue may take: a day.
const maxDuration = 24 * time.Hour
