package cues

import "linkboy/colour/recipe"

// Look is a named state of a location.
type Look struct {
	Name  string
	From  string // the look this one starts as, "" for none
	Wears string // character whose colours plain names mean; inherited through From
	// Policy says which of the mixes of a colour its cells take, "" for that of
	// From, in the end for the brightest. Groups and lamps may say otherwise.
	Policy recipe.Policy
	Paint  []Paint
	Note   string
	At     Pos
}

// Paint gives the cells of a group their colour and level. Later paint covers
// earlier paint; cells that no paint names are dark.
type Paint struct {
	On      string // group
	Pattern Pattern
	Colours []Colour // one for solid, two or more for the other patterns; empty keeps what is under it
	Level   Level
	Set     []Setting // parameters of the lamps of the group
	Moves   *Motion   // nil keeps what is under it
	At      Pos
}

// Pattern says how colours spread over the cells of a group, in group order.
type Pattern string

// The patterns.
const (
	Solid     Pattern = "solid"     // the one colour everywhere
	Alternate Pattern = "alternate" // cell by cell in turn
	Halves    Pattern = "halves"    // equal runs, first colour first
	Gradient  Pattern = "gradient"  // from the first to the last colour, straight in u'v'
	Mirror    Pattern = "mirror"    // from both ends to the middle, like gradient
)

// Setting is a value for a lamp parameter that is no colour, in the parameter's unit.
type Setting struct {
	Param string
	Value float64
	At    Pos
}

// Level is a level as written.
type Level struct {
	Kind  LevelKind
	Value float64 // share 0..1, stops (negative is darker), or lux, by Kind
	Group string  // StopsUnder: the group it is measured under
	Mark  string  // StopsUnder, Lux: where
	At    Pos
}

// LevelKind is how a level is written.
type LevelKind string

// The kinds of level. The zero kind means that none was written.
const (
	Share         LevelKind = "share"           // 40%
	StopsFromFull LevelKind = "stops from full" // -2 stops
	StopsUnder    LevelKind = "stops under"     // -1.5 stops under key at a
	Lux           LevelKind = "lux"             // 120 lx at a
)
