// Package impact tells which looks a change of a show gives other light: of every
// location, the worst first. It is what a person reads before a character gets another
// colour that a dozen looks wear.
package impact

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/take"
)

// Change is a look whose light is another at a location.
type Change struct {
	Location string `json:"location"`
	Look     string `json:"look"`
	Cues     []int  `json:"cues"`  // of the location's sheet, that show it
	Lamps    int    `json:"lamps"` // how many give other light
	// Lamp is the one that differs most, by Stops and DeltaUV (CIE 1976 u'v'; 0 where
	// it is dark in one of them); the numbers are those of its worst cell.
	Lamp    string  `json:"lamp"`
	Stops   float64 `json:"stops"`
	DeltaUV float64 `json:"delta_uv"`
	// Gone and New tell that there is the look only before, or only after.
	Gone bool `json:"gone"`
	New  bool `json:"new"`
	// Broken tells that it cannot be shown after the change.
	Broken bool `json:"broken"`
}

// Light gives a place in its computed light where that is at hand, else as it is.
type Light func(*compile.Place) *compile.Place

// Of lists the looks, location by location as they are there, whose light a change of the
// show gives other: every look is compiled before and after, and the bytes are read back.
// A nil light takes levels at marks as not measured, in both.
func Of(before, after *cues.Show, light Light) []Change {
	list := []Change{}
	for _, loc := range before.Locations {
		list = append(list, at(before, after, loc, after.Location(loc.Name), light)...)
	}
	for _, loc := range after.Locations {
		if before.Location(loc.Name) == nil {
			list = append(list, at(before, after, nil, loc, light)...)
		}
	}
	slices.SortStableFunc(list, func(a, b Change) int { return cmp.Compare(b.far(), a.far()) })
	return list
}

// String says the change in words.
func (c Change) String() string {
	text := fmt.Sprintf("%s at %s", c.Look, c.Location)
	if len(c.Cues) > 0 {
		var numbers []string
		for _, n := range c.Cues {
			numbers = append(numbers, strconv.Itoa(n))
		}
		word := "cue "
		if len(numbers) > 1 {
			word = "cues "
		}
		text += " (" + word + strings.Join(numbers, ", ") + ")"
	}
	lamps := fmt.Sprintf("%d lamps", c.Lamps)
	if c.Lamps == 1 {
		lamps = "1 lamp"
	}
	switch {
	case c.Gone:
		return text + ": is no longer there"
	case c.New:
		return text + ": is new there"
	case c.Broken:
		return text + ": cannot be shown any more"
	}
	return fmt.Sprintf("%s: %s, %s most, by %+.2f stops and %.4f u'v'", text, lamps, c.Lamp, c.Stops, c.DeltaUV)
}

// far is how many times what counts a change is; what comes and goes is furthest.
func (c *Change) far() float64 {
	if c.Gone || c.New || c.Broken {
		return math.Inf(1)
	}
	return max(math.Abs(c.Stops)/take.NearStops, c.DeltaUV/take.NearDeltaUV)
}

// at lists the changes of one location, of which one may be nil.
func at(before, after *cues.Show, old, now *cues.Location, light Light) []Change {
	var list []Change
	a, b := placeOf(before, old, light), placeOf(after, now, light)
	name, known := "", []string{}
	if old != nil {
		name, known = old.Name, before.LookNames(old)
	}
	if now != nil {
		name = now.Name
		for _, n := range after.LookNames(now) {
			if !slices.Contains(known, n) {
				known = append(known, n)
			}
		}
	}
	for _, look := range known {
		c := Change{Location: name, Look: look, Cues: []int{}}
		for _, loc := range []*cues.Location{now, old} {
			if loc != nil && len(c.Cues) == 0 {
				for _, q := range loc.Cues {
					if q.Look == look {
						c.Cues = append(c.Cues, q.Number)
					}
				}
			}
		}
		then, there := recorded(before, a, look)
		here, stays := recorded(after, b, look)
		switch {
		case !there && !stays:
			continue
		case !stays:
			c.Gone = true
		case !there:
			c.New = true
		case here == nil:
			c.Broken = then != nil
		}
		if c.Gone || c.New || c.Broken || c.compare(then, here) {
			list = append(list, c)
		}
	}
	return list
}

// compare takes in how lamps differ and reports whether any does so that it counts.
func (c *Change) compare(then, now []take.Lamp) bool {
	for _, d := range take.Compare(then, now) {
		if d.State == take.Near {
			break // those behind it are nearer
		}
		if c.Lamps++; c.Lamps > 1 {
			continue
		}
		c.Lamp, c.Stops, c.DeltaUV = d.Rig, d.Stops, d.DeltaUV
		if d.Cell > 0 {
			c.Stops, c.DeltaUV = d.CellStops, d.CellDeltaUV
		}
	}
	return c.Lamps > 0
}

func placeOf(show *cues.Show, loc *cues.Location, light Light) *compile.Place {
	if loc == nil {
		return nil
	}
	place, _ := compile.Location(show, loc)
	if place == nil || light == nil || !place.NeedsLight() {
		return place
	}
	return light(place)
}

// recorded gives what lamps have in a look, nil for one that cannot be shown; there is
// false where there is no such look.
func recorded(show *cues.Show, place *compile.Place, name string) (lamps []take.Lamp, there bool) {
	if place == nil {
		return nil, false
	}
	look := show.Look(place.Location, name)
	if look == nil {
		return nil, false
	}
	still, _, _ := place.Still(look)
	if still == nil {
		return nil, true
	}
	return place.Recorded(place.Frame(still, true)), true
}
