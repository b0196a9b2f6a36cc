package rigcheck

import (
	"fmt"
	"slices"
	"strings"

	"linkboy/cues"
)

// Device is a device that was found. The words are those of ANSI E1.20.
type Device struct {
	UID  string // "7FF1:0000002A"
	Node string // where it is reached, for people
	Port uint16 // port-address of its line
	// Asked: the device has told what it is. Where it has not, Trouble says why
	// and what follows means nothing.
	Asked         bool
	Trouble       string
	Start         int // first slot, 1..512; 0 for none
	Footprint     int // slots of the current personality
	Personality   int // the current one, from 1
	Personalities []Personality
	Label         string
	TakesLabel    bool // it keeps a label that is set
	Model, Maker  string
}

// Personality is one way in which a device reads slots.
type Personality struct {
	Number int // from 1
	Slots  int
	Text   string
}

// slots of a personality; ok is false where the device did not tell.
func (d *Device) slots(personality int) (n int, ok bool) {
	for _, p := range d.Personalities {
		if p.Number == personality {
			return p.Slots, true
		}
	}
	return d.Footprint, personality == d.Personality
}

// is reports whether the device calls itself a lamp of this type.
func (d *Device) is(l *cues.KitLamp) bool {
	return same(d.Model, l.Type.Name) || same(d.Model, l.Type.Title)
}

// reads reports whether the device has a personality of the name and size of a
// lamp's mode.
func (d *Device) reads(l *cues.KitLamp) bool {
	return slices.ContainsFunc(d.Personalities, func(p Personality) bool {
		return p.Slots == l.Mode.Footprint && same(p.Text, l.Mode.Name)
	})
}

// personality picks the personality for a mode: the one of that name and size,
// else the current one if it has the size, else the only one of the size.
func (d *Device) personality(name string, slots int) (number int, why string) {
	var sized []Personality
	for _, p := range d.Personalities {
		if p.Slots == slots {
			sized = append(sized, p)
		}
	}
	for _, p := range sized {
		if same(p.Text, name) {
			return p.Number, ""
		}
	}
	if has, ok := d.slots(d.Personality); ok && has == slots {
		return d.Personality, ""
	}
	switch len(sized) {
	case 1:
		return sized[0].Number, ""
	case 0:
		return 0, fmt.Sprintf("none of its %d personalities takes %d slots", len(d.Personalities), slots)
	}
	return 0, fmt.Sprintf("%d of its personalities take %d slots and none is called %q", len(sized), slots, name)
}

// String names the device for people.
func (d *Device) String() string {
	name := d.UID
	if d.Label != "" {
		name += fmt.Sprintf(" %q", d.Label)
	}
	if what := strings.TrimSpace(d.Maker + " " + d.Model); what != "" {
		name += " (" + what + ")"
	}
	return name
}

// same compares names as people write them: "16-cell 16 bit" is "16-cell-16-bit".
func same(a, b string) bool {
	a, b = plain(a), plain(b)
	return a != "" && a == b
}

func plain(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == ' ' || r == '-' || r == '_':
			return -1
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		}
		return r
	}, s)
}
