package track

import "fmt"

// Validate checks that the motion can be played on a layout with that many
// slots: every index in range, every value within 0..1, no slot in two cells. It
// returns the first fault. A nil Motion is sound.
func (m *Motion) Validate(slots int) error {
	if m == nil {
		return nil
	}
	for i := range m.Sources {
		if err := m.Sources[i].validate(); err != nil {
			return fmt.Errorf("source %d: %w", i, err)
		}
	}
	ascend, end := true, int32(0)
	for i := range m.Cells {
		c := &m.Cells[i]
		if err := m.validateCell(c, slots); err != nil {
			return fmt.Errorf("moving cell %d: %w", i, err)
		}
		ascend = ascend && c.First >= end
		end = c.First + c.N
	}
	if err := within("knot value", m.Values); err != nil || ascend {
		return err
	}
	return m.validateApart(slots)
}

// validateApart checks that no slot is in two cells.
func (m *Motion) validateApart(slots int) error {
	taken := make([]bool, slots)
	for i := range m.Cells {
		c := &m.Cells[i]
		for at := c.First; at < c.First+c.N; at++ {
			if taken[at] {
				return fmt.Errorf("moving cell %d: slot %d is in another one too", i, at)
			}
			taken[at] = true
		}
	}
	return nil
}

func (s *Source) validate() error {
	if n := len(s.Table); n < 2 || n > MaxTable || n&(n-1) != 0 {
		return fmt.Errorf("a table of %d entries: want a power of two within 2..%d", n, MaxTable)
	}
	if s.Period <= 0 {
		return fmt.Errorf("a period of %v: want more than 0", s.Period)
	}
	for i, v := range s.Table {
		if v > Whole {
			return fmt.Errorf("entry %d is %d: want 0..%d", i, v, Whole)
		}
	}
	return nil
}

func (m *Motion) validateCell(c *Moving, slots int) error {
	switch {
	case c.N < 1 || c.First < 0 || int64(c.First)+int64(c.N) > int64(slots):
		return fmt.Errorf("slots %d+%d of %d", c.First, c.N, slots)
	case c.Source < 0 || int(c.Source) >= len(m.Sources):
		return fmt.Errorf("source %d of %d", c.Source, len(m.Sources))
	case c.Knots < 0 || c.TimeAt < 0 || int64(c.TimeAt)+int64(c.Knots) > int64(len(m.Times)):
		return fmt.Errorf("knot times %d+%d of %d", c.TimeAt, c.Knots, len(m.Times))
	case c.ValueAt < 0 || int64(c.ValueAt)+(int64(c.Knots)+2)*int64(c.N) > int64(len(m.Values)):
		return fmt.Errorf("knot values %d+%d of %d", c.ValueAt, (int64(c.Knots)+2)*int64(c.N), len(m.Values))
	}
	last := float32(0)
	for i, t := range m.Times[c.TimeAt:][:c.Knots] {
		if !(t >= last && t <= 1) {
			return fmt.Errorf("knot %d is at %v after %v: times ascend within 0..1", i, t, last)
		}
		last = t
	}
	return nil
}
