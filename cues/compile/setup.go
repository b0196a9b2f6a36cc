package compile

import (
	"fmt"
	"math"
	"slices"

	"linkboy/colour"
	"linkboy/cues"
)

// WithSetup gives the same place as a set-up of it is shot: looks are turned round and
// trimmed as it says, and times and steps are those of its camera. Both share what
// does not depend on that; nil is the show's camera, and looks as they are written.
func (p *Place) WithSetup(u *cues.Setup) *Place {
	out := p.again()
	out.setup = u
	return out
}

// Setup is the set-up that the place is shot from; nil for none.
func (p *Place) Setup() *cues.Setup { return p.setup }

// Clock is that of the location and of the camera that shoots it.
func (p *Place) Clock() cues.Clock { return p.Show.Clock(p.Location).ShotBy(p.setup) }

// order gives the cells of a group in the order that patterns and spreads take.
func (p *Place) order(group string) []int {
	cells := p.Group(group)
	if p.setup.Mirrored(group) {
		slices.Reverse(cells)
	}
	return cells
}

// trim moves levels by the trims of the set-up, once all are solved, and reports
// whether it has moved any. A cell in two trimmed groups is moved by both.
func (w *painter) trim() bool {
	if w.place.setup == nil || len(w.place.setup.Trims) == 0 {
		return false
	}
	stops := make([]float64, len(w.cells))
	asked := make([]*cues.Trim, len(w.cells)) // the last one up
	for k := range w.place.setup.Trims {
		t := &w.place.setup.Trims[k]
		for _, i := range w.place.Members(t.Group) {
			stops[i] += t.Stops
			if t.Stops > 0 {
				asked[i] = t
			}
		}
	}
	over := map[*cues.Trim]float64{} // by how many stops the worst cell would go past full
	for i := range w.cells {
		t := &w.cells[i]
		if !t.painted || t.level <= 0 || stops[i] == 0 {
			continue
		}
		level := float64(t.level) * math.Exp2(stops[i])
		if most := 1 + 1e-9; level > most && asked[i] != nil {
			over[asked[i]] = max(over[asked[i]], math.Log2(level))
		}
		t.level = colour.Level(min(level, 1))
	}
	w.tellOver(over)
	return true
}

// tellOver warns of trims that ask for more than full light.
func (w *painter) tellOver(over map[*cues.Trim]float64) {
	u := w.place.setup
	for k := range u.Trims {
		t := &u.Trims[k]
		if by := over[t]; by > leastOff {
			w.add(cues.NewProblem(t.At, cues.CodeTrimOver, w.where("set-up %q trims %q %.2f stops past full", u.Name, t.Group, by),
				fmt.Sprintf("%+.2f stops are asked over what the look gives, and nothing is brighter than full", t.Stops),
				"trim it less, trim the others down instead, or lower the group in the look"))
		}
	}
}
