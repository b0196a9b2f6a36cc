package compile

import (
	"fmt"
	"slices"

	"linkboy/colour"
	"linkboy/cues"
)

// Unmeasured is the level that lamps have in place of one that cannot be solved: while
// the light of the place is not computed, and where there is no light to measure. It is
// enough to see by and far from the most that lamps do.
const Unmeasured colour.Level = 0.2

// measured is a level that is measured at a mark, as one paint asks for it.
type measured struct {
	level cues.Level
	group *cues.Group
	mark  *cues.Mark // nil when it cannot be measured here
	cells []int      // of the group, each once
	under []int      // of the group that it is measured under; nil for lux
	own   []int      // those of the cells that have their level from here in the end
	share colour.Level
	state measuredState
	lacks *cues.Problem // why it cannot be measured here; nil when it can
}

// measuredState is what becomes of a measured level.
type measuredState uint8

const (
	open     measuredState = iota // as it is solved
	most                          // at full, and more would be needed
	none                          // at nothing, and less would be needed
	unsteady                      // no level comes to rest at what is asked
	unlit                         // no light to measure
	unread                        // no light computed, or no mark
)

// level gives a level: a share, or what has to be measured.
func (w *painter) level(l cues.Level, group *cues.Group) (colour.Level, *measured) {
	if share, ok := l.Share(); ok {
		return share, nil
	}
	m := &measured{level: l, group: group, cells: w.place.Members(group.Name), share: Unmeasured, state: unread}
	if l.Kind == cues.StopsUnder {
		m.under = w.place.Members(w.place.setup.Doing(l.Group))
	}
	w.measures = append(w.measures, m)
	loc := w.place.Location
	mark := loc.Mark(l.Mark)
	switch {
	case mark == nil:
		m.lacks = cues.NewProblem(l.At, cues.CodeUnknownMark, w.where("%q has no mark %q to be measured at", l, l.Mark),
			instead, "add the mark here, or give the group a level of its own in a look of this location")
		return Unmeasured, m
	case l.Kind == cues.StopsUnder && len(m.under) == 0:
		m.lacks = cues.NewProblem(l.At, cues.CodeGroupNotHere, w.where("%q has no group %q to be measured under", l, l.Group),
			instead, fmt.Sprintf("add a group %q here, or give the group a level of its own in a look of this location", l.Group))
		return Unmeasured, m
	}
	m.mark, m.state = mark, open
	return Unmeasured, m
}

// instead says what happens then.
var instead = fmt.Sprintf("%.0f %% of its light is used instead", Unmeasured*100)

// where puts a sentence behind the look and the place that it is about.
func (w *painter) where(format string, args ...any) string {
	return fmt.Sprintf("look %q at %s: ", w.look.Name, w.place.Location.Name) + fmt.Sprintf(format, args...)
}

// measure solves the levels that are measured, and gives them to their cells.
func (w *painter) measure() {
	for i := range w.cells {
		if m := w.cells[i].asks; m != nil {
			m.own = append(m.own, i)
		}
	}
	// What later paint has covered asks for nothing.
	w.measures = slices.DeleteFunc(w.measures, func(m *measured) bool { return len(m.own) == 0 })
	for _, m := range w.measures {
		if m.lacks != nil {
			w.warn(m.lacks)
		}
	}
	if len(w.measures) == 0 || w.ring() {
		return
	}
	if w.place.metered == nil {
		w.tellWaiting()
	} else {
		newSolver(w).run()
	}
	for _, m := range w.measures {
		for _, i := range m.own {
			w.cells[i].level = m.share
		}
	}
}

// tellWaiting says which levels wait for the light to be computed.
func (w *painter) tellWaiting() {
	for _, m := range w.measures {
		if m.state != open {
			continue
		}
		m.state = unread
		w.add(cues.NewProblem(m.level.At, cues.CodeNeedsPhotometry, w.where("the level %q of %q waits for the place's light to be computed", m.level, m.group.Name),
			"until then "+instead, "wait for the light, then run the look again; or use % or stops from full"))
	}
}

// ring finds levels that are measured under each other, and refuses them.
func (w *painter) ring() bool {
	seen := map[*measured]int{} // 1 on the way, 2 done
	var visit func(m *measured, way []*measured) bool
	visit = func(m *measured, way []*measured) bool {
		way = append(way, m)
		switch seen[m] {
		case 1:
			w.tellRing(way[slices.Index(way, m):])
			return true
		case 2:
			return false
		}
		seen[m] = 1
		for _, next := range w.leansOn(m) {
			if visit(next, way) {
				return true
			}
		}
		seen[m] = 2
		return false
	}
	return slices.ContainsFunc(w.measures, func(m *measured) bool { return visit(m, nil) })
}

// leansOn lists the levels that the light that m is measured under comes from. That m
// itself is part of that is no ring, as long as it is not all.
func (w *painter) leansOn(m *measured) []*measured {
	var all []*measured
	others := false
	for _, i := range m.under {
		t := &w.cells[i]
		others = others || t.painted && t.asks != m
		if t.asks != nil && t.asks != m && !slices.Contains(all, t.asks) {
			all = append(all, t.asks)
		}
	}
	if !others && slices.ContainsFunc(m.under, func(i int) bool { return w.cells[i].asks == m }) {
		all = append(all, m)
	}
	return all
}

// tellRing refuses a way that leads back to its beginning, which is also its end.
func (w *painter) tellRing(way []*measured) {
	text := fmt.Sprintf("%q", way[0].group.Name)
	for _, m := range way[:len(way)-1] {
		text += fmt.Sprintf(" is measured under %q", m.level.Group)
		if m != way[len(way)-2] {
			text += ", which"
		}
	}
	w.add(cues.NewProblem(way[0].level.At, cues.CodeLevelRing, w.where("the level %q goes round in a ring", way[0].level),
		text, "give one of them a level in %, or in lx at a mark"))
}
