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
func (w *painter) tell(report Report) {
	var order []farOff
	lamps := map[farOff]int{}
	far := map[farOff]float64{}
	for _, m := range report.Misses {
		if m.DeltaUV < matched {
			continue
		}
		key := farOff{m.Lamp.Lamp.Type, m.Asked, m.At}
		if lamps[key] == 0 {
			order = append(order, key)
		}
		lamps[key]++
		far[key] = m.DeltaUV
	}
	for _, key := range order {
		who := fmt.Sprintf("%d lamps of type %s show", lamps[key], key.kind.Name)
		if lamps[key] == 1 {
			who = fmt.Sprintf("1 lamp of type %s shows", key.kind.Name)
		}
		w.warn(cues.NewProblem(key.at, cues.CodeColourOutOfReach,
			fmt.Sprintf("look %q at %s: %s another colour", w.look.Name, w.place.Location.Name, who),
			fmt.Sprintf("xy %.4f, %.4f is out of reach by %.4f in u'v'", key.asked.X, key.asked.Y, far[key]),
			"ask for a colour nearer to what it can show, or accept that lamps of other types differ by that much"))
	}
}
