package compile

import (
	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/cues"
	"linkboy/cues/track"
)

// leastMiss is the u'v' distance from which a colour that is not quite reached
// is told: one step of the circles that make whites of one batch look alike
// (CIE TN 001:2014: an n-step circle has the radius 0.0011 n in u'v').
const leastMiss = 0.0011

// Report tells what a look asks and does not get.
type Report struct {
	// Misses are in rig order, one for each lamp and colour that is out of its reach.
	Misses []Miss
}

// Miss is a colour that a lamp cannot show.
type Miss struct {
	Lamp    *cues.RigLamp
	Cells   int // of the lamp, that were asked for it
	Asked   colour.XY
	Reached colour.XY
	DeltaUV float64  // CIE 1976 u'v' distance
	At      cues.Pos // of the paint that asks
}

// Still compiles a look: what every slot holds once it is settled. Cells that
// no paint names are dark, parameters that no paint sets are safe. When a
// problem is an error the still is nil.
func (p *Place) Still(look *cues.Look) (track.Still, Report, cues.Problems) {
	w := p.paint(look)
	if w.problems.HasErrors() {
		w.problems.Sort()
		return nil, Report{}, w.problems
	}
	still := p.Dark()
	for slot, share := range w.set {
		still[slot] = float32(share)
	}
	report := w.solve(still)
	w.tell(report)
	w.problems.Sort()
	return still, report, w.problems
}

// ask is a question to the solver; cells with the same one get the same answer.
type ask struct {
	mix    *emitters.Cell
	colour colour.XY
	level  colour.Level
}

// solve puts the drives of every painted cell into still.
func (w *painter) solve(still track.Still) Report {
	type missed struct {
		lamp  *cues.RigLamp
		asked colour.XY
	}
	var report Report
	solved := map[ask]emitters.Solution{}
	seen := map[missed]int{}
	for i, t := range w.cells {
		if !t.painted {
			continue
		}
		if !t.coloured {
			t.colour = w.place.Balance
		}
		cell := &w.place.Cells[i]
		question := ask{cell.mix, t.colour, t.level}
		s, ok := solved[question]
		if !ok {
			s = cell.mix.Solve(t.colour, t.level, w.place.Balance)
			solved[question] = s
		}
		cell.put(still, s.Drives)
		if !s.Clipped || s.DeltaUV < leastMiss || t.level == 0 {
			continue
		}
		key := missed{cell.Lamp, t.colour}
		at, told := seen[key]
		if !told {
			at = len(report.Misses)
			seen[key] = at
			report.Misses = append(report.Misses, Miss{Lamp: cell.Lamp, Asked: s.Asked, Reached: s.Reached, DeltaUV: s.DeltaUV, At: t.at})
		}
		report.Misses[at].Cells++
	}
	return report
}
