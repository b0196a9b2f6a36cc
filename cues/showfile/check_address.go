package showfile

import (
	"cmp"
	"fmt"
	"slices"

	"linkboy/cues"
)

// checkAddresses tells lamps that share slots or reach past their universe.
func (l *loader) checkAddresses(loc *cues.Location) {
	var zero []*cues.RigLamp
	byPlace := slices.Clone(loc.Rig)
	slices.SortStableFunc(byPlace, func(a, b *cues.RigLamp) int {
		return cmp.Or(cmp.Compare(a.Address.Port, b.Address.Port), cmp.Compare(a.Address.Slot, b.Address.Slot))
	})
	var reach *cues.RigLamp // of those before on the same port-address, the one that reaches furthest
	for _, r := range byPlace {
		if reach != nil && reach.Address.Port != r.Address.Port {
			reach = nil
		}
		if reach != nil && lastSlot(reach) >= r.Address.Slot {
			l.overlap(reach, r)
		}
		if reach == nil || lastSlot(r) > lastSlot(reach) {
			reach = r
		}
		if last := lastSlot(r); last > universe {
			l.overrun(r, last)
		}
		if r.Address.Port == 0 {
			zero = append(zero, r)
		}
	}
	if len(zero) > 0 {
		l.portZero(zero)
	}
}

// lastSlot is the last slot that a lamp listens to, past 512 when it overruns.
func lastSlot(r *cues.RigLamp) int { return r.Address.Slot + r.Lamp.Mode.Footprint - 1 }

// overlap tells two lamps that share slots, at the one that is later in the
// file.
func (l *loader) overlap(a, b *cues.RigLamp) {
	if a.At.Line > b.At.Line || a.At.Line == b.At.Line && a.At.Column > b.At.Column {
		a, b = b, a
	}
	free := max(lastSlot(a), lastSlot(b)) + 1
	mend := "give one of them another universe"
	if free+b.Lamp.Mode.Footprint-1 <= universe {
		move := b.Address
		move.Slot = free
		mend = fmt.Sprintf("give one of them another address; %s may be free", move)
	}
	l.add(b.Address.At, cues.CodeAddressOverlap, fmt.Sprintf("%q listens to slots of %q", b.ID, a.ID),
		fmt.Sprintf("%s and %s, at line %d", slotText(b), slotText(a), a.Address.At.Line), mend)
}

func slotText(r *cues.RigLamp) string {
	return fmt.Sprintf("%q takes slots %d to %d of %s", r.ID, r.Address.Slot, lastSlot(r), cues.PortText(r.Address.Port))
}

func (l *loader) overrun(r *cues.RigLamp, last int) {
	highest := universe - r.Lamp.Mode.Footprint + 1
	l.add(r.Address.At, cues.CodeAddressOverrun, fmt.Sprintf("%q needs slots %d to %d", r.ID, r.Address.Slot, last),
		fmt.Sprintf("%s takes %d slots in mode %s, and a universe ends at %d", r.Lamp.Type.Name, r.Lamp.Mode.Footprint, r.Lamp.Mode.Name, universe),
		fmt.Sprintf("use slot %d or less, another universe, or a smaller mode", highest))
}

// portZero warns once a location: the mend is the same for all its lamps.
func (l *loader) portZero(lamps []*cues.RigLamp) {
	slices.SortStableFunc(lamps, func(a, b *cues.RigLamp) int { return cmp.Compare(a.At.Line, b.At.Line) })
	what := fmt.Sprintf("%q is on port-address 0:0:0", lamps[0].ID)
	if n := len(lamps) - 1; n > 0 {
		what += fmt.Sprintf(", and %d more", n)
	}
	l.add(lamps[0].Address.At, cues.CodePortZero, what,
		"Art-Net 4 deprecates port-address 0, so that it can be mapped to sACN, which has no universe 0", "use 0:0:1 or higher")
}
