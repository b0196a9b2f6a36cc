// Package track is the compiled form of a location and of a fade: plain data
// and its interpolation. It knows no colour and no show; it cannot solve. The
// engine reads it 44 times a second, so nothing here allocates after loading.
package track

import "time"

// Layout is a location compiled: where every controlled value goes on the wire.
type Layout struct {
	Universes []Universe // ascending by Address
	Slots     []Slot
	Curves    []Curve
	Floor     []FloorCell
}

// Universe is one port-address and the bytes that no slot controls.
type Universe struct {
	Address uint16
	Base    []byte // length is what is sent for this universe: even, 2..512
}

// Slot is one controlled value: an emitter drive or a lamp parameter.
type Slot struct {
	Universe int32   // index into Layout.Universes
	Offset   int32   // slot in the universe, 0-based; the coarse byte
	Wide     bool    // 16 bits: Offset is coarse, Offset+1 fine
	Param    bool    // no light: neither overall nor floor light touches it
	Curve    int32   // index into Layout.Curves
	Safe     float32 // value when killed; 0 for emitters
	Stops    bool    // goes to Safe when the daemon ends, too
}

// Curve turns a light-linear value 0..1 into a control value 0..1: entry i of
// Table is the control for light (i/(len-1))^2, so that dark values keep their
// precision. A nil Table is the identity.
type Curve struct{ Table []float32 }

// FloorCell is a cell that floor light keeps lit: what is missing of Least is
// added in the mix Drive.
type FloorCell struct {
	First, N int32      // slots
	Weight   [8]float32 // lumens of each slot at full
	Drive    [8]float32 // the mix that gives Least
	Least    float32    // lumens
}

// Still is one value 0..1 per slot of a layout: drives are linear in light.
type Still []float32

// Fade is a compiled change from one still to another.
type Fade struct {
	From, To Still
	Total    time.Duration // real time until the last move has ended; 0 is a snap
	Moves    []Move        // slots in no move go to To at once
	Times    []float32     // knot positions 0..1 along a move, packed
	Values   []float32     // knot values, packed: for each knot, N values
	// Idle is the way of slots in no move through the time of the fade, for
	// movement that comes and goes with it; without a Length it is all of it, even.
	Idle Move
}

// Move is the way of a run of slots (one cell) through a fade. It waits Start,
// takes Length, and passes Knots knots; between knots values are straight. No
// slot is in two moves. Moves in the order of their slots are played fastest,
// above all where neighbours share Start, Length, Curve and TimeAt.
type Move struct {
	First, N      int32
	Start, Length float32 // shares of Total
	Curve         Ease
	Knots         int32
	TimeAt        int32 // first index into Fade.Times
	ValueAt       int32 // first index into Fade.Values
}

// Ease is how a move runs through its time.
type Ease uint8

// The eases.
const (
	Linear Ease = iota
	Soft
	In
	Out
)
