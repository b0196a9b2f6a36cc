package rigcheck

import (
	"fmt"
	"strings"

	"linkboy/cues"
)

// Kind is what a row found.
type Kind string

// The kinds. Only WrongAddress, WrongPersonality and WrongLabel can be mended
// from here.
const (
	Right            Kind = "right"
	WrongAddress     Kind = "wrong-address"
	WrongPersonality Kind = "wrong-personality"
	WrongLabel       Kind = "wrong-label"
	WrongUniverse    Kind = "wrong-universe" // it is on another line than the plan has it
	NoPersonality    Kind = "no-personality" // none fits the lamp's mode
	NoAnswer         Kind = "no-answer"      // it is listed and does not answer
	NotFound         Kind = "not-found"      // no device is this lamp
	Unsure           Kind = "unsure"         // several may be
	UnknownDevice    Kind = "unknown-device" // it is no lamp of the kit
	NotInRig         Kind = "not-in-rig"     // it is a lamp of the kit that does not stand here
	Overlap          Kind = "overlap"        // several take the same slots once all is set
)

// Finding is one thing found.
type Finding struct {
	Kind Kind
	What string
	Mend string // empty where nothing need be done, or Change does it
}

// Change is what to set on a device; zero leaves a thing as it is.
type Change struct {
	Personality int
	Address     int
	Label       string
}

// Row is what was found of one lamp, or of what is no lamp of the rig.
type Row struct {
	Place    string // in the rig, "lane-1"; empty for what is not in it
	Lamp     string // in the kit, "T1"; empty for what is not in it
	UID      string // of the device; empty for none
	By       By
	Findings []Finding // never empty
	Change   Change
}

// Right reports whether nothing need be done.
func (r *Row) Right() bool { return r.Findings[0].Kind == Right || r.Findings[0].Kind == NotInRig }

// Changes reports whether something is to be set.
func (r *Row) Changes() bool { return r.Change != Change{} }

// Compare compares the rig of a location with the devices found: a row for each
// lamp in rig order, then for other devices, then for slots that several take.
// hand names UIDs of kit lamps for this once and stands before what kit and
// labels say.
func Compare(show *cues.Show, loc *cues.Location, devices []Device, hand map[string]string) []Row {
	m := match(show.Kit, loc.Rig, devices, hand)
	var rows []Row
	for i, l := range loc.Rig {
		rows = append(rows, m.lamp(l, m.pairs[i]))
	}
	for i := range devices {
		if d := &devices[i]; !m.taken[d] {
			rows = append(rows, m.other(d))
		}
	}
	return append(rows, overlaps(loc.Rig, devices, m, rows)...)
}

// lamp is the row of one lamp.
func (m *matching) lamp(l *cues.RigLamp, p pair) Row {
	row := Row{Place: l.ID, Lamp: l.Lamp.ID, By: p.by}
	d := p.device
	switch {
	case d == nil && len(p.maybe) > 0:
		row.add(Unsure, "it may be "+names(p.maybe), "have each show itself with linkboy identify, then give the uid of "+l.Lamp.ID+" in kit.yaml, or --pair "+l.Lamp.ID+"=UID for this once")
		return row
	case d == nil && l.Lamp.UID != "":
		row.UID = l.Lamp.UID
		row.add(NotFound, "no gateway lists "+l.Lamp.UID, "check its power and its data cable; a lamp that was exchanged needs its new uid in kit.yaml")
		return row
	case d == nil:
		row.add(NotFound, "no device found is this lamp", "check its power and its data cable, or set it at the lamp if it has no RDM: "+addressText(l.Address.Port, l.Address.Slot))
		return row
	}
	row.UID = d.UID
	if !d.Asked {
		row.add(NoAnswer, "it is listed and does not answer: "+d.Trouble, "check its data cable and the terminator at the end of its line")
		return row
	}
	if d.Port != l.Address.Port {
		row.add(WrongUniverse, fmt.Sprintf("it is on port-address %s, the plan has %s", portText(d.Port), portText(l.Address.Port)),
			"plug it into the other line, or change its address in the plan")
	} else {
		row.personality(l, d)
		row.address(l, d)
	}
	if d.TakesLabel && !same(d.Label, l.Lamp.ID) && canLabel(l.Lamp.ID) {
		row.add(WrongLabel, fmt.Sprintf("its label is %q, set %q", d.Label, l.Lamp.ID), "")
		row.Change.Label = l.Lamp.ID
	}
	if len(row.Findings) == 0 {
		row.add(Right, addressText(d.Port, d.Start), "")
	}
	return row
}

