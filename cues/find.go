package cues

import (
	"slices"

	"linkboy/colour/recipe"
)

// Location gives the location of that name, nil when there is none.
func (s *Show) Location(name string) *Location {
	return find(s.Locations, func(l *Location) bool { return l.Name == name })
}

// Character gives the character of that name, nil when there is none.
func (s *Show) Character(name string) *Character {
	return find(s.Cast, func(c *Character) bool { return c.Name == name })
}

// KitLamp gives the lamp of the kit with that id, nil when there is none.
func (s *Show) KitLamp(id string) *KitLamp {
	return find(s.Kit, func(k *KitLamp) bool { return k.ID == id })
}

// Look gives the look that a name means at l: the location's own, else the
// show's; nil when there is none. A nil l asks for the show's.
func (s *Show) Look(l *Location, name string) *Look {
	if l != nil {
		if k := l.look(name); k != nil {
			return k
		}
	}
	return find(s.Looks, func(k *Look) bool { return k.Name == name })
}

// Base gives the look that k starts as at l, nil when it starts dark or its
// From names no look. From is looked up as any name is, but a look of the
// location that starts from its own name starts from the show's look.
func (s *Show) Base(l *Location, k *Look) *Look {
	switch {
	case k.From == "":
		return nil
	case k.From == k.Name:
		if show := s.Look(nil, k.From); show != k {
			return show
		}
		return k
	}
	return s.Look(l, k.From)
}

// Lineage gives k and the looks it starts from at l, the first ancestor first
// and k last: paint goes on in that order. A ring of looks is cut where it
// closes; the problem is told when the show is loaded.
func (s *Show) Lineage(l *Location, k *Look) []*Look {
	var line []*Look
	for ; k != nil && !slices.Contains(line, k); k = s.Base(l, k) {
		line = append(line, k)
	}
	slices.Reverse(line)
	return line
}

// Wears gives the character whose colours plain names mean in k at l, nil for
// nobody: the nearest Wears in the lineage of k.
func (s *Show) Wears(l *Location, k *Look) *Character {
	for _, ancestor := range slices.Backward(s.Lineage(l, k)) {
		if ancestor.Wears != "" {
			return s.Character(ancestor.Wears)
		}
	}
	return nil
}

// Policy gives the policy that k says for its cells at l, "" for none: the
// nearest in the lineage of k.
func (s *Show) Policy(l *Location, k *Look) recipe.Policy {
	for _, ancestor := range slices.Backward(s.Lineage(l, k)) {
		if ancestor.Policy != "" {
			return ancestor.Policy
		}
	}
	return ""
}

// LookNames lists the names of the looks that l can show, its own first, each
// once, in file order.
func (s *Show) LookNames(l *Location) []string {
	var names []string
	add := func(looks []*Look) {
		for _, k := range looks {
			if !slices.Contains(names, k.Name) {
				names = append(names, k.Name)
			}
		}
	}
	if l != nil {
		add(l.Looks)
	}
	add(s.Looks)
	return names
}

// Clock gives the clock of l: the camera's rate, the edit's rate and the
// tempo, the location's own where it has one.
func (s *Show) Clock(l *Location) Clock {
	c := Clock{Capture: s.Camera.FPS, Timeline: s.Timeline, Tempo: s.Tempo}
	if l != nil && l.Tempo.BPM > 0 {
		c.Tempo = l.Tempo
	}
	return c
}

// Colour gives the colour of that name, the zero Colour when c owns none.
func (c *Character) Colour(name string) Colour {
	for _, own := range c.Colours {
		if own.Name == name {
			return own.Colour
		}
	}
	return Colour{}
}

// Group gives the group of that name, nil when there is none.
func (l *Location) Group(name string) *Group {
	return find(l.Groups, func(g *Group) bool { return g.Name == name })
}

// Mark gives the mark of that name, nil when there is none.
func (l *Location) Mark(name string) *Mark {
	for i := range l.Marks {
		if l.Marks[i].Name == name {
			return &l.Marks[i]
		}
	}
	return nil
}

// Setup gives the set-up of that name, nil when there is none.
func (l *Location) Setup(name string) *Setup {
	return find(l.Setups, func(s *Setup) bool { return s.Name == name })
}

// Lamp gives the lamp that stands at the place id of the rig, else the lamp of
// the kit with that id if it stands here, else nil.
func (l *Location) Lamp(id string) *RigLamp {
	if r := find(l.Rig, func(r *RigLamp) bool { return r.ID == id }); r != nil {
		return r
	}
	return find(l.Rig, func(r *RigLamp) bool { return r.Lamp != nil && r.Lamp.ID == id })
}

func (l *Location) look(name string) *Look {
	return find(l.Looks, func(k *Look) bool { return k.Name == name })
}

// Cells counts the cells of g, in the modes its lamps are in.
func (g *Group) Cells() int {
	n := 0
	for _, m := range g.Members {
		n += m.Last - m.First + 1
	}
	return n
}

func find[T any](list []*T, match func(*T) bool) *T {
	if i := slices.IndexFunc(list, match); i >= 0 {
		return list[i]
	}
	return nil
}
