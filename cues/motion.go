package cues

import "linkboy/colour"

// Motion is the movement of the cells of a paint. They rest in the colour and at
// the level of the paint and go from there to a far end and back.
type Motion struct {
	Kind   MotionKind
	Period Duration // of a wave; of a noise, from one happening to the next on the average; zero is the kind's own
	// Between says what the far end is: less light, or the paint's other colour.
	Between Between
	Depth   colour.Level // how far the far end is, above 0 to 1
	Spread  MotionSpread // how the cells of the group follow each other
	Phase   float64      // of a wave: the share of its period at which it begins, 0..1
	Duty    float64      // of a pulse: the share of the period at rest
	Seed    uint64       // of a noise
	At      Pos
}

// MotionKind is what moves cells.
type MotionKind string

// The kinds of motion.
const (
	NoMotion  MotionKind = "none" // ends what paint before it moves
	Sine      MotionKind = "sine" // waves: to and fro, slow at both ends
	Ramp      MotionKind = "ramp" // evenly away and back at once
	Pulse     MotionKind = "pulse"
	Flame     MotionKind = "flame" // noises, see package generator
	Screen    MotionKind = "screen"
	Lightning MotionKind = "lightning"
	Passing   MotionKind = "passing"
)

// Waves and Noises list the kinds of motion as they are written.
func Waves() []string { return []string{string(Sine), string(Ramp), string(Pulse)} }

// Noises, see Waves.
func Noises() []string {
	return []string{string(Flame), string(Screen), string(Lightning), string(Passing)}
}

// IsWave tells whether k is a wave.
func (k MotionKind) IsWave() bool { return k == Sine || k == Ramp || k == Pulse }

// Between says between what a motion goes.
type Between string

// What a motion can go between.
const (
	BetweenLevels  Between = "levels"  // the paint's level and less of it
	BetweenColours Between = "colours" // the paint's two colours
)

// MotionSpread is how far the cells of a group are behind each other, in group
// order. The zero MotionSpread is the kind's own way.
type MotionSpread struct {
	Cycles float64  // over the whole group, in periods; negative from its end to its beginning
	Time   Duration // from the first cell to the last, where it is written as a time
	Set    bool
}
