package compile

import (
	"cmp"
	"fmt"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/recipe"
	"linkboy/cues"
	"linkboy/cues/track"
)

// Still compiles a look: what every slot holds once it is settled. Cells that
// no paint names are dark, parameters that no paint sets are safe. Each cell
// takes the mix by the policy nearest to it: its lamp's, else that of the group
// through which it was painted, else the look's. When a problem is an error the
// still is nil.
func (p *Place) Still(look *cues.Look) (track.Still, Report, cues.Problems) {
	return p.StillOf(look, false)
}

// StillOf is Still as a cue runs the look: a dark one without floor light, which then
// adds nothing to levels that are measured at a mark.
func (p *Place) StillOf(look *cues.Look, dark bool) (track.Still, Report, cues.Problems) {
	w := p.paint(look)
	w.dark = dark
	still := w.settle()
	w.problems.Sort()
	return still, w.report, w.problems
}

// Moving is Still with what moves in the look over it: nil when nothing does.
// A look that flashes over the limit is an error, or a warning where the show
// says that people are warned.
func (p *Place) Moving(look *cues.Look) (track.Still, *track.Motion, cues.Problems) {
	still, motion, _, problems := p.MovingOf(look, false)
	return still, motion, problems
}

// MovingOf is Moving as a cue runs the look, as StillOf says.
func (p *Place) MovingOf(look *cues.Look, dark bool) (track.Still, *track.Motion, Report, cues.Problems) {
	w := p.paint(look)
	w.dark = dark
	still := w.settle()
	var motion *track.Motion
	if still != nil {
		motion = w.motion(still)
		w.flashing(motion)
		if w.problems.HasErrors() {
			still, motion = nil, nil
		}
	}
	w.problems.Sort()
	return still, motion, w.report, w.problems
}

// settle solves the paint, its levels and then the trims of the set-up; nil when a
// problem is an error, without a report then.
func (w *painter) settle() track.Still {
	if !w.problems.HasErrors() {
		w.measure()
	}
	if w.problems.HasErrors() {
		return nil
	}
	if len(w.measures) > 0 { // told as they are before the set-up trims them
		w.tellLevels(w.still(&Report{}))
	}
	w.trim()
	still := w.still(&w.report)
	w.tell()
	return still
}

// still solves the cells for their levels of now, and reports what they do not get.
func (w *painter) still(report *Report) track.Still {
	still := w.place.Dark()
	for slot, share := range w.set {
		still[slot] = float32(share)
	}
	w.solve(still, report)
	return still
}

// ask is a question to the solver; cells with the same one get the same answer.
type ask struct {
	recipe *recipe.Recipe
	colour colour.XY
	level  colour.Level
}

// solve puts the drives of every painted cell into still and reports what they
// do not get.
func (w *painter) solve(still track.Still, report *Report) {
	told := teller{report: report, misses: map[heard]int{}, costs: map[heard]int{}}
	for i := range w.cells {
		t := &w.cells[i]
		if !t.painted {
			continue
		}
		cell := &w.place.Cells[i]
		question, s := w.answer(cell, t)
		cell.put(still, s.Drives)
		if t.level > 0 {
			told.hear(cell.Lamp, t, &s, question.recipe.Stops(s, w.place.Balance))
		}
		if t.level > 0 && t.moving != nil && t.moving.of.Between == cues.BetweenColours {
			there := t.there()
			question, s := w.answer(cell, there)
			told.hear(cell.Lamp, there, &s, question.recipe.Stops(s, w.place.Balance))
		}
	}
}

// answer gives what is asked of a cell for its target, and what it shows then.
func (w *painter) answer(c *Cell, t *target) (ask, emitters.Solution) {
	q := w.question(c, t)
	s, ok := w.solved[q]
	if !ok {
		s = q.recipe.Solve(q.colour, q.level, w.place.Balance)
		w.solved[q] = s
	}
	return q, s
}

// question gives what to ask of a cell for its target.
func (w *painter) question(c *Cell, t *target) ask {
	q := ask{w.recipe(c.Lamp, t.group), t.colour, t.level}
	if t.group.Match == cues.MatchGroup {
		if m := w.matched(t); m != nil {
			q.colour, q.level = m.aim, t.level*m.share(c.Lamp)
		}
	}
	return q
}

// recipe gives the recipe of a lamp that is painted through a group: by the
// policy nearest to it, or brightest, with a problem told, where that cannot be.
func (w *painter) recipe(l *cues.RigLamp, g *cues.Group) *recipe.Recipe {
	policy := cmp.Or(l.Lamp.Policy, g.Policy, w.policy)
	r, err := w.place.book.recipe(l.Lamp, policy)
	if err == nil {
		return r
	}
	if key := (bookKey{l.Lamp.Type, l.Lamp.Mode, policy}); !w.told[key] {
		w.told[key] = true
		w.add(cues.NewProblem(l.At, cues.CodePolicyImpossible, fmt.Sprintf("look %q at %s: %q is mixed brightest, not by %s", w.look.Name, w.place.Location.Name, l.ID, policy),
			err.Error(), "choose another policy for it in kit.yaml, or mend what it needs"))
	}
	r, _ = w.place.book.recipe(l.Lamp, recipe.Brightest) // a lamp with cells has one
	return r
}
