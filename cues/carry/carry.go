package carry

import (
	"slices"

	"linkboy/cues"
)

// Report says what becomes of a look at another location.
type Report struct {
	Look string `json:"look"`
	From string `json:"from"`
	To   string `json:"to"`
	// There tells that the look means the same there already: it is the show's.
	There bool `json:"there"`
	// Replaces tells that the location has a look of that name, of its own or the
	// show's, which it would stand before.
	Replaces bool `json:"replaces"`
	// Merged are looks of the old location that it starts from, the first one first;
	// their paint comes along.
	Merged []string `json:"merged"`
	// Missing are the groups that it paints and the location has not.
	Missing []Missing `json:"missing_groups"`
	// Unlit are the lamps there that it does not paint, in rig order.
	Unlit []string `json:"unlit_lamps"`
	// Unmeasured are levels that ask for a mark or a group which is not there.
	Unmeasured []Unmeasured `json:"unmeasured_levels"`
}

// Missing is a group that is not there, and the lamps it is of at the old location.
type Missing struct {
	Group string   `json:"group"`
	Lamps []string `json:"lamps"`
}

// Unmeasured is a level of a group that cannot be measured there.
type Unmeasured struct {
	Group string `json:"group"`
	Level string `json:"level"`
	Lacks string `json:"lacks"` // "mark a", "group key"
}

// Look makes the look that stands at another location for one of from, and reports what
// becomes of it. It starts from the nearest look that both locations have, with the paint
// of all that comes after; nil when it means the same there already. Nothing of the show
// is changed.
func Look(show *cues.Show, look *cues.Look, from, to *cues.Location) (*cues.Look, Report) {
	line := show.Lineage(from, look)
	own := line[common(show, line, to):]
	r := Report{
		Look: look.Name, From: from.Name, To: to.Name, There: len(own) == 0, Replaces: len(own) > 0 && show.Look(to, look.Name) != nil,
		Merged: []string{}, Missing: []Missing{}, Unlit: []string{}, Unmeasured: []Unmeasured{},
	}
	var made *cues.Look
	if len(own) > 0 {
		made = &cues.Look{Name: look.Name, Note: look.Note}
		if n := len(line) - len(own); n > 0 {
			made.From = line[n-1].Name
		}
		for _, layer := range own {
			if layer != look {
				r.Merged = append(r.Merged, layer.Name)
			}
			if layer.Wears != "" {
				made.Wears = layer.Wears
			}
			if layer.Policy != "" {
				made.Policy = layer.Policy
			}
			made.Paint = append(made.Paint, layer.Paint...)
		}
	}
	r.see(line, from, to)
	return made, r
}

// common is how many of the first looks of a line mean the same at a location.
func common(show *cues.Show, line []*cues.Look, to *cues.Location) int {
	for n := len(line); n > 0; n-- {
		k := line[n-1]
		if show.Look(to, k.Name) == k && slices.Equal(show.Lineage(to, k), line[:n]) {
			return n
		}
	}
	return 0
}

// see goes through all paint of a line as it falls at a location.
func (r *Report) see(line []*cues.Look, from, to *cues.Location) {
	lit := map[*cues.RigLamp]bool{}
	for _, layer := range line {
		for i := range layer.Paint {
			paint := &layer.Paint[i]
			group := to.Group(paint.On)
			if group == nil {
				r.miss(paint.On, from)
				continue
			}
			for _, m := range group.Members {
				lit[m.Lamp] = true
			}
			r.measure(paint, to)
		}
	}
	for _, l := range to.Rig {
		if !lit[l] {
			r.Unlit = append(r.Unlit, l.ID)
		}
	}
}

func (r *Report) miss(name string, from *cues.Location) {
	if slices.ContainsFunc(r.Missing, func(m Missing) bool { return m.Group == name }) {
		return
	}
	missing := Missing{Group: name, Lamps: []string{}}
	if group := from.Group(name); group != nil {
		for _, m := range group.Members {
			if !slices.Contains(missing.Lamps, m.Lamp.ID) {
				missing.Lamps = append(missing.Lamps, m.Lamp.ID)
			}
		}
	}
	r.Missing = append(r.Missing, missing)
}

// measure notes what a level at a mark lacks there.
func (r *Report) measure(paint *cues.Paint, to *cues.Location) {
	l := paint.Level
	lacks := ""
	switch {
	case l.Mark != "" && to.Mark(l.Mark) == nil:
		lacks = "mark " + l.Mark
	case l.Group != "" && to.Group(l.Group) == nil:
		lacks = "group " + l.Group
	default:
		return
	}
	u := Unmeasured{paint.On, l.String(), lacks}
	if !slices.Contains(r.Unmeasured, u) {
		r.Unmeasured = append(r.Unmeasured, u)
	}
}
