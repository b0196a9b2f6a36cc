package showfile

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"linkboy/colour/recipe"
	"linkboy/cues"
)

var patterns = []string{string(cues.Solid), string(cues.Alternate), string(cues.Halves), string(cues.Gradient), string(cues.Mirror)}

// looks reads a map of looks by name.
func (l *loader) looks(r *reader, n *yaml.Node) []*cues.Look {
	var looks []*cues.Look
	r.each(n, "looks", func(key, value *yaml.Node) {
		if !r.goodName(key, "a look", key.Value, true) || !r.present(key, value) {
			return
		}
		k := &cues.Look{Name: key.Value, At: r.pos(key)}
		looks = append(looks, k)
		what := fmt.Sprintf("look %q", k.Name)
		r.keys(value, what, schema{
			"from":   may(l.lookName(r, &k.From, k, "from")),
			"wears":  may(l.named(r, &k.Wears, k, "wears", "a character")),
			"policy": may(r.policy(&k.Policy)),
			"note":   may(func(n *yaml.Node) { k.Note = r.text(n, "a note") }),
			"paint": may(func(n *yaml.Node) {
				r.items(n, "the paint of "+what, func(item *yaml.Node) {
					if p, ok := l.paint(r, item); ok {
						k.Paint = append(k.Paint, p)
					}
				})
			}),
		})
	})
	return looks
}

// policy reads which of the mixes of a colour to take.
func (r *reader) policy(dst *recipe.Policy) func(*yaml.Node) {
	return func(n *yaml.Node) { *dst = recipe.Policy(r.word(n, "policy", recipe.Policies()...)) }
}

func (l *loader) lookName(r *reader, dst *string, of any, key string) func(*yaml.Node) {
	return func(n *yaml.Node) {
		l.places[place{of, key}] = r.pos(n)
		if text := r.text(n, "the name of a look"); text != "" && r.goodName(n, "a look", text, true) {
			*dst = text
		}
	}
}

// paint reads one stroke of paint and reports whether it is whole.
func (l *loader) paint(r *reader, n *yaml.Node) (cues.Paint, bool) {
	p := cues.Paint{At: r.pos(n)}
	one, many, pattern := (*yaml.Node)(nil), (*yaml.Node)(nil), (*yaml.Node)(nil)
	before := len(r.sink.problems)
	whole := r.keys(n, "paint", schema{
		"on":      need(func(n *yaml.Node) { p.On = r.name(n, "a group"); p.At = r.pos(n) }),
		"colour":  may(func(n *yaml.Node) { one = n; p.Colours = []cues.Colour{r.colour(n, "the colour")} }),
		"colours": may(func(n *yaml.Node) { many = n; p.Colours = r.colours(n) }),
		"pattern": may(func(n *yaml.Node) { pattern = n; p.Pattern = cues.Pattern(r.word(n, "pattern", patterns...)) }),
		"level":   may(func(n *yaml.Node) { p.Level, _ = r.level(n, "the level") }),
		"set":     may(func(n *yaml.Node) { p.Set = l.settings(r, n) }),
		"moves":   may(func(n *yaml.Node) { p.Moves = r.moves(n) }),
	})
	if !whole || len(r.sink.problems) > before || r.sink.dropped > 0 {
		return p, false
	}
	switch {
	case one != nil && many != nil:
		r.problem(many, cues.CodeBadColour, "paint has both colour and colours", "it is not clear which is meant", "keep one of them")
		return p, false
	case one == nil && many == nil && p.Level.IsZero() && len(p.Set) == 0 && p.Moves == nil:
		r.problem(n, cues.CodeEmptyPaint, fmt.Sprintf("paint on %q changes nothing", p.On),
			"it has no colour, no level, no movement and sets no parameter", "give it a colour or a level, or take it out")
		return p, false
	case p.Moves != nil && p.Moves.Between == cues.BetweenColours:
		return p, r.coloursMove(n, &p)
	}
	return p, r.patternFits(n, &p, many, pattern)
}

// coloursMove settles the pattern of p, which moves between its colours: there
// are two, and each cell goes from the one that it has to the other.
func (r *reader) coloursMove(n *yaml.Node, p *cues.Paint) bool {
	switch {
	case len(p.Colours) != 2:
		r.problem(n, cues.CodeBadMotion, fmt.Sprintf("a movement goes between %d colours", len(p.Colours)), "it goes between two",
			"write colours: [lead, second], or let it go between levels")
		return false
	case p.Pattern == "":
		p.Pattern = cues.Solid
	case p.Pattern != cues.Alternate && p.Pattern != cues.Halves:
		r.problem(n, cues.CodeBadMotion, fmt.Sprintf("a movement goes between the colours of the pattern %s", p.Pattern),
			"each cell must have one of the two", "take the pattern out, or use alternate or halves")
		return false
	}
	return true
}

// patternFits settles the pattern of p and checks that its colours suit it.
func (r *reader) patternFits(n *yaml.Node, p *cues.Paint, many, pattern *yaml.Node) bool {
	count := len(p.Colours)
	at := n
	if many != nil {
		at = many
	}
	if pattern != nil {
		at = pattern
	}
	wrong := func(what, why, mend string) bool {
		r.problem(at, cues.CodePatternColours, what, why, mend)
		return false
	}
	switch {
	case count == 0 && (many != nil || pattern != nil):
		return wrong("a pattern has no colours", "there is nothing to spread", "add a colour, or take the pattern out")
	case p.Pattern == "" && count > 1:
		return wrong(fmt.Sprintf("%d colours have no pattern", count), "it is not clear how they spread over the group",
			"add a pattern: "+list(patterns[1:]))
	case p.Pattern == "":
		p.Pattern = cues.Solid
	case p.Pattern == cues.Solid && count > 1:
		return wrong(fmt.Sprintf("the pattern solid has %d colours", count), "it has one",
			"keep one colour, or choose another pattern: "+list(patterns[1:]))
	case p.Pattern != cues.Solid && count < 2:
		return wrong(fmt.Sprintf("the pattern %s has one colour", p.Pattern), "it needs two or more",
			"write colours: [lead, second], or take the pattern out")
	}
	return true
}

func (r *reader) colours(n *yaml.Node) []cues.Colour {
	var colours []cues.Colour
	r.items(n, "colours", func(item *yaml.Node) { colours = append(colours, r.colour(item, "a colour")) })
	return colours
}

// settings reads the values for lamp parameters. Whether a lamp has them, and
// in which unit, is checked when the rig is known.
func (l *loader) settings(r *reader, n *yaml.Node) []cues.Setting {
	var set []cues.Setting
	r.each(n, "set", func(key, value *yaml.Node) {
		if r.name(key, "a parameter") == "" || !r.present(key, value) {
			return
		}
		text := r.text(value, key.Value)
		amount, unit, ok := splitAmount(text)
		if !ok {
			if value.Kind == yaml.ScalarNode {
				r.problem(value, cues.CodeBadNumber, fmt.Sprintf("%q is no number for %s", shorten(text), key.Value),
					"it must start with a plain decimal number", "write it like 20 Hz, 30% or 5")
			}
			return
		}
		s := cues.Setting{Param: key.Value, Value: amount, At: r.pos(value)}
		l.units[s.At] = unit
		set = append(set, s)
	})
	return set
}
