package script

import (
	"slices"
	"strings"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/meter"
)

// Row is a look at a location.
type Row struct {
	Location string `json:"location"`
	Look     string `json:"look"`
	// Characters whose colours are seen, the one that the look wears first.
	Characters []string `json:"characters"`
	Cues       []int    `json:"cues"` // of the location's sheet; none for a look in no cue
	Key        *Key     `json:"key"`  // nil where the look leaves the key dark
	Groups     []Group  `json:"groups"`
	Note       string   `json:"note,omitempty"`
}

// Key is the light of the group that faces are lit by.
type Key struct {
	Level string  `json:"level"` // as written
	Share float64 `json:"share"` // of its most light
	// CCT, in kelvin, and Duv are nil for a key that is no white.
	CCT *float64 `json:"cct"`
	Duv *float64 `json:"duv"`
}

// Group is what a group wears.
type Group struct {
	Name    string   `json:"name"`
	Level   string   `json:"level"`
	Pattern string   `json:"pattern"`
	Colours []Colour `json:"colours"`
}

// Colour is a colour by the name that the look gives it, and where it is: CIE 1931 x, y
// and CIE 1976 u', v'.
type Colour struct {
	Name string     `json:"name"`
	XY   [2]float64 `json:"xy"`
	UV   [2]float64 `json:"uv"`
}

// Of lists the looks of a location: those of its cue sheet in the order they come on,
// then the others in file order.
func Of(place *compile.Place) []Row {
	show, loc := place.Show, place.Location
	var names []string
	on := map[string][]int{}
	for _, c := range loc.Cues {
		if on[c.Look] == nil {
			names = append(names, c.Look)
		}
		on[c.Look] = append(on[c.Look], c.Number)
	}
	for _, name := range show.LookNames(loc) {
		if on[name] == nil {
			names = append(names, name)
		}
	}
	rows := make([]Row, 0, len(names))
	for _, name := range names {
		if look := show.Look(loc, name); look != nil {
			rows = append(rows, rowOf(place, look, on[name]))
		}
	}
	return rows
}

func rowOf(place *compile.Place, look *cues.Look, on []int) Row {
	row := Row{
		Location: place.Location.Name, Look: look.Name, Note: look.Note,
		Characters: []string{}, Cues: slices.Clone(on), Groups: []Group{},
	}
	if row.Cues == nil {
		row.Cues = []int{}
	}
	if wears := place.Show.Wears(place.Location, look); wears != nil {
		row.Characters = append(row.Characters, wears.Name)
	}
	seen := map[string]bool{}
	for _, worn := range place.Palette(look) {
		g := Group{Name: worn.Group, Level: worn.Level, Pattern: string(worn.Pattern), Colours: []Colour{}}
		for _, c := range worn.Colours {
			uv := c.XY.UV()
			g.Colours = append(g.Colours, Colour{c.Text, [2]float64{c.XY.X, c.XY.Y}, [2]float64{uv.U, uv.V}})
			if owner, _, owned := strings.Cut(c.Text, "."); owned && place.Show.Character(owner) != nil {
				seen[owner] = true
			}
		}
		if worn.Group == meter.KeyGroup {
			row.Key = keyOf(worn)
		}
		row.Groups = append(row.Groups, g)
	}
	// Who is worn but nowhere seen is not in the look.
	row.Characters = slices.DeleteFunc(row.Characters, func(name string) bool { return !seen[name] })
	for _, c := range place.Show.Cast {
		if seen[c.Name] && !slices.Contains(row.Characters, c.Name) {
			row.Characters = append(row.Characters, c.Name)
		}
	}
	return row
}

// keyOf reads the key by its first colour.
func keyOf(worn compile.Worn) *Key {
	k := &Key{Level: worn.Level, Share: float64(worn.Share)}
	if len(worn.Colours) == 0 {
		return k
	}
	if white, err := worn.Colours[0].XY.CCT(); err == nil {
		t, duv := float64(white.T), float64(white.Duv)
		k.CCT, k.Duv = &t, &duv
	}
	return k
}