// personality compares the device's personality with the lamp's mode.
func (r *Row) personality(l *cues.RigLamp, d *Device) {
	want, why := d.personality(l.Lamp.Mode.Name, l.Lamp.Mode.Footprint)
	switch {
	case want == 0:
		r.add(NoPersonality, fmt.Sprintf("mode %s takes %d slots: %s", l.Lamp.Mode.Name, l.Lamp.Mode.Footprint, why),
			"choose a mode in kit.yaml that the lamp has, or set the personality at the lamp")
	case want != d.Personality:
		r.add(WrongPersonality, fmt.Sprintf("its personality is %d, set %d for mode %s", d.Personality, want, l.Lamp.Mode.Name), "")
		r.Change.Personality = want
	}
}

// address compares the device's first slot with the plan. A personality that
// changes may move it, so it is then set in any case.
func (r *Row) address(l *cues.RigLamp, d *Device) {
	if d.Start == 0 && l.Lamp.Mode.Footprint > 0 && r.Change.Personality == 0 {
		return // it takes no slots, which its personality has told
	}
	if d.Start == l.Address.Slot {
		if r.Change.Personality != 0 {
			r.Change.Address = l.Address.Slot
		}
		return
	}
	r.add(WrongAddress, fmt.Sprintf("it starts at slot %d, set %d", d.Start, l.Address.Slot), "")
	r.Change.Address = l.Address.Slot
}

// other is the row of a device that is no lamp of the rig.
func (m *matching) other(d *Device) Row {
	row := Row{UID: d.UID}
	where := fmt.Sprintf("%s at %s, node %s", d, addressText(d.Port, d.Start), d.Node)
	if k := m.owner[d]; k != nil {
		row.Lamp = k.ID
		row.add(NotInRig, where+" does not stand here", "")
		return row
	}
	if !d.Asked {
		row.add(NoAnswer, fmt.Sprintf("%s on port-address %s, node %s, does not answer: %s", d.UID, portText(d.Port), d.Node, d.Trouble),
			"check its data cable and the terminator at the end of its line")
		return row
	}
	row.add(UnknownDevice, where, "have it show itself with linkboy identify; if it is a lamp of the kit give its uid there")
	return row
}

func (r *Row) add(kind Kind, what, mend string) {
	r.Findings = append(r.Findings, Finding{kind, what, mend})
}

// canLabel: a label is at most 32 bytes of printable ASCII (ANSI E1.20 section
// 10.5.5).
func canLabel(text string) bool {
	return len(text) <= 32 && !strings.ContainsFunc(text, func(r rune) bool { return r < ' ' || r > '~' })
}

func names(devices []*Device) string {
	const most = 4
	var all []string
	for i, d := range devices {
		if i == most {
			all = append(all, fmt.Sprintf("%d more", len(devices)-most))
			break
		}
		all = append(all, d.UID)
	}
	return strings.Join(all, ", ")
}

// addressText is "0:0:1.001", as the plan writes it.
func addressText(port uint16, slot int) string {
	if slot == 0 {
		return portText(port) + " without slots"
	}
	return fmt.Sprintf("%s.%03d", portText(port), slot)
}

func portText(port uint16) string {
	return fmt.Sprintf("%d:%d:%d", port>>8&0x7f, port>>4&0xf, port&0xf)
}
