package showfile

import (
	"fmt"

	"linkboy/cues"
)

// checkSafety warns of places where people would have no floor light.
func (l *loader) checkSafety() {
	floor, work := &l.show.Safety.Floor, &l.show.Safety.Work
	l.groupSomewhere(work.On, l.places[place{work, "on"}])
	if floor.On == "" {
		if floor.At.Line == 0 && !l.broken["show.yaml"] {
			l.add(cues.Pos{File: "show.yaml"}, cues.CodeNoFloorLight, "the show has no floor light",
				"a look can leave people in the dark", "add safety: {floor-light: {on: floor, level: 3%, colour: 3200 K}}")
		}
		return
	}
	if !l.groupSomewhere(floor.On, l.places[place{floor, "on"}]) {
		return
	}
	for _, loc := range l.show.Locations {
		if loc.Group(floor.On) == nil {
			l.add(cues.Pos{File: loc.File}, cues.CodeNoFloorLight, fmt.Sprintf("%s has no floor light", loc.Name),
				fmt.Sprintf("it has no group %q", floor.On), "add the group, with lamps that light where people walk")
		}
	}
}
