package lamp

// Dimmer is the name of the parameter that dims a whole lamp: its share scales the
// light of every cell. It stays at its safe value, which is full (Validate sees to
// that), as levels are carried by the emitter channels.
const Dimmer = "dimmer"

// Share returns the control 0..1 for a value in the parameter's unit, which is held
// to Min..Max; NaN counts as Safe.
func (p *Param) Share(value float64) float64 {
	if value != value {
		value = p.Safe
	}
	if !(p.Max > p.Min) {
		return 0
	}
	return min(max((value-p.Min)/(p.Max-p.Min), 0), 1)
}

// Value returns the value in the parameter's unit at a control 0..1, the inverse of Share.
func (p *Param) Value(share float64) float64 {
	return p.Min + (p.Max-p.Min)*min(max(share, 0), 1)
}

// Read gives the value of a parameter of mode m, in its unit, from the bytes of a lamp,
// as Decode does; Safe where the mode has no channel of it.
func (m *Mode) Read(p *Param, src []byte) float64 {
	for i := range m.Channels {
		if ch := &m.Channels[i]; ch.Param == p {
			return p.Value(ch.get(src))
		}
	}
	return p.Safe
}
