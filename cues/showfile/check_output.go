package showfile

import (
	"cmp"
	"fmt"
	"slices"

	"linkboy/cues"
)

// checkOutputs tells outputs that send a universe twice or cannot send it, and
// warns of what is sent for nobody and of lamps that nothing is sent to.
func (l *loader) checkOutputs(loc *cues.Location) {
	if loc.Outputs == nil || l.broken[loc.File] {
		return
	}
	used := loc.Ports()
	for i, o := range loc.Outputs {
		for _, other := range loc.Outputs[:i] {
			l.checkTwice(other, o, used)
		}
		l.checkSACN(o, used)
		l.checkUnused(loc, o, used)
	}
	l.checkCarried(loc)
}

// checkTwice tells a universe that two outputs send by one protocol into one
// network: receivers would get both, in turns.
func (l *loader) checkTwice(a, b *cues.Output, used []uint16) {
	if a.Over != b.Over || a.Interface != b.Interface {
		return
	}
	mend := "take it out of one of the two; one output can go to several devices, to: [a, b]"
	if both, ok := inBoth(a, b); ok {
		l.add(b.At, cues.CodeOutputOverlap, fmt.Sprintf("%s goes out twice over %s", both, b.Over),
			fmt.Sprintf("the output at line %d carries it too", a.At.Line), mend)
		return
	}
	if a.Over != cues.SACN {
		return
	}
	numbers := map[int]uint16{}
	for _, p := range carried(a, used) {
		if u, ok := a.SACNUniverse(p); ok {
			numbers[u] = p
		}
	}
	for _, p := range carried(b, used) {
		u, _ := b.SACNUniverse(p)
		if other, taken := numbers[u]; taken {
			l.add(b.At, cues.CodeOutputOverlap, fmt.Sprintf("%s and %s are both sACN universe %d", cues.PortText(other), cues.PortText(p), u),
				fmt.Sprintf("by their offsets; the other output is at line %d", a.At.Line), "give one of them another offset")
			return
		}
	}
}

// inBoth names a universe that two outputs carry.
func inBoth(a, b *cues.Output) (name string, ok bool) {
	switch {
	case a.Universes == nil && b.Universes == nil:
		return "every universe", true
	case a.Universes == nil:
		return cues.PortText(b.Universes[0]), true
	}
	for _, p := range a.Universes {
		if b.Carries(p) {
			return cues.PortText(p), true
		}
	}
	return "", false
}

// carried are the universes that an output carries here: those it lists, and of
// all those that lamps are on.
func carried(o *cues.Output, used []uint16) []uint16 {
	if o.Universes == nil {
		return used
	}
	return o.Universes
}

// checkSACN tells a universe that sACN does not have.
func (l *loader) checkSACN(o *cues.Output, used []uint16) {
	if o.Over != cues.SACN {
		return
	}
	for _, p := range carried(o, used) {
		if u, ok := o.SACNUniverse(p); !ok {
			mend := fmt.Sprintf("use an offset that keeps it within 1 to %d", cues.MaxSACNUniverse)
			if o.Offset == 0 { // only port-address 0 has none then
				mend = "put its lamps on another universe, or write offset: 1, which makes every universe of this output one more"
			}
			l.add(o.At, cues.CodeNoSACNUniverse, fmt.Sprintf("%s cannot go out over sACN", cues.PortText(p)),
				fmt.Sprintf("it would be universe %d, and sACN has 1 to %d", u, cues.MaxSACNUniverse), mend)
			return
		}
	}
}

// checkUnused warns once an output of universes that no lamp is on.
func (l *loader) checkUnused(loc *cues.Location, o *cues.Output, used []uint16) {
	var idle []string
	for _, p := range o.Universes {
		if _, ok := slices.BinarySearch(used, p); !ok {
			idle = append(idle, cues.PortText(p))
		}
	}
	if len(idle) > 0 {
		l.add(o.At, cues.CodeOutputUnused, fmt.Sprintf("no lamp of %s is on %s", loc.Name, list(idle)),
			"nothing is sent there", "take it out, or mend the address of the lamp that is meant")
	}
}

// checkCarried warns, once a universe, of lamps that no output reaches.
func (l *loader) checkCarried(loc *cues.Location) {
	lost := map[uint16][]*cues.RigLamp{}
	for _, r := range loc.Rig {
		if !slices.ContainsFunc(loc.Outputs, func(o *cues.Output) bool { return o.Carries(r.Address.Port) }) {
			lost[r.Address.Port] = append(lost[r.Address.Port], r)
		}
	}
	for port, lamps := range lost {
		slices.SortStableFunc(lamps, func(a, b *cues.RigLamp) int { return cmp.Compare(a.At.Line, b.At.Line) })
		what := fmt.Sprintf("no output carries %s, where %q is", cues.PortText(port), lamps[0].ID)
		if n := len(lamps) - 1; n > 0 {
			what += fmt.Sprintf(" and %d more", n)
		}
		l.add(lamps[0].Address.At, cues.CodeNoOutput, what, "its lamps get no light",
			fmt.Sprintf("add %s to the universes of an output, or take outputs out to send everything to the nodes that answer", cues.PortText(port)))
	}
}
