package compile

import (
	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/cues"
)

// leastMiss is the u'v' distance from which a colour that is not quite reached
// is told: one step of the circles that make whites of one batch look alike
// (CIE TN 001:2014: an n-step circle has the radius 0.0011 n in u'v').
const leastMiss = 0.0011

// leastStops is the difference of a camera's channels from which it is told: the
// eighth of a stop is about the least that is seen in a picture (common practice,
// no source), so less than half of that.
const leastStops = 0.05

// Report tells what a look asks and does not get, and what its policies cost.
type Report struct {
	// Misses are in rig order, one for each lamp and colour that is out of its reach.
	Misses []Miss
	// Matches are what it costs groups to match, one for each colour asked of them.
	Matches []Matched
	// Costs are what the policy camera costs the eye where it is no miss, in rig
	// order, one for each lamp and colour.
	Costs []Cost
	// Levels are the levels that are measured at a mark, in the order of the paint.
	Levels []MeasuredLevel
}

// Miss is a colour that a lamp cannot show.
type Miss struct {
	Lamp    *cues.RigLamp
	Cells   int // of the lamp, that were asked for it
	Asked   colour.XY
	Reached colour.XY
	DeltaUV float64 // CIE 1976 u'v' distance
	// Stops is how far the worst of the camera's channels is from the reference,
	// under the policy camera; 0 under others.
	Stops float64
	At    cues.Pos // of the paint that asks
}

// Cost is a colour that comes out another to the eye, as the camera goes first.
type Cost struct {
	Lamp    *cues.RigLamp
	Cells   int // of the lamp, that were asked for it
	Asked   colour.XY
	Reached colour.XY
	DeltaUV float64  // CIE 1976 u'v' distance
	At      cues.Pos // of the paint that asks
}

// heard is a lamp and a colour that a paint asks of it.
type heard struct {
	lamp  *cues.RigLamp
	asked colour.XY
}

// teller puts what cells do not get into a report, once for each lamp and colour.
type teller struct {
	report        *Report
	misses, costs map[heard]int // index into those of the report
}

// hear takes in the answer of one cell; stops is as in Miss.
func (r *teller) hear(l *cues.RigLamp, t *target, s *emitters.Solution, stops float64) {
	key := heard{l, t.colour}
	switch {
	case s.Clipped && (s.DeltaUV >= leastMiss || stops >= leastStops):
		at, known := r.misses[key]
		if !known {
			at = len(r.report.Misses)
			r.misses[key] = at
			r.report.Misses = append(r.report.Misses, Miss{Lamp: l, Asked: s.Asked, Reached: s.Reached, DeltaUV: s.DeltaUV, Stops: stops, At: t.at})
		}
		r.report.Misses[at].Cells++
	case !s.Clipped && s.DeltaUV >= leastMiss: // only a camera's recipe shows another colour than it could
		at, known := r.costs[key]
		if !known {
			at = len(r.report.Costs)
			r.costs[key] = at
			r.report.Costs = append(r.report.Costs, Cost{Lamp: l, Asked: s.Asked, Reached: s.Reached, DeltaUV: s.DeltaUV, At: t.at})
		}
		r.report.Costs[at].Cells++
	}
}
