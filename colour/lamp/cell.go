package lamp

import (
	"fmt"
	"math"

	"linkboy/colour/emitters"
)

// Mode returns the mode of a name, or the default mode for the empty name.
func (t *Type) Mode(name string) (*Mode, bool) {
	if name == "" && len(t.Modes) > 0 {
		return t.Modes[0], true
	}
	for _, m := range t.Modes {
		if m.Name == name {
			return m, true
		}
	}
	return nil, false
}

// CellOf returns the emitters of one cell of mode m, prepared for solving: with its
// share of the lamp's lumens, so a 16-cell tube in its 2-cell mode has 8 physical
// cells' light in each. All cells of a mode are alike. A type without emitters has
// no cell: nil and no error.
func (t *Type) CellOf(m *Mode) (*emitters.Cell, error) {
	if len(t.Emitters) == 0 {
		return nil, nil
	}
	if m.Cells < 1 {
		return nil, fmt.Errorf("lamp type %q, mode %q: %d cells, but a lamp with emitters has at least 1", t.Name, m.Name, m.Cells)
	}
	cell := make([]emitters.Emitter, len(t.Emitters))
	for i, e := range t.Emitters {
		light := e.Spectrum.XYZ()
		if !(light.Y > 0) || math.IsInf(light.Y, 0) {
			return nil, fmt.Errorf("lamp type %q, emitter %q: its spectrum has no light in 360-830 nm", t.Name, e.Name)
		}
		cell[i] = emitters.Emitter{Name: e.Name, Full: light.Scale(e.Lumens / float64(m.Cells) / light.Y)}
	}
	c, err := emitters.NewCell(cell)
	if err != nil {
		return nil, fmt.Errorf("lamp type %q, mode %q: %w", t.Name, m.Name, err)
	}
	return c, nil
}
