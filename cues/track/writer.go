package track

import (
	"encoding/binary"
	"math"
)

// Writer renders states of one layout into a frame of its own, as
// [Layout.WriteFloor] does, byte for byte, and several times as fast: what can
// be known of the layout is worked out once, and a value that is as it was is
// not written again. It belongs to one goroutine.
type Writer struct {
	layout *Layout
	frame  [][]byte
	runs   []slotRun
	floor  []lifted // floor cells that can be lifted
	wrote  []uint32 // bits of what the bytes show, before its dimmer curve
}

// slotRun is a run of slots that lie one after the other on the wire, all of
// one kind.
type slotRun struct {
	first, n int
	wide     bool
	param    bool
	table    []float32 // the dimmer curve, see padded; nil is the identity
	bytes    []byte    // theirs, n or 2n of them
}

// lifted is a floor cell with what its mix gives.
type lifted struct {
	cell *FloorCell
	mix  float32
}

// unknown are the bits of no value (of one of the many things that are no
// number), so that what it stands for is written.
const unknown = 0xFFC0FFEE

// one is the bits of 1. Those of the numbers from 0 to 1 rise with them up to it; what
// lies above are greater ones, ones below 0 and what is no number.
const one = 0x3F800000

// NewWriter makes a Writer. Neither l nor its parts may be changed from then on.
func NewWriter(l *Layout) *Writer {
	w := &Writer{layout: l, frame: l.NewFrame(), wrote: make([]uint32, len(l.Slots))}
	for i := range w.wrote {
		w.wrote[i] = unknown
	}
	tables := make([][]float32, len(l.Curves))
	for i, c := range l.Curves {
		tables[i] = c.padded()
	}
	for i := 0; i < len(l.Slots); {
		n := l.together(i)
		s := &l.Slots[i]
		at := int(s.Offset)
		w.runs = append(w.runs, slotRun{
			first: i, n: n, wide: s.Wide, param: s.Param, table: tables[s.Curve],
			bytes: w.frame[s.Universe][at : at+n*s.size()],
		})
		i += n
	}
	for i := range l.Floor {
		c, mix := &l.Floor[i], float32(0)
		for k := range c.N {
			mix += float32(c.Weight[k] * c.Drive[k])
		}
		if mix != 0 {
			w.floor = append(w.floor, lifted{c, mix})
		}
	}
	return w
}

func (s *Slot) size() int {
	if s.Wide {
		return 2
	}
	return 1
}

// padded is the table with its last entry twice, so that each entry has one
// after it. (Entries with their rises beside them would not fit the first cache.)
func (c Curve) padded() []float32 {
	if c.Table == nil {
		return nil
	}
	n := len(c.Table)
	return append(c.Table[:n:n], c.Table[n-1])
}

// together is how many slots from one on make a run.
func (l *Layout) together(first int) int {
	s := &l.Slots[first]
	n := 1
	for first+n < len(l.Slots) {
		o := &l.Slots[first+n]
		if o.Universe != s.Universe || o.Wide != s.Wide || o.Param != s.Param || o.Curve != s.Curve ||
			int(o.Offset) != int(s.Offset)+n*s.size() {
			break
		}
		n++
	}
	return n
}

// Frame is what was written last; it is the Writer's, and nobody else may
// change it.
func (w *Writer) Frame() [][]byte { return w.frame }

// Write renders a state, see [Layout.WriteFloor]. It does not allocate.
func (w *Writer) Write(s Still, overall, floor float32) {
	overall, floor = clamp(overall), clamp(floor)
	s = s[:len(w.wrote)]
	for i := range w.runs {
		r := &w.runs[i]
		level := overall
		if r.param {
			level = 1
		}
		now, was := s[r.first:r.first+r.n], w.wrote[r.first:r.first+r.n]
		switch {
		case r.wide && r.table == nil:
			r.wide16(now, was, level)
		case r.wide:
			r.curved16(now, was, level)
		case r.table == nil:
			r.narrow8(now, was, level)
		default:
			r.curved8(now, was, level)
		}
	}
	if floor != 0 {
		for i := range w.floor {
			w.lift(&w.floor[i], s, overall, floor)
		}
	}
}

// lift writes the slots of a floor cell again where it gives too little.
func (w *Writer) lift(f *lifted, s Still, overall, floor float32) {
	c := f.cell
	values := s[c.First : c.First+c.N]
	has := float32(0)
	for i, v := range values {
		has += float32(c.Weight[i&7] * clamp(v*overall))
	}
	missing := float32(c.Least*floor) - has
	if !(missing > 0) {
		return
	}
	more := missing / f.mix
	for i, v := range values {
		if d := c.Drive[i&7]; d != 0 {
			at := int(c.First) + i
			w.layout.put(&w.layout.Slots[at], float32(v*overall)+float32(d*more), w.frame)
			w.wrote[at] = unknown
		}
	}
}

// What follows is one loop four times over: to choose within it would cost more
// than the work itself.

func (r *slotRun) wide16(now []float32, was []uint32, level float32) {
	was, out := was[:len(now)], r.bytes
	for i, v := range now {
		v *= level
		bits := math.Float32bits(v)
		if bits == was[i] {
			continue
		}
		was[i] = bits
		if bits > one {
			v = clamp(v)
		}
		binary.BigEndian.PutUint16(out[2*i:], wide(v))
	}
}

func (r *slotRun) curved16(now []float32, was []uint32, level float32) {
	was, out, table := was[:len(now)], r.bytes, r.table
	for i, v := range now {
		v *= level
		bits := math.Float32bits(v)
		if bits == was[i] {
			continue
		}
		was[i] = bits
		if bits > one {
			v = clamp(v)
		}
		binary.BigEndian.PutUint16(out[2*i:], wide(bend(table, v)))
	}
}

func (r *slotRun) narrow8(now []float32, was []uint32, level float32) {
	was, out := was[:len(now)], r.bytes[:len(now)]
	for i, v := range now {
		v *= level
		bits := math.Float32bits(v)
		if bits == was[i] {
			continue
		}
		was[i] = bits
		if bits > one {
			v = clamp(v)
		}
		out[i] = narrow(v)
	}
}

func (r *slotRun) curved8(now []float32, was []uint32, level float32) {
	was, out, table := was[:len(now)], r.bytes[:len(now)], r.table
	for i, v := range now {
		v *= level
		bits := math.Float32bits(v)
		if bits == was[i] {
			continue
		}
		was[i] = bits
		if bits > one {
			v = clamp(v)
		}
		out[i] = narrow(bend(table, v))
	}
}

// bend is lookup in a padded table.
func bend(table []float32, light float32) float32 {
	at := float32(float32(math.Sqrt(float64(light))) * float32(len(table)-2))
	i := int(at)
	pair := table[i : i+2]
	return pair[0] + float32((pair[1]-pair[0])*(at-float32(i)))
}

// wide and narrow round half up: the product of a 24-bit and a 16-bit number is
// exact in 64 bits.
func wide(v float32) uint16  { return uint16(int32(float64(v)*0xFFFF + 0.5)) }
func narrow(v float32) uint8 { return uint8(int32(float64(v)*0xFF + 0.5)) }
