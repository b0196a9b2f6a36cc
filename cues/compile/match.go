package compile

import (
	"fmt"
	"math"
	"slices"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/recipe"
	"linkboy/cues"
)

// Matched is what it costs a group to show one colour with all its lamps.
type Matched struct {
	Group   *cues.Group
	Asked   colour.XY
	Aim     colour.XY // what all of them show
	DeltaUV float64   // CIE 1976 u'v' distance from Asked to Aim
	// Weakest is the lamp that has the least light at Aim; the others give as much.
	Weakest *cues.RigLamp
	Lumens  float64     // of each lamp, with all its cells of the group at Aim and level 1
	Parts   []MatchPart // the lamps of the group that give light, in its order
	At      cues.Pos    // of the paint that asks
}

// MatchPart is what a match costs one lamp.
type MatchPart struct {
	Lamp *cues.RigLamp
	// DeltaUV is the u'v' distance from Aim to what it would show alone.
	DeltaUV float64
	// Stops is how much less light it gives than it would alone; negative where
	// Aim is a colour of which it has more.
	Stops float64
}

// band is the lamps of a matched group.
type band struct {
	group *cues.Group
	reach emitters.Reach
	lamps []bandLamp
	index map[*cues.RigLamp]int // into lamps
	kinds []*recipe.Recipe      // of the lamps, each once
	told  bool                  // that they have no colour in common
}

type bandLamp struct {
	lamp  *cues.RigLamp
	cells int // in the group
	kind  int // index into band.kinds
}

// matchKey is a question that a matched group is asked once.
type matchKey struct {
	group *cues.Group
	asked colour.XY
}

// matching is the answer.
type matching struct {
	band   *band
	aim    colour.XY
	shares []colour.Level // of the level asked, for each lamp of the band
}

// share gives what of the level asked a lamp shows.
func (m *matching) share(l *cues.RigLamp) colour.Level { return m.shares[m.band.index[l]] }

// matched gives the colour that the lamps of a group show together for the one
// asked, and what of the level each shows. It is nil, with a problem told, when
// they have no colour in common.
func (w *painter) matched(t *target) *matching {
	key := matchKey{t.group, t.colour}
	m, known := w.matches[key]
	if !known {
		m = w.match(w.bandOf(t.group), t)
		w.matches[key] = m
	}
	return m
}

// bandOf gathers the lamps of a group.
func (w *painter) bandOf(g *cues.Group) *band {
	b, known := w.bands[g]
	if known {
		return b
	}
	b = &band{group: g, index: map[*cues.RigLamp]int{}}
	w.bands[g] = b
	var cells []*emitters.Cell
	for _, m := range g.Members {
		if _, n := w.place.CellsOf(m.Lamp); n == 0 {
			continue
		}
		i, known := b.index[m.Lamp]
		if !known {
			i = len(b.lamps)
			b.index[m.Lamp] = i
			r := w.recipe(m.Lamp, g)
			kind := slices.Index(b.kinds, r)
			if kind < 0 {
				kind = len(b.kinds)
				b.kinds = append(b.kinds, r)
				cells = append(cells, r.Cell())
			}
			b.lamps = append(b.lamps, bandLamp{lamp: m.Lamp, kind: kind})
		}
		b.lamps[i].cells += m.Last - m.First + 1
	}
	if group, err := emitters.NewGroup(cells); err == nil {
		b.reach = group.Reach()
	}
	return b
}

// match works out a matching and reports what it costs.
func (w *painter) match(b *band, t *target) *matching {
	white := w.place.Balance
	if b.reach.Empty() {
		if b.told {
			return nil
		}
		b.told = true
		w.add(cues.NewProblem(b.group.At, cues.CodeNothingInCommon,
			fmt.Sprintf("look %q at %s: the lamps of %q cannot match", w.look.Name, w.place.Location.Name, b.group.Name),
			"there is no colour that all of them can show", "take a lamp out of the group, or its match"))
		return nil
	}
	m := &matching{band: b, shares: make([]colour.Level, len(b.lamps))}
	m.aim, _ = b.reach.Aim(t.colour, white)
	alone, together := make([]solo, len(b.kinds)), make([]solo, len(b.kinds))
	for i, r := range b.kinds {
		alone[i], together[i] = soloOf(r, t.colour, white), soloOf(r, m.aim, white)
	}
	told := Matched{Group: b.group, Asked: t.colour, Aim: m.aim, DeltaUV: m.aim.UV().Distance(t.colour.UV()), Lumens: math.Inf(1), At: t.at}
	for _, l := range b.lamps {
		if full := float64(l.cells) * together[l.kind].full; full < told.Lumens {
			told.Lumens, told.Weakest = full, l.lamp
		}
	}
	for i, l := range b.lamps {
		if full := float64(l.cells) * together[l.kind].full; full > 0 {
			m.shares[i] = colour.Level(told.Lumens / full)
		}
		part := MatchPart{Lamp: l.lamp, DeltaUV: alone[l.kind].aim.UV().Distance(m.aim.UV())}
		if told.Lumens > 0 {
			part.Stops = math.Log2(float64(l.cells) * alone[l.kind].full / told.Lumens)
		}
		told.Parts = append(told.Parts, part)
	}
	w.report.Matches = append(w.report.Matches, told)
	return m
}

// solo is what one cell shows of a colour by itself, and with how many lumens.
type solo struct {
	aim  colour.XY
	full float64
}

func soloOf(r *recipe.Recipe, asked, white colour.XY) solo {
	aim, _ := r.Cell().Aim(asked, white)
	return solo{aim, r.Full(asked, white)}
}
