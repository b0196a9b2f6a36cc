package compile

import (
	"slices"

	"linkboy/cues"
	"linkboy/cues/track"
)

// Carry says what of a place is still there in another one that takes its place:
// the same location after its show was edited. Lamps are known by the name of
// their place in the rig, else by their own.
type Carry struct {
	from, to *Place
	slot     []int // in from, of each slot of to; see below
	same     bool  // every byte goes where it went, and means what it meant
}

// What a slot of the new place had before, where that is no slot.
const (
	newLamp   = -1 // nothing: its lamp is new
	otherLamp = -2 // something else: its lamp is of another type or mode
)

// Carry compares p with the place that takes its place.
func (p *Place) Carry(to *Place) *Carry {
	c := &Carry{from: p, to: to, slot: make([]int, len(to.Layout.Slots))}
	for i := range c.slot {
		c.slot[i] = newLamp
	}
	for i := range to.lamps {
		if was := p.standing(to.lamps[i].lamp, to.Location); was != nil {
			c.lamp(was, &to.lamps[i])
		}
	}
	c.same = slices.EqualFunc(p.Layout.Universes, to.Layout.Universes, sameUniverse) &&
		slices.Equal(p.Layout.Slots, to.Layout.Slots) &&
		slices.Equal(p.Layout.Floor, to.Layout.Floor) &&
		slices.EqualFunc(p.Layout.Curves, to.Layout.Curves, func(a, b track.Curve) bool { return slices.Equal(a.Table, b.Table) })
	for i, s := range c.slot {
		c.same = c.same && s == i
	}
	return c
}

func sameUniverse(a, b track.Universe) bool {
	return a.Address == b.Address && slices.Equal(a.Base, b.Base)
}

// standing finds the lamp of p that is meant by one of a later rig.
func (p *Place) standing(l *cues.RigLamp, later *cues.Location) *rigged {
	byKit := -1
	for i := range p.lamps {
		was := p.lamps[i].lamp
		if was.ID == l.ID {
			return &p.lamps[i]
		}
		if was.Lamp.ID == l.Lamp.ID && later.Lamp(was.ID) == nil {
			byKit = i // it has another name now
		}
	}
	if byKit < 0 {
		return nil
	}
	return &p.lamps[byKit]
}

// lamp notes where the slots of a lamp were.
func (c *Carry) lamp(was, is *rigged) {
	alike := was.n == is.n && len(was.kind.Emitters) == len(is.kind.Emitters)
	for k := range was.kind.Emitters {
		alike = alike && was.kind.Emitters[k].Name == is.kind.Emitters[k].Name
	}
	for k := range is.n {
		cell := &c.to.Cells[is.first+k]
		for i := range cell.N {
			c.slot[cell.First+i] = otherLamp
			if alike {
				c.slot[cell.First+i] = c.from.Cells[was.first+k].First + i
			}
		}
	}
	for i, q := range is.params {
		c.slot[q.slot] = otherLamp
		if i < len(was.params) && was.params[i].def.Name == q.def.Name && was.params[i].def.Unit == q.def.Unit {
			c.slot[q.slot] = was.params[i].slot
		}
	}
}

// Same tells whether every still of the one place is one of the other, and makes
// the same bytes there.
func (c *Carry) Same() bool { return c.same }

// Still gives a still of the old place as one of the new: lamps that were there
// have what they had, those of another type or mode what they have in other, and
// new ones what they have in fresh.
func (c *Carry) Still(s, other, fresh track.Still) track.Still {
	out := make(track.Still, len(c.slot))
	for i, was := range c.slot {
		switch {
		case was >= 0:
			out[i] = s[was]
		case was == otherLamp:
			out[i] = other[i]
		default:
			out[i] = fresh[i]
		}
	}
	return out
}

// Able gives what of a timing can be at the place: a group to spread along may not be
// there any more.
func (p *Place) Able(t Timing) Timing {
	if p.check(t) != nil {
		t.Spread, t.Along = 0, ""
	}
	return t
}
