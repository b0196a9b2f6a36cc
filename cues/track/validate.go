package track

import (
	"fmt"
	"math"
)

// maxAddress is the highest 15-bit port-address (Art-Net 4, Port-Address).
const maxAddress = 0x7FFF

// endSlack is how far a move may end after its fade, in shares of the fade: the
// rounding of Start and Length to 32 bits.
const endSlack = 1e-5

// Validate checks that the layout can be rendered: every index in range, every
// number a number, no byte controlled twice. It returns the first fault.
func (l *Layout) Validate() error {
	for i, u := range l.Universes {
		if u.Address > maxAddress {
			return fmt.Errorf("universe %d: port-address %d is over %d", i, u.Address, maxAddress)
		}
		if i > 0 && l.Universes[i-1].Address >= u.Address {
			return fmt.Errorf("universe %d: port-address %d follows %d: addresses must ascend", i, u.Address, l.Universes[i-1].Address)
		}
		if n := len(u.Base); n < 2 || n > 512 || n%2 != 0 {
			return fmt.Errorf("universe %d: %d slots: want an even number within 2..512", i, n)
		}
	}
	for i, c := range l.Curves {
		if err := c.validate(); err != nil {
			return fmt.Errorf("curve %d: %w", i, err)
		}
	}
	taken := l.NewFrame()
	for _, b := range taken {
		clear(b)
	}
	for i := range l.Slots {
		if err := l.validateSlot(&l.Slots[i], taken); err != nil {
			return fmt.Errorf("slot %d: %w", i, err)
		}
	}
	for i := range l.Floor {
		if err := l.validateFloor(&l.Floor[i]); err != nil {
			return fmt.Errorf("floor cell %d: %w", i, err)
		}
	}
	return nil
}

func (c Curve) validate() error {
	if c.Table != nil && len(c.Table) < 2 {
		return fmt.Errorf("a table of %d: want nil or at least 2 entries", len(c.Table))
	}
	return within("table entry", c.Table)
}

// validateSlot checks one slot and marks its bytes in taken.
func (l *Layout) validateSlot(s *Slot, taken [][]byte) error {
	if s.Universe < 0 || int(s.Universe) >= len(l.Universes) {
		return fmt.Errorf("universe %d of %d", s.Universe, len(l.Universes))
	}
	if s.Curve < 0 || int(s.Curve) >= len(l.Curves) {
		return fmt.Errorf("curve %d of %d", s.Curve, len(l.Curves))
	}
	if !(s.Safe >= 0 && s.Safe <= 1) {
		return fmt.Errorf("safe value %v: want 0..1", s.Safe)
	}
	bytes, last := taken[s.Universe], int(s.Offset)
	if s.Wide {
		last++
	}
	if s.Offset < 0 || last >= len(bytes) {
		return fmt.Errorf("offset %d..%d in a universe of %d", s.Offset, last, len(bytes))
	}
	for at := int(s.Offset); at <= last; at++ {
		if bytes[at] != 0 {
			return fmt.Errorf("offset %d of universe %d is controlled twice", at, s.Universe)
		}
		bytes[at] = 1
	}
	return nil
}

func (l *Layout) validateFloor(c *FloorCell) error {
	if c.N < 1 || int(c.N) > len(c.Weight) || c.First < 0 || int(c.First)+int(c.N) > len(l.Slots) {
		return fmt.Errorf("slots %d+%d of %d: want 1..%d of them", c.First, c.N, len(l.Slots), len(c.Weight))
	}
	if !finite(c.Least) || c.Least < 0 {
		return fmt.Errorf("least light %v: want lumens, 0 or more", c.Least)
	}
	for i := range c.N {
		if w := c.Weight[i]; !finite(w) || w < 0 {
			return fmt.Errorf("weight %d is %v: want lumens, 0 or more", i, w)
		}
		if l.Slots[c.First+i].Param {
			return fmt.Errorf("slot %d is a parameter and gives no light", c.First+i)
		}
	}
	return within("drive", c.Drive[:c.N])
}

// Validate checks that the fade can be played on a layout with that many slots:
// every index in range, every value within 0..1, no slot in two moves. It
// returns the first fault.
func (f *Fade) Validate(slots int) error {
	if len(f.From) != slots || len(f.To) != slots {
		return fmt.Errorf("fade from %d to %d values on a layout of %d slots", len(f.From), len(f.To), slots)
	}
	if f.Total < 0 {
		return fmt.Errorf("fade takes %v: want 0 or more", f.Total)
	}
	for _, part := range []struct {
		what   string
		values []float32
	}{{"from slot", f.From}, {"to slot", f.To}, {"knot value", f.Values}} {
		if err := within(part.what, part.values); err != nil {
			return err
		}
	}
	for i := range f.Moves {
		if err := f.validateMove(&f.Moves[i]); err != nil {
			return fmt.Errorf("move %d: %w", i, err)
		}
	}
	return f.validateApart()
}

func (f *Fade) validateMove(m *Move) error {
	if m.N < 1 || m.First < 0 || int64(m.First)+int64(m.N) > int64(len(f.From)) {
		return fmt.Errorf("slots %d+%d of %d", m.First, m.N, len(f.From))
	}
	if !(m.Start >= 0 && m.Length >= 0 && m.Start+m.Length <= 1+endSlack) {
		return fmt.Errorf("start %v, length %v: want both 0 or more and their sum within 1", m.Start, m.Length)
	}
	if int(m.Curve) >= len(easeNames) {
		return fmt.Errorf("unknown ease %d", m.Curve)
	}
	if m.Knots < 0 || m.TimeAt < 0 || int64(m.TimeAt)+int64(m.Knots) > int64(len(f.Times)) {
		return fmt.Errorf("knot times %d+%d of %d", m.TimeAt, m.Knots, len(f.Times))
	}
	if m.ValueAt < 0 || int64(m.ValueAt)+int64(m.Knots)*int64(m.N) > int64(len(f.Values)) {
		return fmt.Errorf("knot values %d+%d of %d", m.ValueAt, int64(m.Knots)*int64(m.N), len(f.Values))
	}
	last := float32(0)
	for i, t := range f.Times[m.TimeAt : m.TimeAt+m.Knots] {
		if !(t >= last && t <= 1) {
			return fmt.Errorf("knot %d is at %v after %v: times ascend within 0..1", i, t, last)
		}
		last = t
	}
	return nil
}

// validateApart checks that no slot is in two moves.
func (f *Fade) validateApart() error {
	if f.ascend() {
		return nil
	}
	taken := make([]bool, len(f.From))
	for i := range f.Moves {
		m := &f.Moves[i]
		for at := m.First; at < m.First+m.N; at++ {
			if taken[at] {
				return fmt.Errorf("move %d: slot %d is in another move too", i, at)
			}
			taken[at] = true
		}
	}
	return nil
}

// Validate checks that the state fits a layout with that many slots and that
// every value is within 0..1.
func (s Still) Validate(slots int) error {
	if len(s) != slots {
		return fmt.Errorf("a state of %d values on a layout of %d slots", len(s), slots)
	}
	return within("slot", s)
}

// within finds the first value outside 0..1.
func within(what string, values []float32) error {
	for i, v := range values {
		if !(v >= 0 && v <= 1) {
			return fmt.Errorf("%s %d is %v: want 0..1", what, i, v)
		}
	}
	return nil
}

func finite(v float32) bool { return !math.IsNaN(float64(v)) && !math.IsInf(float64(v), 0) }
