package cues

// Walk is how a stand-in moves in a rehearsal: along a mark of several points, at one
// speed, from the start of a cue on. Light is computed with the figure where it stands
// first, and does not move with it.
type Walk struct {
	Mark  string
	Cue   int      // 1-based
	Takes Duration // for the whole way
	At    Pos
}
