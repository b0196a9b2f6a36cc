package lamp

// Spread is the name of the parameter, in degrees, that moves the lens of a lamp: its
// full beam angle. The photometry of the type holds at its safe value (Validate sees to
// that); its lumens are taken to be alike at all of them.
const Spread = "spread"

// Zoom returns the parameter that spreads the beam in mode m, nil where nothing does.
func (m *Mode) Zoom() *Param {
	if ch := m.zoom(); ch != nil {
		return ch.Param
	}
	return nil
}

func (m *Mode) zoom() *Channel {
	for i := range m.Channels {
		if p := m.Channels[i].Param; p != nil && p.spreads() {
			return &m.Channels[i]
		}
	}
	return nil
}

func (p *Param) spreads() bool { return p.Name == Spread && p.Unit == "deg" }

// SpreadDeg reads the beam angle, in degrees, from the bytes of a lamp in mode m as
// Decode does; 0 where nothing spreads its beam. No allocation.
func (m *Mode) SpreadDeg(src []byte) float64 {
	ch := m.zoom()
	if ch == nil {
		return 0
	}
	return ch.Param.Value(ch.get(src))
}

// Sent returns the value that the lamp makes of a control 0..1, which is rounded to the
// channel's bits on the way.
func (m *Mode) Sent(p *Param, control float64) float64 {
	for i := range m.Channels {
		if ch := &m.Channels[i]; ch.Param == p {
			var b [2]byte
			sent := Channel{Bits: ch.Bits}
			sent.put(b[:], control)
			return p.Value(sent.get(b[:]))
		}
	}
	return p.Value(control)
}
