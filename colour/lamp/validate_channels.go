package lamp

import (
	"fmt"
	"math"
)

// channels checks the channel map of a mode: every slot read once, every emitter of
// every cell driven once, every parameter safe.
func (v *validator) channels(m *Mode) {
	owner := map[int]string{}
	driver := map[[2]int]string{}
	params := map[string]bool{}
	for i := range m.Channels {
		ch := &m.Channels[i]
		v.part = fmt.Sprintf("channel %d (%q)", i+1, ch.Name)
		v.slots(m, ch, owner)
		switch {
		case (ch.Param != nil) == (ch.Emitter >= 0):
			v.add("make it either", "it must drive an emitter or be a parameter, and not both")
		case ch.Param != nil:
			v.param(ch.Param, params)
		default:
			v.emitterChannel(m, ch, driver)
		}
	}
	v.part = ""
	for cell := range min(m.Cells, mostSlots) {
		for e := range v.t.Emitters {
			if _, ok := driver[[2]int{cell, e}]; !ok {
				v.add("add a channel for it", "no channel drives emitter %q of cell %d, so its light could not be mixed", v.t.Emitters[e].Name, cell+1)
			}
		}
	}
}

// slots checks where a channel lies and notes the slots it takes.
func (v *validator) slots(m *Mode, ch *Channel, owner map[int]string) {
	if ch.Bits != 8 && ch.Bits != 16 {
		v.add("use 8, or 16 for a coarse and a fine slot", "%d bits", ch.Bits)
		return
	}
	last := ch.Offset + ch.Bits/8 - 1
	if ch.Offset < 0 || last >= m.Footprint {
		v.add("mend the offset (the first slot is 0) or the footprint", "slots %d to %d lie outside the footprint of %d slots", ch.Offset, last, m.Footprint)
		return
	}
	for s := ch.Offset; s <= last; s++ {
		if other, taken := owner[s]; taken {
			v.add("move one of them", "slot %d is taken by channel %q already", s, other)
		}
		owner[s] = ch.Name
	}
}

// emitterChannel checks what a channel drives and notes it.
func (v *validator) emitterChannel(m *Mode, ch *Channel, driver map[[2]int]string) {
	if ch.Emitter >= len(v.t.Emitters) {
		v.add("use an emitter the lamp has", "it drives emitter %d, but the lamp has %d", ch.Emitter+1, len(v.t.Emitters))
		return
	}
	if ch.Cell < 0 || ch.Cell >= m.Cells {
		v.add("use a cell the mode has", "it drives cell %d, but the mode has %d", ch.Cell+1, m.Cells)
		return
	}
	key := [2]int{ch.Cell, ch.Emitter}
	if other, driven := driver[key]; driven {
		v.add("leave out one of them", "channel %q drives emitter %q of cell %d already", other, v.t.Emitters[ch.Emitter].Name, ch.Cell+1)
	}
	driver[key] = ch.Name
}

// param checks a parameter and notes its name.
func (v *validator) param(p *Param, names map[string]bool) {
	switch {
	case p.Name == "":
		v.add("name it, as a look sets it by name", "the parameter has no name")
	case names[p.Name]:
		v.add("give each parameter of a mode a name of its own", "another channel has the parameter %q", p.Name)
	}
	names[p.Name] = true
	if !(p.Min < p.Max) || math.IsInf(p.Min, 0) || math.IsInf(p.Max, 0) {
		v.add("give the value at control 0 as least and that at full as most", "parameter %q has the range %g to %g", p.Name, p.Min, p.Max)
		return
	}
	if !(p.Safe >= p.Min && p.Safe <= p.Max) {
		v.add(fmt.Sprintf("give %g to %g", p.Min, p.Max), "the safe value %g of parameter %q is out of its range", p.Safe, p.Name)
	}
	if p.spreads() && len(v.t.Emitters) > 0 {
		v.spread(p)
	}
	if p.Stops && p.Safe != p.Min {
		v.add(fmt.Sprintf("make its safe value %g", p.Min), "parameter %q stops at its safe value, and %g lets it run", p.Name, p.Safe)
	}
	if p.Name == Dimmer && p.Safe != p.Max {
		v.add("make its safe value the most: levels are carried by the emitter channels", "the dimmer's safe value %g would hold back light at every level", p.Safe)
	}
}

// spreadWithin is how near the beam angle must be to the safe spread, in degrees: both
// are rounded.
const spreadWithin = 0.5

// spread checks the parameter that is a beam angle.
func (v *validator) spread(p *Param) {
	if !(p.Min >= 1 && p.Max <= 170) {
		v.add("give the narrowest and the widest beam angle", "spread is a full beam angle of 1 to 170 degrees, not of %g to %g", p.Min, p.Max)
		return
	}
	if beam := v.t.Photometry.BeamDeg; math.Abs(beam-p.Safe) > spreadWithin {
		v.add("give the beam and the field angle at the safe spread", "the beam angle of %g degrees is not that at the safe spread of %g", beam, p.Safe)
	}
}
