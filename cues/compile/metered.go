package compile

import (
	"slices"
	"sync"

	"linkboy/colour/emitters"
	"linkboy/cues"
)

// Metered is the computed light of a place: what a meter reads at its marks. It is
// safe for concurrent use.
type Metered interface {
	// PerLumen puts into dst, for each of some cells of the place, the lux that a
	// lumen of it gives where a face would be at a mark, bounced light included, on
	// a flat receptor turned to where the light of those cells is strongest when
	// they give so many lumens each. spreads are the beam angles of those cells in
	// degrees, 0 where nothing spreads it.
	PerLumen(mark *cues.Mark, cells []int, lumens, spreads, dst []float64)
}

// WithLight gives the same place with its light computed, so that levels that are
// measured at a mark can be solved. Both share what does not depend on it.
func (p *Place) WithLight(m Metered) *Place {
	lit := p.again()
	lit.metered = m
	return lit
}

// Painted gives the same place with other looks and another cast: show and loc, a location
// of it, share all else with those of p, and floor light and work light name nobody's
// colours. It costs next to nothing.
func (p *Place) Painted(show *cues.Show, loc *cues.Location) *Place {
	out := p.again()
	out.Show, out.Location = show, loc
	return out
}

// again gives the same place once more, to be changed by its maker alone.
func (p *Place) again() *Place {
	out := &Place{
		Show: p.Show, Location: p.Location, Layout: p.Layout, Cells: p.Cells, Balance: p.Balance,
		lamps: p.lamps, byLamp: p.byLamp, book: p.book, work: p.work, dark: p.dark, setup: p.setup, metered: p.metered,
	}
	out.scratch = sync.Pool{New: func() any { s := make([]emitters.Drives, len(out.Cells)); return &s }}
	return out
}

// Lit tells whether the place has its light, so that levels at marks are solved by it.
func (p *Place) Lit() bool { return p.metered != nil }

// NeedsLight tells whether a look that can be shown here has a level that is measured
// at a mark.
func (p *Place) NeedsLight() bool {
	return slices.ContainsFunc(p.Looks(), p.LookNeedsLight)
}

// Looks gives the looks that can be shown here, the location's own first.
func (p *Place) Looks() []*cues.Look {
	var looks []*cues.Look
	for _, name := range p.Show.LookNames(p.Location) {
		looks = append(looks, p.Show.Look(p.Location, name))
	}
	return looks
}

// LookNeedsLight tells whether a look, or one that it starts from, has a level that is
// measured at a mark, on a group that is here.
func (p *Place) LookNeedsLight(look *cues.Look) bool {
	for _, layer := range p.Show.Lineage(p.Location, look) {
		for i := range layer.Paint {
			paint := &layer.Paint[i]
			if _, fixed := paint.Level.Share(); !fixed && !paint.Level.IsZero() && p.Location.Group(paint.On) != nil {
				return true
			}
		}
	}
	return false
}

// Members gives the cells of a group as Group does, each once.
func (p *Place) Members(name string) []int {
	cells := p.Group(name)
	seen := make(map[int]bool, len(cells))
	once := cells[:0]
	for _, i := range cells {
		if !seen[i] {
			seen[i] = true
			once = append(once, i)
		}
	}
	return once
}
