package compile

import (
	"fmt"

	"linkboy/colour"
	"linkboy/colour/lamp"
	"linkboy/cues"
)

// matched is the u'v' distance from which lamps are seen not to match: a
// three-step circle of CIE TN 001:2014 (0.0011 a step), the tolerance in which
// white lamps are commonly sorted (common practice, no source).
const matched = 0.0033

// farOff is one warning: a type of lamp and a colour that a paint asks of it.
type farOff struct {
	kind  *lamp.Type
	asked colour.XY
	at    cues.Pos
}

// tell warns, once for each paint, type of lamp and colour, of what is so far
// out of reach that it is seen.
func (w *painter) tell() {
	var order []farOff
	lamps := map[farOff]int{}
	far := map[farOff]Miss{}
	for _, m := range w.report.Misses {
		if m.DeltaUV < matched && m.Stops < leastStops {
			continue
		}
		key := farOff{m.Lamp.Lamp.Type, m.Asked, m.At}
		if lamps[key] == 0 {
			order = append(order, key)
		}
		lamps[key]++
		far[key] = m
	}
	for _, key := range order {
		who := fmt.Sprintf("%d lamps of type %s show", lamps[key], key.kind.Name)
		if lamps[key] == 1 {
			who = fmt.Sprintf("1 lamp of type %s shows", key.kind.Name)
		}
		m := far[key]
		why := fmt.Sprintf("xy %.4f, %.4f is out of reach by %.4f in u'v'", m.Asked.X, m.Asked.Y, m.DeltaUV)
		if m.Stops >= leastStops {
			why = fmt.Sprintf("xy %.4f, %.4f is out of reach for the camera by %.2f stop in one channel, and %.4f in u'v' off for the eye", m.Asked.X, m.Asked.Y, m.Stops, m.DeltaUV)
		}
		w.outOfReach(key.at, who+" another colour", why,
			"ask for a colour nearer to what it can show, or accept that lamps of other types differ by that much")
	}
	w.tellMatches()
}

// tellMatches warns of groups that match in another colour than was asked, when
// it is so far off that it is seen, once for each paint and colour.
func (w *painter) tellMatches() {
	for _, m := range w.report.Matches {
		if m.DeltaUV < matched {
			continue
		}
		w.outOfReach(m.At, fmt.Sprintf("group %q matches in another colour", m.Group.Name),
			fmt.Sprintf("xy %.4f, %.4f is out of reach of one of its lamps, and what all can show is %.4f in u'v' away", m.Asked.X, m.Asked.Y, m.DeltaUV),
			"ask for a colour nearer to what all can show, or take the match out")
	}
	w.tellDimmed()
}

// muchLight is the loss, in stops, from which it is told what a match costs.
const muchLight = 1

// tellDimmed warns of groups in which a lamp loses much light to a match, once for each
// paint, by its worst colour.
func (w *painter) tellDimmed() {
	type loss struct {
		match *Matched
		part  *MatchPart
	}
	var order []cues.Pos
	worst := map[cues.Pos]loss{}
	for i := range w.report.Matches {
		m := &w.report.Matches[i]
		for k := range m.Parts {
			part := &m.Parts[k]
			before, known := worst[m.At]
			if part.Stops < muchLight || known && part.Stops <= before.part.Stops {
				continue
			}
			if !known {
				order = append(order, m.At)
			}
			worst[m.At] = loss{m, part}
		}
	}
	for _, at := range order {
		m, part := worst[at].match, worst[at].part
		w.add(cues.NewProblem(at, cues.CodeMatchDims,
			fmt.Sprintf("look %q at %s: %q gives %.1f stops less than it could", w.look.Name, w.place.Location.Name, part.Lamp.ID, part.Stops),
			fmt.Sprintf("group %q matches, and %q has no more than %.0f lm of that colour", m.Group.Name, m.Weakest.ID, m.Lumens),
			"match lamps of about one strength, or accept that the strong ones are held back"))
	}
}

func (w *painter) outOfReach(at cues.Pos, what, why, mend string) {
	w.warn(cues.NewProblem(at, cues.CodeColourOutOfReach, fmt.Sprintf("look %q at %s: %s", w.look.Name, w.place.Location.Name, what), why, mend))
}
