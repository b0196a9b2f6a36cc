package track_test

import (
	"math/rand/v2"
	"sort"
	"time"

	"linkboy/cues/track"
)

// universes makes a layout that fills n universes of 512 with cells of five
// 8-bit emitters (or two 16-bit ones and one of 8 bits), each slot on one of the
// curves, every fourth cell with floor light.
func universes(n int, wide bool, curves []track.Curve) *track.Layout {
	l := &track.Layout{Curves: curves}
	size := int32(1)
	if wide {
		size = 2
	}
	for u := range n {
		l.Universes = append(l.Universes, track.Universe{Address: uint16(u), Base: make([]byte, 512)})
		for at := int32(0); at+size <= 512; at += size {
			l.Slots = append(l.Slots, track.Slot{Universe: int32(u), Offset: at, Wide: wide, Curve: int32(len(l.Slots) % len(curves))})
		}
	}
	for i := 0; i+5 <= len(l.Slots); i += 20 {
		l.Floor = append(l.Floor, track.FloorCell{First: int32(i), N: 5, Least: 3,
			Weight: [8]float32{100, 200, 50, 300, 300}, Drive: [8]float32{0, 0, 0, 0.01, 0}})
	}
	return l
}

// randomStill draws values that are often exactly 0 or 1.
func randomStill(r *rand.Rand, n int) track.Still {
	s := make(track.Still, n)
	for i := range s {
		switch r.IntN(6) {
		case 0:
		case 1:
			s[i] = 1
		default:
			s[i] = r.Float32()
		}
	}
	return s
}

// randomFade draws a fade over n slots: most cells in a move, of any ease, with
// or without knots, spread over the time, some slots in no move.
func randomFade(r *rand.Rand, n int) *track.Fade {
	f := &track.Fade{From: randomStill(r, n), To: randomStill(r, n), Total: time.Duration(1 + r.Int64N(int64(time.Minute)))}
	for first := 0; first < n; {
		size := min(1+r.IntN(8), n-first)
		if r.IntN(5) > 0 {
			f.Moves = append(f.Moves, randomMove(r, f, first, size))
		} else if r.IntN(2) == 0 {
			copy(f.To[first:first+size], f.From[first:])
		}
		first += size
	}
	if r.IntN(2) == 0 {
		r.Shuffle(len(f.Moves), func(i, j int) { f.Moves[i], f.Moves[j] = f.Moves[j], f.Moves[i] })
	}
	return f
}

func randomMove(r *rand.Rand, f *track.Fade, first, size int) track.Move {
	start := r.Float32() * float32(r.IntN(2))
	m := track.Move{
		First: int32(first), N: int32(size),
		Start: start, Length: (1 - start) * r.Float32(),
		Curve:  track.Ease(r.IntN(4)),
		TimeAt: int32(len(f.Times)), ValueAt: int32(len(f.Values)),
	}
	for range r.IntN(4) * r.IntN(4) {
		m.Knots++
		f.Times = append(f.Times, r.Float32())
		for range size {
			f.Values = append(f.Values, r.Float32())
		}
	}
	if len(f.Moves) > 0 && r.IntN(2) == 0 { // as the move before, but for one thing
		before := f.Moves[len(f.Moves)-1]
		switch r.IntN(4) {
		case 0:
			m.Curve = before.Curve
			m.Length = before.Length * r.Float32()
			m.Start = before.Start
		case 1:
			m.Curve, m.Length = before.Curve, before.Length
			m.Start = before.Start * r.Float32()
		case 2:
			m.Start, m.Length = before.Start, before.Length
		case 3:
			m.Start, m.Length, m.Curve = before.Start, before.Length, before.Curve
		}
		if r.IntN(2) == 0 {
			f.Times, f.Values = f.Times[:m.TimeAt], f.Values[:m.ValueAt]
			m.TimeAt, m.Knots = before.TimeAt, before.Knots
			for range int(m.Knots) * size {
				f.Values = append(f.Values, r.Float32())
			}
			return m
		}
	}
	times := f.Times[m.TimeAt:]
	sort.Slice(times, func(i, j int) bool { return times[i] < times[j] })
	if m.Knots >= 2 && r.IntN(2) == 0 { // the ends as knots too, as a compiler would write them
		times[0], times[m.Knots-1] = 0, 1
		copy(f.Values[m.ValueAt:], f.From[first:first+size])
		copy(f.Values[int(m.ValueAt)+int(m.Knots-1)*size:], f.To[first:first+size])
	}
	return m
}
