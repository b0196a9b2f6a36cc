package compile

import (
	"strings"

	"linkboy/colour"
	"linkboy/cues"
)

// Worn is what a look gives a group, as far as later paint leaves it to be seen.
type Worn struct {
	Group   string
	Pattern cues.Pattern
	Colours []WornColour // one for solid, more for the other patterns
	Level   string       // as written: 40%, -1.5 stops under key at a; "" for dark
	Share   colour.Level // the same; of a level at a mark when it cannot be solved, or not yet, Unmeasured
}

// WornColour is a colour as a look names it.
type WornColour struct {
	Text string // as in a file; of the cast with its owner: tide.lead
	XY   colour.XY
}

// Palette lists what a look gives the groups of the place, in the order of their first
// paint. A group of which later paint covers every cell is left out, and so is what
// has no light.
func (p *Place) Palette(look *cues.Look) []Worn {
	w := p.paint(look)
	w.measure()
	seen := map[cues.Pos]*target{} // by the paint that gave the colour
	for i := range w.cells {
		if t := &w.cells[i]; t.coloured && t.level > 0 && seen[t.at] == nil {
			seen[t.at] = t
		}
	}
	var all []Worn
	at := map[string]int{}
	for _, layer := range p.Show.Lineage(p.Location, look) {
		for i := range layer.Paint {
			paint := &layer.Paint[i]
			t := seen[paint.At]
			if t == nil {
				continue
			}
			worn := p.worn(paint, t, w.wears)
			if k, again := at[paint.On]; again {
				all[k] = worn
				continue
			}
			at[paint.On] = len(all)
			all = append(all, worn)
		}
	}
	return all
}

// worn is one paint as it is seen, by a cell that has its colour from it.
func (p *Place) worn(paint *cues.Paint, t *target, wears *cues.Character) Worn {
	out := Worn{Group: paint.On, Pattern: paint.Pattern, Share: t.level, Level: cues.Level{Kind: cues.Share, Value: float64(t.level)}.String()}
	if t.asks != nil {
		out.Level, out.Share = t.asks.level.String(), t.asks.share
	}
	for _, c := range paint.Colours {
		xy, problem := p.chromaticity(c, wears)
		if problem != nil {
			continue
		}
		out.Colours = append(out.Colours, WornColour{ownedText(c, wears), xy})
	}
	return out
}

// ownedText writes a colour with whose it is.
func ownedText(c cues.Colour, wears *cues.Character) string {
	if c.Cast != "" && !strings.Contains(c.Cast, ".") && wears != nil {
		return wears.Name + "." + c.Cast
	}
	return c.String()
}
