package cues

import (
	"linkboy/colour/calibrate"
	"linkboy/colour/gobo"
	"linkboy/colour/lamp"
	"linkboy/colour/recipe"
)

// KitLamp is a lamp owned.
type KitLamp struct {
	ID string
	// Type is the lamp's own: as it is made or, with readings, as they show
	// this unit to be. Mode is one of its modes.
	Type *lamp.Type
	Mode *lamp.Mode
	// Calibration is what Type comes from; nil without readings.
	Calibration *Calibration
	// Policy is the lamp's own policy, which stands before those of groups and
	// looks; "" for none.
	Policy recipe.Policy
	// UID is the lamp's own for remote device management, "7FF0:00000001", or ""
	// where the kit does not say.
	UID  string
	Note string
	At   Pos
}

// Calibration is what was read of one lamp, and how well its Type meets that.
type Calibration struct {
	Made     *lamp.Type // the lamp type that the readings were fitted from
	Readings []calibrate.Reading
	Report   calibrate.Report
}

// Point is a place in metres: x right, y up the plan, z up from the ground.
type Point [3]float64

// Location is a place to shoot.
type Location struct {
	Name  string // file name without its ending
	Title string
	File  string
	Tempo Tempo // overrides the show's when set
	Set   []SetPiece
	Marks []Mark
	// StandIns are figures where people will be, in file order.
	StandIns []StandIn
	Rig      []*RigLamp // in file order
	Groups   []*Group
	Looks    []*Look // looks of this location; one named like a show look stands before it
	Setups   []*Setup
	Cues     []*Cue
	// Outputs say how the universes travel; nil when the location does not say,
	// which is Art-Net to the nodes that answer.
	Outputs []*Output
}

// Mark is a named point, or a walk when it has more than one.
type Mark struct {
	Name   string
	Points []Point
	At     Pos
}

// RigLamp is a kit lamp that stands at a location. ID is its place in the rig
// ("lane-1"); Lamp is which lamp of the kit stands there.
type RigLamp struct {
	ID     string
	Lamp   *KitLamp
	Place  Point
	Along  Point // direction from cell 1 to the last cell, not normalised; zero when the lamp has none
	Aim    Point // point the lamp looks at, when HasAim
	HasAim bool
	// Diffusion is what stands in front of the lamp; nil for nothing.
	Diffusion *Diffusion
	// Gobo is what the lamp projects; nil for nothing.
	Gobo    *Gobo
	Address Address
	Circuit string
	At      Pos
}

// Diffusion is a filter or a soft box in front of a lamp.
type Diffusion struct {
	Factor    float64 // share of the light that it lets through, above 0 to 1
	WidensDeg float64 // full angle to 50 % that a ray of light has behind it, 0..120
}

// Gobo is a picture in the gate of a lamp, which it projects.
type Gobo struct {
	File    string // in the show's folder
	Picture *gobo.Picture
	// AngleDeg is the full angle across the longer side of the picture; 0 for as far as
	// the lamp's field reaches. Of a lamp with a lens that moves it holds at the safe
	// spread, and goes with it.
	AngleDeg float64
	TurnDeg  float64 // counterclockwise as it is seen on a wall, from the lamp
	SoftDeg  float64 // angle over which its edges go from dark to light
	At       Pos
}

// Address is a port-address and a start slot, written net:sub-net:universe.slot ("0:0:1.001").
type Address struct {
	Port uint16 // 15-bit port-address
	Slot int    // 1..512
	At   Pos
}

// Group is an ordered list of cells with a job. A whole lamp stands for all
// its cells in order.
type Group struct {
	Name    string
	Members []Member
	Policy  recipe.Policy // stands before those of looks; "" for none
	Match   Match
	At      Pos
}

// Match says whether the lamps of a group are held to what all of them can show.
type Match string

// The ways to match. The zero Match lets every lamp do what it can.
const (
	// MatchGroup gives every lamp of the group, of what it has in the group, the
	// one chromaticity that all of them reach and the same lumens.
	MatchGroup Match = "group"
)

// Member is a rig lamp, or some of its cells.
type Member struct {
	Lamp  *RigLamp
	First int // mode cell, 0-based
	Last  int // inclusive
	At    Pos
}
