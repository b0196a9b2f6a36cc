package compile

import (
	"fmt"
	"strings"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/recipe"
	"linkboy/cues"
)

// target is what paint has asked of a cell so far.
type target struct {
	colour   colour.XY
	level    colour.Level // 0 until paint gives one
	asks     *measured    // whose level it is, when that is measured; else nil
	painted  bool
	coloured bool
	at       cues.Pos // of the paint that gave the colour
	moving   *moving  // nil stands still
	// group is the one that the paint was on which gave the colour, or only the
	// level where none gave a colour.
	group *cues.Group
}

// painter puts the paint of one look on the cells of a place.
type painter struct {
	place    *Place
	look     *cues.Look
	wears    *cues.Character
	cells    []target
	set      map[int]float64 // slot of a parameter -> share
	policy   recipe.Policy   // of the look
	bands    map[*cues.Group]*band
	matches  map[matchKey]*matching
	told     map[bookKey]bool // policies that cannot be
	measures []*measured
	solved   map[ask]emitters.Solution
	report   Report
	problems cues.Problems
	dark     bool // without floor light, as a dark cue runs
}

// paint resolves a look and what it starts from into a target for every cell.
// Later paint covers earlier paint.
func (p *Place) paint(look *cues.Look) *painter {
	w := &painter{
		place: p, look: look, cells: make([]target, len(p.Cells)), set: map[int]float64{},
		policy: p.Show.Policy(p.Location, look), bands: map[*cues.Group]*band{}, matches: map[matchKey]*matching{}, told: map[bookKey]bool{},
		solved: map[ask]emitters.Solution{},
	}
	w.wears = p.Show.Wears(p.Location, look)
	for _, layer := range p.Show.Lineage(p.Location, look) {
		if layer.From != "" && p.Show.Base(p.Location, layer) == nil {
			w.add(cues.NewProblem(layer.At, cues.CodeUnknownLook, fmt.Sprintf("look %q starts from %q", layer.Name, layer.From),
				"there is no such look here", hint(layer.From, p.Show.LookNames(p.Location), "name a look of the show or of this location")))
		}
		for i := range layer.Paint {
			w.layer(&layer.Paint[i])
		}
	}
	for i := range w.cells {
		if t := &w.cells[i]; !t.coloured {
			t.colour = w.place.Balance
		}
	}
	return w
}

func (w *painter) add(p *cues.Problem) { w.problems = append(w.problems, p) }

// warn adds as a warning what is an error elsewhere.
func (w *painter) warn(p *cues.Problem) {
	p.Severity = cues.Warning
	w.add(p)
}

// layer puts one paint on.
func (w *painter) layer(paint *cues.Paint) {
	// Who does that job in the set-up: the names of groups are those of its lamps from here on.
	group := w.place.Location.Group(w.place.setup.Doing(paint.On))
	if group == nil {
		w.add(cues.NewProblem(paint.At, cues.CodeGroupNotHere, fmt.Sprintf("look %q paints %q, which %s has not", w.look.Name, paint.On, w.place.Location.Name),
			"that part of the look is left out here", fmt.Sprintf("add a group %q if it should be seen here", paint.On)))
		return
	}
	w.settings(paint, group)
	cells := w.place.order(group.Name)
	if len(cells) == 0 {
		return
	}
	if !paint.Level.IsZero() {
		level, asks := w.level(paint.Level, group)
		for _, i := range cells {
			t := &w.cells[i]
			t.level, t.asks, t.painted = level, asks, true
			if !t.coloured {
				t.group, t.at = group, paint.At
			}
		}
	}
	colours := w.colours(paint.Colours)
	if len(colours) > 0 {
		for k, xy := range spread(paint.Pattern, colours, len(cells)) {
			t := &w.cells[cells[k]]
			t.colour, t.coloured, t.painted, t.at, t.group = xy, true, true, paint.At, group
		}
	}
	w.moves(paint, cells, colours)
}

// colours gives the chromaticities of a paint; nil after a problem.
func (w *painter) colours(list []cues.Colour) []colour.XY {
	out := make([]colour.XY, 0, len(list))
	for _, c := range list {
		xy, problem := w.place.chromaticity(c, w.wears)
		if problem != nil {
			w.add(problem)
			continue
		}
		out = append(out, xy)
	}
	if len(out) < len(list) {
		return nil
	}
	return out
}

// settings sets parameters of every lamp of the group that has them.
func (w *painter) settings(paint *cues.Paint, group *cues.Group) {
	for _, s := range paint.Set {
		found := false
		var known []string
		for _, m := range group.Members {
			i, ok := w.place.byLamp[m.Lamp]
			if !ok {
				continue
			}
			for _, p := range w.place.lamps[i].params {
				known = append(known, p.def.Name)
				if p.def.Name == s.Param {
					w.set[p.slot] = p.def.Share(s.Value)
					found = true
				}
			}
		}
		if !found {
			w.warn(cues.NewProblem(s.At, cues.CodeUnknownParameter, fmt.Sprintf("no lamp of %q here has a %q", group.Name, s.Param),
				"the setting is left out", hint(s.Param, known, "leave it out, or use lamps that have it")))
		}
	}
}

// chromaticity gives the point that a colour means. A plain name is a colour of
// wears, "character.colour" of that character.
func (p *Place) chromaticity(c cues.Colour, wears *cues.Character) (colour.XY, *cues.Problem) {
	form := c.Form
	at := c.At
	if c.Cast != "" {
		owned, problem := p.castColour(c, wears)
		if problem != nil {
			return colour.XY{}, problem
		}
		form, at = owned.Form, owned.At
	}
	if form == nil {
		return p.Balance, nil
	}
	xy, err := form.Chromaticity(p.Balance)
	if err != nil {
		return colour.XY{}, cues.NewProblem(at, cues.CodeColourImpossible, fmt.Sprintf("no light has the colour %s", form),
			err.Error(), "write a colour that light can have")
	}
	return xy, nil
}

// castColour finds the colour that a name of the cast means.
func (p *Place) castColour(c cues.Colour, wears *cues.Character) (cues.Colour, *cues.Problem) {
	own := c.Cast
	if name, rest, dotted := strings.Cut(c.Cast, "."); dotted {
		wears, own = p.Show.Character(name), rest
		if wears == nil {
			return cues.Colour{}, cues.NewProblem(c.At, cues.CodeUnknownCharacter, fmt.Sprintf("%q is of nobody", c.Cast),
				fmt.Sprintf("the cast has no %q", name), hint(name, castNames(p.Show), "name a character of the cast"))
		}
	}
	if wears == nil {
		return cues.Colour{}, cues.NewProblem(c.At, cues.CodeWearsNobody, fmt.Sprintf("%q is of nobody", c.Cast),
			"the look wears no character", "add wears: and a character of the cast")
	}
	owned := wears.Colour(own)
	if owned.Form == nil {
		var known []string
		for _, n := range wears.Colours {
			known = append(known, n.Name)
		}
		return cues.Colour{}, cues.NewProblem(c.At, cues.CodeUnknownColour, fmt.Sprintf("%s owns no %q", wears.Name, own),
			"only colours that the cast lists can be worn", hint(own, known, "give the character that colour"))
	}
	return owned, nil
}

func castNames(show *cues.Show) []string {
	var names []string
	for _, c := range show.Cast {
		names = append(names, c.Name)
	}
	return names
}

// hint suggests the nearest known word, or gives the mend for when none is near.
func hint(word string, known []string, mend string) string {
	if near := cues.Nearest(word, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return mend
}
