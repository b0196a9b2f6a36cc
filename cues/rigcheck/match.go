package rigcheck

import (
	"slices"

	"linkboy/cues"
)

// By says how a lamp was matched to a device.
type By string

// The ways, from the surest.
const (
	ByHand    By = "by hand" // named for this comparison
	ByUID     By = "uid"     // the kit has its unique identifier
	ByLabel   By = "label"   // the device's label is the lamp's id
	ByAddress By = "address" // such a device, already at the lamp's address
	ByModel   By = "model"   // the only such device, for the only such lamp
)

// pair is a lamp of the rig and its device.
type pair struct {
	device *Device // nil for none
	by     By
	maybe  []*Device // that it may be, when none is sure
}

// matching pairs off lamps and devices.
type matching struct {
	kit   []*cues.KitLamp
	pairs []pair // in rig order
	taken map[*Device]bool
	// owner is the kit lamp that a device says it is, also one that is not in
	// this rig.
	owner map[*Device]*cues.KitLamp
}

// match pairs the lamps of a rig with devices. hand names the UIDs of kit lamps
// for this once.
func match(kit []*cues.KitLamp, rig []*cues.RigLamp, devices []Device, hand map[string]string) *matching {
	m := &matching{kit: kit, pairs: make([]pair, len(rig)), taken: make(map[*Device]bool), owner: make(map[*Device]*cues.KitLamp)}
	uids := make(map[string]string) // of kit lamps
	for _, k := range kit {
		uids[k.ID] = k.UID
		if uid := hand[k.ID]; uid != "" {
			uids[k.ID] = uid
		}
	}
	labelled := make(map[string][]*Device)
	for i := range devices {
		d := &devices[i]
		for _, k := range kit {
			if uids[k.ID] == d.UID || m.owner[d] == nil && uids[k.ID] == "" && same(d.Label, k.ID) {
				m.owner[d] = k
			}
		}
		if k := m.owner[d]; k != nil && uids[k.ID] != d.UID {
			labelled[k.ID] = append(labelled[k.ID], d)
		}
	}
	for i, l := range rig {
		if uid := uids[l.Lamp.ID]; uid != "" {
			by := ByUID
			if hand[l.Lamp.ID] != "" {
				by = ByHand
			}
			if at := slices.IndexFunc(devices, func(d Device) bool { return d.UID == uid }); at >= 0 {
				m.take(i, &devices[at], by)
			}
			continue
		}
		m.pick(i, l, labelled[l.Lamp.ID], ByLabel)
	}
	m.byKind(rig, devices, uids)
	return m
}

func (m *matching) take(i int, d *Device, by By) {
	m.pairs[i] = pair{device: d, by: by}
	m.taken[d] = true
}

// pick takes the one candidate, or of several the one at the lamp's address.
func (m *matching) pick(i int, l *cues.RigLamp, candidates []*Device, by By) {
	here := slices.DeleteFunc(slices.Clone(candidates), func(d *Device) bool { return !at(d, l) })
	switch {
	case len(candidates) == 1:
		m.take(i, candidates[0], by)
	case len(here) == 1:
		m.take(i, here[0], by)
	default:
		m.pairs[i].maybe = candidates
	}
}

// byKind pairs what is left by what devices are.
func (m *matching) byKind(rig []*cues.RigLamp, devices []Device, uids map[string]string) {
	open := func(i int) bool {
		return m.pairs[i].device == nil && len(m.pairs[i].maybe) == 0 && uids[rig[i].Lamp.ID] == ""
	}
	free := func(l *cues.RigLamp, ok func(*Device) bool) (all []*Device) {
		for i := range devices {
			if d := &devices[i]; !m.taken[d] && m.owner[d] == nil && m.fits(d, l.Lamp) && ok(d) {
				all = append(all, d)
			}
		}
		return all
	}
	for i, l := range rig {
		if here := free(l, func(d *Device) bool { return at(d, l) }); open(i) && len(here) == 1 {
			m.take(i, here[0], ByAddress)
		}
	}
	var sure []int
	for i, l := range rig {
		if !open(i) {
			continue
		}
		candidates := free(l, func(*Device) bool { return true })
		rivals := 0
		for k, other := range rig {
			if open(k) && len(candidates) == 1 && m.fits(candidates[0], other.Lamp) {
				rivals++
			}
		}
		if len(candidates) == 1 && rivals == 1 {
			sure = append(sure, i)
		}
	}
	for _, i := range sure {
		m.take(i, free(rig[i], func(*Device) bool { return true })[0], ByModel)
	}
	for i, l := range rig {
		if open(i) {
			m.pairs[i].maybe = free(l, func(*Device) bool { return true })
		}
	}
}

// fits reports whether a device can be a lamp by what it says of itself: the
// name of the type or, where that is no type of the kit, a personality like the
// lamp's mode.
func (m *matching) fits(d *Device, l *cues.KitLamp) bool {
	if !d.Asked {
		return false
	}
	if slices.ContainsFunc(m.kit, d.is) {
		return d.is(l)
	}
	return d.reads(l)
}

// at reports whether a device is at a lamp's address.
func at(d *Device, l *cues.RigLamp) bool {
	return d.Port == l.Address.Port && d.Start == l.Address.Slot
}
