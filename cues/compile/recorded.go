package compile

import (
	"encoding/binary"
	"encoding/hex"
	"hash/fnv"
	"math"

	"linkboy/colour"
	"linkboy/colour/lamp"
	"linkboy/cues/take"
)

// Recorded gives what every lamp has: its bytes on the wire, as for Light, and the
// light that they make.
func (p *Place) Recorded(slots [][]byte) []take.Lamp {
	light := make([]colour.XYZ, len(p.Cells))
	p.Light(slots, light)
	prints := map[kindMode]string{}
	lamps := make([]take.Lamp, len(p.lamps))
	for i := range p.lamps {
		l := &p.lamps[i]
		key := kindMode{l.kind, l.mode}
		if prints[key] == "" {
			prints[key] = modePrint(l.kind, l.mode)
		}
		bytes := make([]byte, l.mode.Footprint)
		if l.universe < len(slots) && l.start < len(slots[l.universe]) {
			copy(bytes, slots[l.universe][l.start:])
		}
		cells := make([][3]float32, l.n)
		for k := range cells {
			c := light[l.first+k]
			cells[k] = [3]float32{float32(c.X), float32(c.Y), float32(c.Z)}
		}
		lamps[i] = take.Lamp{
			Kit: l.lamp.Lamp.ID, Rig: l.lamp.ID, Type: l.kind.Name, Mode: l.mode.Name,
			Address: l.lamp.Address.String(), Print: prints[key], Bytes: bytes, Cells: cells,
		}
	}
	return lamps
}

// modePrint is a digest of where the channels of a mode are and what each of them
// does: modes that share it read the same bytes alike.
func modePrint(t *lamp.Type, m *lamp.Mode) string {
	h := fnv.New64a()
	number := func(v int) { _ = binary.Write(h, binary.LittleEndian, int64(v)) }
	text := func(s string) { number(len(s)); _, _ = h.Write([]byte(s)) }
	text(string(m.Curve))
	number(m.Cells)
	number(m.Footprint)
	for _, c := range m.Channels {
		number(c.Offset)
		number(c.Bits)
		number(c.Cell)
		if c.Param != nil {
			text(c.Param.Name)
			number(int(math.Float64bits(c.Param.Min)))
			number(int(math.Float64bits(c.Param.Max)))
			continue
		}
		if c.Emitter >= 0 && c.Emitter < len(t.Emitters) {
			text(t.Emitters[c.Emitter].Name)
		}
	}
	return hex.EncodeToString(h.Sum(nil))
}
