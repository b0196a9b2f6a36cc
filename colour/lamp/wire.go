package lamp

import (
	"math"

	"linkboy/colour/emitters"
)

// Full control of a channel of 8 and of 16 bits.
const (
	full8  = 1<<8 - 1
	full16 = 1<<16 - 1
)

// Encode writes the bytes that make a lamp of type t in mode m show drives, one
// entry a mode cell, into dst[:m.Footprint]. Drives go through the inverse of the
// dimmer curve and are rounded to the channel's bits; missing cells are dark. A
// parameter takes its value from params, by name and in its unit, or its safe one.
// Slots of no channel are 0. It panics when dst is shorter than the footprint.
// No allocation.
func (m *Mode) Encode(t *Type, drives []emitters.Drives, params map[string]float64, dst []byte) {
	dst = dst[:m.Footprint:len(dst)] // the capacity beyond belongs to others
	clear(dst)
	curve := m.curve()
	for i := range m.Channels {
		ch := &m.Channels[i]
		switch {
		case ch.Param != nil:
			v, set := params[ch.Param.Name]
			if !set {
				v = ch.Param.Safe
			}
			ch.put(dst, ch.Param.Share(v))
		case ch.lights(t, len(drives)):
			ch.put(dst, curve.Control(drives[ch.Cell][ch.Emitter]))
		}
	}
}

// Decode reads the drives of every mode cell from the bytes of a lamp of type t in
// mode m, src[:m.Footprint], through the dimmer curve: the truth of the wire. A dimmer
// parameter scales all of them by its share. Slots past the end of src count as 0;
// entries of drives past the mode's cells are left dark. No allocation.
func (m *Mode) Decode(t *Type, src []byte, drives []emitters.Drives) {
	clear(drives)
	curve, dim := m.curve(), m.dimmer(src)
	for i := range m.Channels {
		ch := &m.Channels[i]
		if ch.Param == nil && ch.lights(t, len(drives)) {
			drives[ch.Cell][ch.Emitter] = dim * curve.Light(ch.get(src))
		}
	}
}

// curve returns the mode's dimmer curve; Validate tells of an unknown one, which
// counts as linear here.
func (m *Mode) curve() emitters.Curve {
	c, err := emitters.CurveByName(string(m.Curve))
	if err != nil {
		c, _ = emitters.CurveByName(emitters.LinearName)
	}
	return c
}

// dimmer returns the share of light that the mode's dimmer lets through, 1 without one.
func (m *Mode) dimmer(src []byte) float64 {
	for i := range m.Channels {
		if ch := &m.Channels[i]; ch.Param != nil && ch.Param.Name == Dimmer {
			return ch.get(src)
		}
	}
	return 1
}

// lights tells whether c drives an emitter that the type and the caller's cells have.
func (c *Channel) lights(t *Type, cells int) bool {
	return c.Cell >= 0 && c.Cell < cells && c.Emitter >= 0 && c.Emitter < len(t.Emitters) && c.Emitter < emitters.Max
}

// put writes a control 0..1, rounded to the nearest value of the channel's bits.
func (c *Channel) put(dst []byte, control float64) {
	if c.Bits == 16 {
		v := uint16(math.Round(control * full16))
		dst[c.Offset], dst[c.Offset+1] = byte(v>>8), byte(v)
		return
	}
	dst[c.Offset] = byte(math.Round(control * full8))
}

// get reads the control 0..1 that the channel's bytes stand for.
func (c *Channel) get(src []byte) float64 {
	if c.Bits == 16 {
		return float64(uint16(slot(src, c.Offset))<<8|uint16(slot(src, c.Offset+1))) / full16
	}
	return float64(slot(src, c.Offset)) / full8
}

// slot returns src[i], or 0 when src does not reach that far.
func slot(src []byte, i int) byte {
	if i < 0 || i >= len(src) {
		return 0
	}
	return src[i]
}
