package track

// At writes the state of the fade at a progress into dst, which has one value
// for each slot. At 0 and below it is From, at 1 and above To, bit for bit. In
// between every slot of a move is on its way from From through the knots of the
// move to To, and every slot in no move is at To. It does not allocate.
//
// A move's knots may leave out its two ends: From stands at time 0 and To at
// time 1 whether the knots say so or not.
func (f *Fade) At(progress float64, dst Still) {
	switch {
	case !(progress > 0): // NaN too
		copy(dst, f.From)
	case progress >= 1:
		copy(dst, f.To)
	default:
		copy(dst, f.To)
		f.run(progress, nil, dst)
	}
}

// AtFrom is At for a fade that begins in a state other than From: what start
// differs from From is added and fades out along each slot's own move, so that
// nothing jumps. A slot that moves straight goes exactly as a fade from start
// would; a slot in no move that From and To leave alone goes straight from
// start to To over the whole fade; a slot in no move that From and To differ in
// goes to To at once, as it does in At. Values stay within 0..1.
func (f *Fade) AtFrom(progress float64, start, dst Still) {
	switch {
	case !(progress > 0):
		copy(dst, start)
	case progress >= 1:
		copy(dst, f.To)
	default:
		f.rest(progress, start, dst)
		f.run(progress, start, dst)
	}
}

// rest writes the slots in no move; where the moves are in no order, all of
// them, for run to write over.
func (f *Fade) rest(progress float64, start, dst Still) {
	if !f.ascend() {
		f.gap(0, len(f.To), progress, start, dst)
		return
	}
	end := 0
	for i := range f.Moves {
		m := &f.Moves[i]
		f.gap(end, int(m.First), progress, start, dst)
		end = int(m.First + m.N)
	}
	f.gap(end, len(f.To), progress, start, dst)
}

func (f *Fade) gap(from, end int, progress float64, start, dst Still) {
	for i := from; i < end; i++ {
		to := f.To[i]
		if f.From[i] == to {
			to = lerp(start[i], to, progress)
		}
		dst[i] = to
	}
}

// ascend says whether the moves are in the order of their slots and do not
// overlap.
func (f *Fade) ascend() bool {
	end := int32(0)
	for i := range f.Moves {
		if f.Moves[i].First < end {
			return false
		}
		end = f.Moves[i].First + f.Moves[i].N
	}
	return true
}

// way is where a move is: its ease, and the two knots it is between.
type way struct {
	done float64 // share of the way, eased: 0..1
	seg  int     // the segment: from knot seg-1 to knot seg; 0 leaves From
	part float64 // share of the segment, 0..1
}

// run writes the slots of all moves, for a progress within 0..1.
func (f *Fade) run(progress float64, start, dst Still) {
	var w way
	var last *Move
	for i := range f.Moves {
		m := &f.Moves[i]
		// Cells that move together come one after the other: their way is the same.
		if last == nil || !m.sameWay(last) {
			w = f.way(m, progress)
			last = m
		}
		switch {
		case w.done >= 1:
			copy(dst[m.First:m.First+m.N], f.To[m.First:m.First+m.N])
		case w.done <= 0:
			from := f.From
			if start != nil {
				from = start
			}
			copy(dst[m.First:m.First+m.N], from[m.First:m.First+m.N])
		default:
			f.between(m, w, dst)
			if start != nil {
				f.blend(m, w.done, start, dst)
			}
		}
	}
}

func (m *Move) sameWay(o *Move) bool {
	return m.Start == o.Start && m.Length == o.Length && m.Curve == o.Curve && m.Knots == o.Knots && m.TimeAt == o.TimeAt
}

// way finds where a move is at a progress within 0..1.
func (f *Fade) way(m *Move, progress float64) way {
	start := float64(m.Start)
	if progress <= start {
		return way{}
	}
	if progress >= start+float64(m.Length) {
		return way{done: 1}
	}
	t := m.Curve.At((progress - start) / float64(m.Length))
	times := f.Times[m.TimeAt : m.TimeAt+m.Knots]
	lo, hi := 0, len(times) // the first knot after t
	for lo < hi {
		if mid := int(uint(lo+hi) >> 1); float64(times[mid]) <= t {
			lo = mid + 1
		} else {
			hi = mid
		}
	}
	before, after := 0.0, 1.0
	if lo > 0 {
		before = float64(times[lo-1])
	}
	if lo < len(times) {
		after = float64(times[lo])
	}
	w := way{done: t, seg: lo, part: 1}
	if after > before {
		w.part = (t - before) / (after - before)
	}
	return w
}

// between writes the slots of a move that is under way.
func (f *Fade) between(m *Move, w way, dst Still) {
	n := int(m.N)
	at := int(m.ValueAt) + (w.seg-1)*n
	a, b := f.From[m.First:m.First+m.N], f.To[m.First:m.First+m.N]
	if w.seg > 0 {
		a = f.Values[at : at+n]
	}
	if w.seg < int(m.Knots) {
		b = f.Values[at+n : at+2*n]
	}
	out := dst[m.First : m.First+m.N]
	b = b[:len(out)]
	for i, v := range a[:len(out)] {
		out[i] = lerp(v, b[i], w.part)
	}
}

// blend adds what is left of the difference between start and From.
func (f *Fade) blend(m *Move, done float64, start, dst Still) {
	out := dst[m.First : m.First+m.N]
	now, from := start[m.First:m.First+m.N], f.From[m.First:m.First+m.N]
	now, from = now[:len(out)], from[:len(out)]
	left := float32(1 - done)
	for i, v := range out {
		out[i] = clamp(v + (now[i]-from[i])*left)
	}
}

// lerp is worked in 64 bits so that the way from a to b never passes b.
func lerp(a, b float32, t float64) float32 {
	return float32(float64(a) + (float64(b)-float64(a))*t)
}
