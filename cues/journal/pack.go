package journal

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"time"

	"linkboy/cues/take"
)

// takeHead is what the table of takes keeps as one text.
type takeHead struct {
	Show     string         `json:"show"`
	Camera   take.Camera    `json:"camera"`
	Tempo    take.Tempo     `json:"tempo"`
	From     take.Timecode  `json:"from"`
	To       take.Timecode  `json:"to"`
	Warnings []string       `json:"warnings"`
	Readings []take.Reading `json:"readings"`
	Zone     int            `json:"zone"` // seconds east of UTC, at roll
}

func headOf(t *take.Take) takeHead {
	_, zone := t.Rolled.Zone()
	return takeHead{t.Show, t.Camera, t.Tempo, t.From, t.To, t.Warnings, t.Readings, zone}
}

func (h *takeHead) give(t *take.Take) {
	t.Show, t.Camera, t.Tempo, t.From, t.To, t.Warnings, t.Readings = h.Show, h.Camera, h.Tempo, h.From, h.To, h.Warnings, h.Readings
	zone := time.FixedZone("", h.Zone)
	t.Rolled = t.Rolled.In(zone)
	if !t.Cut.IsZero() {
		t.Cut = t.Cut.In(zone)
	}
	if t.Warnings == nil {
		t.Warnings = []string{}
	}
	if t.Readings == nil {
		t.Readings = []take.Reading{}
	}
}

// rigLamp is a lamp in a list of lamps: what does not change from event to event.
type rigLamp struct {
	Kit     string `json:"kit"`
	Rig     string `json:"rig"`
	Type    string `json:"type"`
	Mode    string `json:"mode"`
	Address string `json:"address"`
	Print   string `json:"print"`
	Bytes   int    `json:"bytes"`
	Cells   int    `json:"cells"`
}

// packedEvent is an event in the columns of its table.
type packedEvent struct {
	head, rig string
	digest    []byte // of rig
	bytes     []byte
	light     []byte
}

// valueBytes is what one float of a cell's light takes.
const valueBytes = 4

func pack(e *take.Event) (packedEvent, error) {
	bare := *e
	bare.Lamps = nil
	head, err := json.Marshal(bare)
	if err != nil {
		return packedEvent{}, err
	}
	p := packedEvent{head: string(head)}
	rig := make([]rigLamp, len(e.Lamps))
	for i := range e.Lamps {
		l := &e.Lamps[i]
		rig[i] = rigLamp{l.Kit, l.Rig, l.Type, l.Mode, l.Address, l.Print, len(l.Bytes), len(l.Cells)}
		p.bytes = append(p.bytes, l.Bytes...)
		for _, c := range l.Cells {
			for _, v := range c {
				p.light = binary.LittleEndian.AppendUint32(p.light, math.Float32bits(v))
			}
		}
	}
	text, err := json.Marshal(rig)
	if err != nil {
		return packedEvent{}, err
	}
	sum := sha256.Sum256(text)
	p.rig, p.digest = string(text), sum[:]
	if p.bytes == nil {
		p.bytes = []byte{}
	}
	if p.light == nil {
		p.light = []byte{}
	}
	return p, nil
}

// unpack is the way back. The error says what does not fit.
func unpack(n int, at int64, p *packedEvent) (take.Event, error) {
	var e take.Event
	if err := json.Unmarshal([]byte(p.head), &e); err != nil {
		return e, fmt.Errorf("event %d: %w", n, err)
	}
	e.N, e.At = n, time.Unix(0, at).In(e.At.Location())
	var rig []rigLamp
	if err := json.Unmarshal([]byte(p.rig), &rig); err != nil {
		return e, fmt.Errorf("event %d: its lamps: %w", n, err)
	}
	bytes, light := p.bytes, p.light
	e.Lamps = make([]take.Lamp, len(rig))
	for i, l := range rig {
		if l.Bytes < 0 || l.Cells < 0 || l.Bytes > len(bytes) || l.Cells > len(light)/(3*valueBytes) {
			return e, fmt.Errorf("event %d: lamp %s has more bytes than were kept", n, l.Rig)
		}
		lamp := take.Lamp{Kit: l.Kit, Rig: l.Rig, Type: l.Type, Mode: l.Mode, Address: l.Address, Print: l.Print,
			Bytes: bytes[:l.Bytes:l.Bytes], Cells: make([][3]float32, l.Cells)}
		bytes = bytes[l.Bytes:]
		for c := range lamp.Cells {
			for k := range lamp.Cells[c] {
				lamp.Cells[c][k] = math.Float32frombits(binary.LittleEndian.Uint32(light))
				light = light[valueBytes:]
			}
		}
		e.Lamps[i] = lamp
	}
	return e, nil
}
