package track

import "math"

// NewFrame makes room for one frame: the slots of every universe, holding what
// no slot of the layout controls.
func (l *Layout) NewFrame() [][]byte {
	total := 0
	for i := range l.Universes {
		total += len(l.Universes[i].Base)
	}
	bytes, frame := make([]byte, total), make([][]byte, len(l.Universes))
	for i := range l.Universes {
		n := len(l.Universes[i].Base)
		frame[i], bytes = bytes[:n:n], bytes[n:]
		copy(frame[i], l.Universes[i].Base)
	}
	return frame
}

// NewStill makes the state with every slot at its Safe value: no light.
func (l *Layout) NewStill() Still {
	s := make(Still, len(l.Slots))
	for i := range l.Slots {
		s[i] = l.Slots[i].Safe
	}
	return s
}

// Write renders a state into the bytes of a frame as NewFrame makes it, with
// floor light whole or not at all. See WriteFloor.
func (l *Layout) Write(s Still, overall float32, floor bool, dst [][]byte) {
	share := float32(0)
	if floor {
		share = 1
	}
	l.WriteFloor(s, overall, share, dst)
}

// WriteFloor renders a state into the bytes of a frame as NewFrame makes it.
// Overall (0..1) scales what gives light. Then each floor cell that gives less
// than floor (a share 0..1 of its Least) gets the missing lumens in its own mix,
// as far as its emitters go. Then each value passes its dimmer curve and is
// rounded, half up, to 8 or 16 bits: 0 is all bits clear and 1 all bits set. It
// does not allocate.
func (l *Layout) WriteFloor(s Still, overall, floor float32, dst [][]byte) {
	for i := range l.Universes {
		copy(dst[i], l.Universes[i].Base)
	}
	overall = clamp(overall)
	s = s[:len(l.Slots)]
	for i := range l.Slots {
		slot := &l.Slots[i]
		v := s[i]
		if !slot.Param {
			v *= overall
		}
		l.put(slot, v, dst)
	}
	if floor = clamp(floor); floor == 0 {
		return
	}
	for i := range l.Floor {
		l.lift(&l.Floor[i], s, overall, floor, dst)
	}
}

// lift writes the slots of a floor cell again where it gives too little.
func (l *Layout) lift(c *FloorCell, s Still, overall, floor float32, dst [][]byte) {
	slots, values := l.Slots[c.First:c.First+c.N], s[c.First:c.First+c.N]
	has, mix := float32(0), float32(0)
	for i, v := range values {
		has += float32(c.Weight[i] * clamp(v*overall))
		mix += float32(c.Weight[i] * c.Drive[i])
	}
	missing := float32(c.Least*floor) - has
	if !(missing > 0) || mix == 0 {
		return
	}
	more := missing / mix
	for i, v := range values {
		if c.Drive[i] != 0 {
			l.put(&slots[i], float32(v*overall)+float32(c.Drive[i]*more), dst)
		}
	}
}

// put writes one value.
func (l *Layout) put(slot *Slot, v float32, dst [][]byte) {
	v = clamp(v)
	if table := l.Curves[slot.Curve].Table; table != nil {
		v = lookup(table, v)
	}
	b := dst[slot.Universe]
	if slot.Wide {
		w := wide(v)
		b[slot.Offset], b[slot.Offset+1] = byte(w>>8), byte(w)
		return
	}
	b[slot.Offset] = narrow(v)
}

// clamp brings a value into 0..1; what is no number is 0. The bits of floats of
// 0 and above are in the order of their values, and those of negative ones are
// negative: so that it takes no branch on the value, which nothing could foresee.
func clamp(v float32) float32 {
	if v != v {
		return 0
	}
	const full = 0x3F800000 // the bits of 1
	return math.Float32frombits(uint32(min(max(int32(math.Float32bits(v)), 0), full)))
}
