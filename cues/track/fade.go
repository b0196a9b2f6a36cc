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
		f.run(progress, start, dst)
	}
}

// rest writes slots that no move covers.
func (f *Fade) rest(from, end int, progress float64, start, dst Still) {
	if from >= end {
		return
	}
	out, to := dst[from:end], f.To[from:end]
	if start == nil {
		copy(out, to)
		return
	}
	was, now := f.From[from:end][:len(out)], start[from:end][:len(out)]
	to = to[:len(out)]
	for i := range out {
		v := to[i]
		if was[i] == v {
			v = lerp(now[i], v, progress)
		}
		out[i] = v
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
	done  float64 // share of the way, eased: 0..1
	seg   int     // the segment: from knot seg-1 to knot seg; 0 leaves From
	part  float64 // share of the segment, 0..1
	inner bool    // under way, between two knots of its own
}

// run writes every slot, for a progress within 0..1; start is nil for From.
func (f *Fade) run(progress float64, start, dst Still) {
	var w way
	var last *Move
	end := 0 // slots before it are written
	for i := range f.Moves {
		m := &f.Moves[i]
		switch first := int(m.First); {
		case first < end: // in no order: the slots between moves are not known here
			f.unordered(progress, start, dst)
			return
		case first > end:
			f.rest(end, first, progress, start, dst)
		}
		end = int(m.First + m.N)
		// Cells that move together come one after the other: their way is the same.
		if last == nil || !m.sameWay(last) {
			w = f.way(m, progress)
			last = m
		}
		switch {
		case !w.inner:
			f.move(m, &w, start, dst)
		case start == nil:
			n, at := int(m.N), int(m.ValueAt)+(w.seg-1)*int(m.N)
			pass(dst[m.First:end], f.Values[at:at+2*n], w.part)
		default:
			f.betweenFrom(m, &w, start, dst)
		}
	}
	f.rest(end, len(f.To), progress, start, dst)
}

// unordered is run for moves in any order.
func (f *Fade) unordered(progress float64, start, dst Still) {
	f.rest(0, len(f.To), progress, start, dst)
	for i := range f.Moves {
		w := f.way(&f.Moves[i], progress)
		f.move(&f.Moves[i], &w, start, dst)
	}
}

// move writes the slots of one move.
func (f *Fade) move(m *Move, w *way, start, dst Still) {
	switch {
	case w.done >= 1:
		copy(dst[m.First:m.First+m.N], f.To[m.First:m.First+m.N])
	case w.done <= 0:
		from := f.From
		if start != nil {
			from = start
		}
		copy(dst[m.First:m.First+m.N], from[m.First:m.First+m.N])
	case start == nil:
		f.between(m, w, dst)
	default:
		f.betweenFrom(m, w, start, dst)
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
	w := way{done: t, seg: lo, part: 1, inner: t > 0 && t < 1 && lo > 0 && lo < len(times)}
	if after > before {
		w.part = (t - before) / (after - before)
	}
	return w
}

// ends gives the knots before and after where a move is.
func (f *Fade) ends(m *Move, w *way) (a, b []float32) {
	n := int(m.N)
	at := int(m.ValueAt) + (w.seg-1)*n
	if w.inner {
		pair := f.Values[at : at+2*n]
		return pair[:n], pair[n:]
	}
	a, b = f.From[m.First:m.First+m.N], f.To[m.First:m.First+m.N]
	if w.seg > 0 {
		a = f.Values[at : at+n]
	}
	if w.seg < int(m.Knots) {
		b = f.Values[at+n : at+2*n]
	}
	return a, b
}

// pass writes slots between two knots that lie one after the other. It is apart
// from between as most cells are here most of the time, and a call costs as much
// as a cell.
func pass(out Still, pair []float32, part float64) {
	a, b := pair[:len(out)], pair[len(out):]
	b = b[:len(out)]
	for i := range out {
		out[i] = lerp(a[i], b[i], part)
	}
}

// between writes the slots of a move that is under way.
func (f *Fade) between(m *Move, w *way, dst Still) {
	a, b := f.ends(m, w)
	out := dst[m.First : m.First+m.N]
	a, b = a[:len(out)], b[:len(out)]
	for i := range out {
		out[i] = lerp(a[i], b[i], w.part)
	}
}

// betweenFrom is between with what is left of the difference between start and
// From added.
func (f *Fade) betweenFrom(m *Move, w *way, start, dst Still) {
	a, b := f.ends(m, w)
	out := dst[m.First : m.First+m.N]
	now, from := start[m.First:][:len(out)], f.From[m.First:][:len(out)]
	a, b = a[:len(out)], b[:len(out)]
	part, left := w.part, float32(1-w.done)
	for i := range out {
		out[i] = clamp(lerp(a[i], b[i], part) + float32((now[i]-from[i])*left))
	}
}

// lerp is worked in 64 bits so that the way from a to b never passes b. A
// product in a conversion of its own is rounded before it is added to, on
// machines too that could do both at once: bytes are the same on all.
func lerp(a, b float32, t float64) float32 {
	return float32(float64(a) + float64((float64(b)-float64(a))*t))
}
