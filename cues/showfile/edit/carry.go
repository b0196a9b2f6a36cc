package edit

import (
	"fmt"
	"slices"
	"strconv"

	"linkboy/cues"
	"linkboy/cues/carry"
	"linkboy/cues/showfile/inplace"
)

// carry writes into the file of another location what a look is there. Paint on groups
// that are not there is left out; a level that cannot be measured there is an error of
// the show, which refuses the edit.
func (d *draft) carry(p part, e Edit) {
	d.part(p, e)
	to := d.file(e.To)
	show := d.current()
	from, there := show.Location(e.Location), show.Location(e.To)
	if from == there {
		refuse(bad(fmt.Sprintf("look %q is at %s already", e.Name, e.To), "it is carried to where it is from", "name another location"))
	}
	made, report := carry.Look(show, show.Look(from, e.Name), from, there)
	if made == nil {
		refuse(bad(fmt.Sprintf("look %q means the same at %s already", e.Name, e.To), "it is a look of the show", "nothing needs to be done"))
	}
	if i := d.open(to).Root().Get("looks").Index(e.Name); i >= 0 {
		at, _ := find(d.open(to), p.section)
		refuse(cues.NewProblem(d.pos(to, append(at, i), true), cues.CodeDuplicateName, fmt.Sprintf("%s has a look %q of its own already", e.To, e.Name),
			"one of them would be lost", "rename one of them, or take that one out first"))
	}
	made.Paint = slices.DeleteFunc(slices.Clone(made.Paint), func(p cues.Paint) bool { return there.Group(p.On) == nil })
	value := lookNode(made, from)
	defer func() {
		for _, m := range report.Missing {
			d.changes = append(d.changes, Touch{cues.Pos{File: to}, fmt.Sprintf("without paint on %q, which is no group there", m.Group)})
		}
	}()
	w := where{name: to, file: d.open(to), keys: slices.Clone(p.section)}
	at, depth := find(w.file, w.keys)
	if depth < len(w.keys) {
		d.grow(p, e, w, inplace.Entries().With(e.Name, value))
		return
	}
	d.touch(to, at, e.String())
	d.unsure(to, w.file.Insert(at, len(w.file.Root().At(at).Kids), e.Name, value))
}

// lookNode writes a look. Units of parameters are those of the lamps at loc.
func lookNode(k *cues.Look, loc *cues.Location) *inplace.Node {
	n := inplace.Entries()
	for _, f := range []struct{ key, text string }{{"from", k.From}, {"wears", k.Wears}, {"policy", string(k.Policy)}} {
		if f.text != "" {
			n.With(f.key, inplace.Value(f.text))
		}
	}
	if len(k.Paint) > 0 {
		paint := inplace.Items()
		for i := range k.Paint {
			paint.Kids = append(paint.Kids, paintNode(&k.Paint[i], loc))
		}
		n.With("paint", paint)
	}
	if k.Note != "" {
		n.With("note", inplace.Value(k.Note))
	}
	return n
}

func paintNode(p *cues.Paint, loc *cues.Location) *inplace.Node {
	n := inplace.Entries().With("on", inplace.Value(p.On))
	// The pattern solid is what one colour has anyway, and what two have that a movement
	// goes between.
	if p.Pattern != "" && p.Pattern != cues.Solid {
		n.With("pattern", inplace.Value(string(p.Pattern)))
	}
	switch len(p.Colours) {
	case 0:
	case 1:
		n.With("colour", written(p.Colours[0].String()))
	default:
		list := inplace.Items()
		for _, c := range p.Colours {
			list.Kids = append(list.Kids, written(c.String()))
		}
		n.With("colours", list)
	}
	if !p.Level.IsZero() {
		n.With("level", inplace.Value(p.Level.String()))
	}
	if len(p.Set) > 0 {
		set := inplace.Entries()
		for _, s := range p.Set {
			set.With(s.Param, inplace.Value(settingText(s, p.On, loc)))
		}
		n.With("set", set)
	}
	if p.Moves != nil {
		n.With("moves", written(p.Moves.String()))
	}
	return n
}

// written gives the value that a text means, as "{hue: 32, sat: 92%}".
func written(text string) *inplace.Node {
	n, err := inplace.ParseValue(text)
	if err != nil {
		refuse(bad(fmt.Sprintf("%q cannot be written", shorten(text)), err.Error(), "change the look by hand in the file"))
	}
	return n
}

// settingText writes the value of a parameter in the unit that lamps of the group have.
func settingText(s cues.Setting, group string, loc *cues.Location) string {
	text := strconv.FormatFloat(s.Value, 'f', -1, 64)
	g := loc.Group(group)
	if g == nil {
		return text
	}
	for _, m := range g.Members {
		for _, c := range m.Lamp.Lamp.Mode.Channels {
			if p := c.Param; p != nil && p.Name == s.Param && p.Unit != "" {
				if p.Unit == "%" {
					return text + "%"
				}
				return text + " " + p.Unit
			}
		}
	}
	return text
}
