package rigcheck

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"linkboy/cues"
)

// span is what takes slots once all is set.
type span struct {
	port        uint16
	first, last int
	name        string
	found       bool // a device, not only a plan
}

// overlaps are the runs of slots that several take once every change of rows is
// made, one row each. A lamp that was not found counts with its plan, as it may
// be there without RDM; one that may be several devices does not.
func overlaps(rig []*cues.RigLamp, devices []Device, m *matching, rows []Row) []Row {
	var spans []span
	for i, l := range rig {
		if m.pairs[i].device == nil && len(m.pairs[i].maybe) == 0 && l.Lamp.Mode.Footprint > 0 {
			spans = append(spans, span{l.Address.Port, l.Address.Slot, l.Address.Slot + l.Lamp.Mode.Footprint - 1, l.ID, false})
		}
	}
	for i := range devices {
		d := &devices[i]
		if !d.Asked {
			continue
		}
		name, start, slots := d.UID, d.Start, d.Footprint
		for k := range m.pairs {
			if m.pairs[k].device == d {
				name = rig[k].ID
				if c := rows[k].Change; c.Address != 0 {
					start = c.Address
				}
				if c := rows[k].Change; c.Personality != 0 {
					slots, _ = d.slots(c.Personality)
				}
			}
		}
		if start > 0 && slots > 0 {
			spans = append(spans, span{d.Port, start, start + slots - 1, name, true})
		}
	}
	return clusters(spans)
}

// clusters joins spans that touch the same slots.
func clusters(spans []span) (rows []Row) {
	slices.SortFunc(spans, func(a, b span) int {
		return cmp.Or(cmp.Compare(a.port, b.port), cmp.Compare(a.first, b.first), cmp.Compare(a.name, b.name))
	})
	for from := 0; from < len(spans); {
		to, last, found := from+1, spans[from].last, spans[from].found
		for to < len(spans) && spans[to].port == spans[from].port && spans[to].first <= last {
			last, found = max(last, spans[to].last), found || spans[to].found
			to++
		}
		if to > from+1 && found { // two plans are the show's own affair
			var all []string
			for _, s := range spans[from:to] {
				all = append(all, s.name)
			}
			row := Row{}
			row.add(Overlap, fmt.Sprintf("slots %d to %d of %s are taken by %s", spans[from].first, last, portText(spans[from].port), strings.Join(all, ", ")),
				"move one of them: what is sent for one lights the other too")
			rows = append(rows, row)
		}
		from = to
	}
	return rows
}
