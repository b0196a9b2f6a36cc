package compile

import (
	"fmt"
	"math"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/track"
)

// leastOff is how far a level may be from what was asked before it is told, in stops.
const leastOff = 0.05

// darkest is how far from anything darkness is said to be, in stops.
const darkest = 99

// MeasuredLevel is a level that is measured at a mark, as it came out.
type MeasuredLevel struct {
	Group *cues.Group
	Asked cues.Level
	// Share is the level that its cells have.
	Share colour.Level
	// Solved is false where the level is Unmeasured: the light is not computed yet, or
	// there is none to measure.
	Solved bool
	// Lux is what the group gives at the mark by the bytes that go out, and Target what
	// was asked; 0 where not Solved.
	Lux, Target float64
}

// Off is by how many stops the light is over what was asked; negative under it.
func (m *MeasuredLevel) Off() float64 {
	if !m.Solved {
		return 0
	}
	return min(max(math.Log2(m.Lux/m.Target), -darkest), darkest)
}

// tellLevels measures what the still makes of the levels, by the bytes on the wire, and
// tells which are not as asked.
func (w *painter) tellLevels(still track.Still) {
	if len(w.measures) == 0 {
		return
	}
	p := w.place
	light := make([]colour.XYZ, len(p.Cells))
	p.Light(p.Frame(still, !w.dark), light)
	for _, m := range w.measures {
		r := MeasuredLevel{Group: m.group, Asked: m.level, Share: m.share}
		if m.state != unread && m.state != unlit {
			r.Solved, r.Lux, r.Target = true, w.lux(m.mark, m.cells, light), m.level.Value
			if m.level.Kind == cues.StopsUnder {
				r.Target = math.Exp2(m.level.Value) * w.lux(m.mark, m.under, light)
			}
		}
		w.report.Levels = append(w.report.Levels, r)
		w.tellLevel(m, &r)
	}
}

// lux is what some cells give at a mark.
func (w *painter) lux(mark *cues.Mark, cells []int, light []colour.XYZ) float64 {
	lumens, dst := make([]float64, len(cells)), make([]float64, len(cells))
	for k, i := range cells {
		lumens[k] = light[i].Y
	}
	w.place.metered.PerLumen(mark, cells, lumens, pick(w.place.spreads(w.set), cells), dst)
	sum := 0.0
	for k, v := range dst {
		sum += v * lumens[k]
	}
	return sum
}

// tellLevel warns of one level that is not as asked.
func (w *painter) tellLevel(m *measured, r *MeasuredLevel) {
	name, off := m.group.Name, r.Off()
	switch {
	case m.state == unlit:
		w.tellUnlit(m)
	case m.state == unread || math.Abs(off) <= leastOff || r.Target == 0 && r.Lux == 0:
		return
	case m.state == most && off < 0:
		w.add(cues.NewProblem(m.level.At, cues.CodeLevelOff, w.where("%q is %.1f stops short of %q", name, -off, m.level),
			fmt.Sprintf("at full it gives %.3g lx at %s, and %.3g lx are asked", r.Lux, m.level.Mark, r.Target),
			"bring its lamps nearer or turn them there, lower what it is measured against, or ask for less"))
	case m.state == none:
		w.add(cues.NewProblem(m.level.At, cues.CodeLevelOff, w.where("%q is brighter than %q by itself", name, m.level),
			fmt.Sprintf("without the lamps whose level this is, it gives %.3g lx at %s, and %.3g lx are asked: other paint or floor light does that", r.Lux, m.level.Mark, r.Target),
			"take the lamps of other paint out of the group, or ask for more"))
	case m.state == unsteady:
		w.add(cues.NewProblem(m.level.At, cues.CodeLevelOff, w.where("%q comes %+.2f stops off %q", name, off, m.level),
			"the receptor turns from one lamp to another as the level changes, and at no level it reads what is asked",
			"measure the level at another mark, or give it in %"))
	default:
		w.add(cues.NewProblem(m.level.At, cues.CodeLevelOff, w.where("%q comes %+.2f stops off %q", name, off, m.level),
			fmt.Sprintf("the steps of its lamps at %.2g %% are that coarse", r.Share*100),
			"use its lamps in a mode with 16 bits, or take some of them out so that the others work higher up"))
	}
}

// tellUnlit warns of a level that there is no light to measure for.
func (w *painter) tellUnlit(m *measured) {
	what := w.where("no light of %q comes to mark %q, so %q cannot be measured", m.group.Name, m.level.Mark, m.level)
	mend := "turn its lamps there, move the mark, or give the group a level in %"
	if m.level.Kind == cues.StopsUnder && !w.lit(m.under) {
		what = w.where("%q is dark, so %q cannot be measured", m.level.Group, m.level)
		mend = fmt.Sprintf("light %q in this look, or give %q a level in %%", m.level.Group, m.group.Name)
	}
	w.add(cues.NewProblem(m.level.At, cues.CodeLevelNoLight, what, instead, mend))
}

// lit tells whether the paint lights any of some cells.
func (w *painter) lit(cells []int) bool {
	for _, i := range cells {
		if w.cells[i].painted && w.cells[i].level > 0 {
			return true
		}
	}
	return false
}
