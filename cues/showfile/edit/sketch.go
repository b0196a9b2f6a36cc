package edit

import (
	"encoding/json"
	"slices"
	"strings"

	"linkboy/cues"
	"linkboy/cues/showfile"
	"linkboy/cues/showfile/inplace"
)

// Sketch gives a show as edits would make it, without any file: for a hand that moves,
// as it takes a hundredth of the time of Preview. It knows paint with colours and levels,
// colours of the cast, and new looks of these; ok is false for anything else, and where
// it is not sure that the edits can be made: Preview tells then.
//
// What it gives shares all but its looks and its cast with the show, which is not
// changed. Names are looked up when a look is compiled, and not here.
func Sketch(show *cues.Show, edits []Edit) (made *cues.Show, ok bool) {
	copied := *show
	copied.Cast, copied.Looks = slices.Clone(show.Cast), slices.Clone(show.Looks)
	copied.Locations = slices.Clone(show.Locations)
	for _, e := range edits {
		if e.Check() != nil || !sketchOne(&copied, e) {
			return nil, false
		}
	}
	return &copied, true
}

func sketchOne(show *cues.Show, e Edit) bool {
	switch e.What {
	case Paint:
		return (e.Do == Change || e.Do == Add) && sketchPaint(show, e)
	case Colour:
		return e.Do == Change && sketchColour(show, e)
	case Look:
		return e.Do == Add && sketchLook(show, e)
	}
	return false
}

// looksOf gives the list of looks that an edit is about; that of a location belongs to
// a copy of it from then on.
func looksOf(show *cues.Show, location string) *[]*cues.Look {
	if location == "" {
		return &show.Looks
	}
	for i, l := range show.Locations {
		if l.Name == location {
			own := *l
			own.Looks = slices.Clone(l.Looks)
			show.Locations[i] = &own
			return &own.Looks
		}
	}
	return nil
}

func sketchPaint(show *cues.Show, e Edit) bool {
	looks := looksOf(show, e.Location)
	if looks == nil {
		return false
	}
	i := slices.IndexFunc(*looks, func(k *cues.Look) bool { return k.Name == e.Of })
	if i < 0 {
		return false
	}
	look := *(*looks)[i]
	look.Paint = slices.Clone(look.Paint)
	(*looks)[i] = &look
	if e.Do == Add {
		p, ok := paintOf(e.Fields)
		if !ok || !known(show, p) {
			return false
		}
		at := len(look.Paint)
		if e.Place > 0 {
			at = min(at, e.Place-1)
		}
		look.Paint = slices.Insert(look.Paint, at, p)
		return true
	}
	if e.Number > len(look.Paint) {
		return false
	}
	return repaint(show, &look.Paint[e.Number-1], e.Fields)
}

// repaint changes paint as change and settle do in a file.
func repaint(show *cues.Show, paint *cues.Paint, fields map[string]string) bool {
	if paint.Moves != nil {
		return false
	}
	whole := map[string]string{"on": paint.On}
	for key, text := range fields {
		if text == "" {
			return false
		}
		whole[key] = text
	}
	_, one := whole["colour"]
	_, many := whole["colours"]
	if _, patterned := whole["pattern"]; patterned && !many {
		return false
	}
	p, ok := paintOf(whole)
	if !ok || !known(show, p) {
		return false
	}
	paint.On = p.On
	if one || many {
		paint.Colours, paint.Pattern = p.Colours, p.Pattern
	}
	if !p.Level.IsZero() {
		paint.Level = p.Level
	}
	return true
}

// paintOf reads fields as paint of colours and a level.
func paintOf(fields map[string]string) (cues.Paint, bool) {
	if _, set := fields["set"]; set {
		return cues.Paint{}, false
	}
	text, ok := entryText(Paint, fields, "    ")
	if !ok {
		return cues.Paint{}, false
	}
	look, problems := showfile.ParseLook("sketch", "paint:\n  -\n"+text)
	if problems.HasErrors() || look == nil || len(look.Paint) != 1 {
		return cues.Paint{}, false
	}
	return look.Paint[0], true
}

// entryText writes fields of a part one a line.
func entryText(what What, fields map[string]string, indent string) (string, bool) {
	p := parts[what]
	text := strings.Builder{}
	for _, key := range p.sorted(fields) {
		i := slices.IndexFunc(p.fields, func(f field) bool { return f.key == key })
		if i < 0 || fields[key] == "" {
			return "", false
		}
		value := fields[key]
		if p.fields[i].plain {
			quoted, err := json.Marshal(value) // a JSON string is a YAML one
			if err != nil {
				return "", false
			}
			value = string(quoted)
		} else if _, err := inplace.ParseValue(value); err != nil || strings.ContainsAny(value, "\r\n") {
			return "", false
		}
		text.WriteString(indent + key + ": " + value + "\n")
	}
	return text.String(), true
}

// known tells whether a show has what paint names: where it has not, the loader says what
// is wrong with it.
func known(show *cues.Show, p cues.Paint) bool {
	here := func(has func(*cues.Location) bool) bool { return slices.ContainsFunc(show.Locations, has) }
	group := func(name string) bool {
		return here(func(l *cues.Location) bool { return l.Group(name) != nil })
	}
	mark := func(name string) bool {
		return here(func(l *cues.Location) bool { return l.Mark(name) != nil })
	}
	return group(p.On) && (p.Level.Group == "" || group(p.Level.Group)) && (p.Level.Mark == "" || mark(p.Level.Mark))
}

func sketchColour(show *cues.Show, e Edit) bool {
	i := slices.IndexFunc(show.Cast, func(c *cues.Character) bool { return c.Name == e.Of })
	if i < 0 || show.Safety.Floor.Colour.Cast != "" || show.Safety.Work.Colour.Cast != "" {
		return false // lights that are compiled with the place may have that colour
	}
	form, problem := showfile.ParseColour(e.Fields["colour"])
	if problem != nil || len(e.Fields) != 1 {
		return false
	}
	owner := *show.Cast[i]
	owner.Colours = slices.Clone(owner.Colours)
	k := slices.IndexFunc(owner.Colours, func(n cues.NamedColour) bool { return n.Name == e.Name })
	if k < 0 {
		return false
	}
	owner.Colours[k].Colour = cues.Colour{Form: form, At: owner.Colours[k].Colour.At}
	show.Cast[i] = &owner
	return true
}

func sketchLook(show *cues.Show, e Edit) bool {
	looks := looksOf(show, e.Location)
	if looks == nil || slices.ContainsFunc(*looks, func(k *cues.Look) bool { return k.Name == e.Name }) {
		return false
	}
	text, ok := entryText(Look, e.Fields, "")
	if !ok {
		return false
	}
	look, problems := showfile.ParseLook(e.Name, text)
	if problems.HasErrors() || look == nil {
		return false
	}
	for _, p := range look.Paint {
		if len(p.Set) > 0 || p.Moves != nil || !known(show, p) {
			return false
		}
	}
	*looks = append(*looks, look)
	return true
}
