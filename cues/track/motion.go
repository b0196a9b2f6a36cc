package track

import (
	"math/bits"
	"slices"
	"time"
)

// Whole is the value in a Source's table that stands for all of the way.
const Whole = 1 << 15

// MaxTable is the greatest number of entries of a Source's table.
const MaxTable = 1 << 16

// Motion is the moving part of a look: cells that go to and fro between the mix
// of the look's still, where they rest, and another one, the far end. Where each
// is follows from the time alone, in whole numbers: so that the same movement
// makes the same bytes each time, and on any machine.
type Motion struct {
	Sources []Source
	Cells   []Moving // those of one Source together are played fastest
	Times   []float32
	Values  []float32
	// Flashes is how often its light was counted to flash in its worst second.
	Flashes float64
}

// Source is what moves cells: a table that is gone through again and again.
type Source struct {
	Period time.Duration // in which the table is gone through once
	// Table has shares of the way, 0 at rest to Whole at the far end. Its length
	// is a power of two. Between entries the way is straight.
	Table []uint16
	Steps bool // each entry holds until the next
}

// Moving is a cell that moves. No slot is in two of them.
type Moving struct {
	First, N int32
	Source   int32  // index into Motion.Sources
	Phase    uint32 // how far ahead of the Source it is, in 2^-32 of its period
	Knots    int32  // between rest and the far end
	TimeAt   int32  // first index into Motion.Times: shares of the way, one a knot
	ValueAt  int32  // first index into Motion.Values: N of rest, of each knot, of the far end
}

// Cycle gives where in its period the source is at a time, in 2^-32 of it.
func (s *Source) Cycle(elapsed time.Duration) uint32 {
	if s.Period <= 0 || elapsed <= 0 {
		return 0
	}
	period := uint64(s.Period)
	rest := uint64(elapsed) % period
	cycle, _ := bits.Div64(rest>>32, rest<<32, period)
	return uint32(cycle)
}

// At gives the share of the way at a place in the period.
func (s *Source) At(cycle uint32) float64 {
	log := bits.TrailingZeros32(uint32(len(s.Table)))
	i := int(cycle >> (32 - log))
	a := int64(s.Table[i])
	if s.Steps {
		return float64(a) / Whole
	}
	b := int64(s.Table[(i+1)&(len(s.Table)-1)])
	part := int64(cycle << log >> 16)
	return float64(a<<16+(b-a)*part) / (Whole << 16) // exact: 32 bits by a power of two
}

// Apply adds the movement, so long after it began, to the state dst. Left is
// what of dst moves with nothing yet: dst itself at first, less what earlier
// calls have taken. Of each cell the share that amount has for its first slot
// moves, but no more than there is of its rest in left, nor than would lead over
// full: in a fade the movement comes and goes with the light of its look. Amount is left with the share that
// moved; nil is 1 for every cell. It does not allocate.
func (m *Motion) Apply(elapsed time.Duration, amount, left, dst Still) {
	last, cycle := int32(-1), uint32(0)
	var source *Source
	for i := range m.Cells {
		c := &m.Cells[i]
		if c.Source != last {
			last, source = c.Source, &m.Sources[c.Source]
			cycle = source.Cycle(elapsed)
		}
		way := source.At(cycle + c.Phase)
		a, b, part := m.between(c, way)
		n := int(c.N)
		rest := m.Values[c.ValueAt:][:n]
		has, out := left[c.First:][:n], dst[c.First:][:n]
		if (amount == nil || amount[c.First] == 1) && slices.Equal(has, rest) {
			for k := range out {
				out[k] += lerp(a[k], b[k], part) - rest[k]
				has[k] = 0
			}
			continue
		}
		share := float32(1)
		if amount != nil {
			share = amount[c.First]
		}
		for k, r := range rest {
			if r > 0 {
				share = min(share, has[k]/r)
			}
			if more := lerp(a[k], b[k], part) - r; more > 0 {
				share = min(share, (1-out[k])/more)
			}
		}
		share = max(share, 0)
		if amount != nil {
			amount[c.First] = share
		}
		for k := range out {
			has[k] -= float32(share * rest[k])
			out[k] += float32(share * (lerp(a[k], b[k], part) - rest[k]))
		}
	}
}

// between finds the mixes before and after a share of a cell's way, and the
// share of the way from one to the other.
func (m *Motion) between(c *Moving, way float64) (a, b []float32, part float64) {
	n, at := int(c.N), int(c.ValueAt)
	before, after := 0.0, 1.0
	for _, t := range m.Times[c.TimeAt:][:c.Knots] {
		if float64(t) > way {
			after = float64(t)
			break
		}
		before = float64(t)
		at += n
	}
	rows := m.Values[at:][:2*n]
	if after > before {
		part = (way - before) / (after - before)
	}
	return rows[:n], rows[n:], part
}

// Done writes how far every slot is on its way through the fade, 0..1, into
// dst. A slot in no move goes the way of Idle.
func (f *Fade) Done(progress float64, dst Still) {
	idle := float32(1)
	switch {
	case !(progress > 0):
		idle = 0
	case progress < 1:
		idle = float32(progress)
		if f.Idle.Length > 0 {
			idle = float32(f.way(&f.Idle, progress).done)
		}
	}
	for i := range dst {
		dst[i] = idle
	}
	if !(progress > 0) || progress >= 1 {
		return
	}
	var last *Move
	done := float32(0)
	for i := range f.Moves {
		m := &f.Moves[i]
		if last == nil || !m.sameWay(last) {
			done, last = float32(f.way(m, progress).done), m
		}
		for at := m.First; at < m.First+m.N; at++ {
			dst[at] = done
		}
	}
}

// At writes the state of the moving cells, so long after the movement began,
// into dst and leaves all other slots as they are. It does not allocate.
func (m *Motion) At(elapsed time.Duration, dst Still) {
	for i := range m.Cells {
		c := &m.Cells[i]
		source := &m.Sources[c.Source]
		a, b, part := m.between(c, source.At(source.Cycle(elapsed)+c.Phase))
		out := dst[c.First:][:c.N]
		for k := range out {
			out[k] = lerp(a[k], b[k], part)
		}
	}
}

// Only gives the motion with the cells from first to before end alone; it shares
// all else.
func (m *Motion) Only(first, end int) *Motion {
	only := *m
	only.Cells = m.Cells[first:end]
	return &only
}
