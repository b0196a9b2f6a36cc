package compile

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"linkboy/colour/emitters"
	"linkboy/cues"
	"linkboy/cues/track"
)

// Fade compiles the change from one still to another, both of this place: from
// is whatever is on, also the middle of another fade. The ends of the fade are
// exactly from and to. Cells with the same emitters, start and end are solved
// once. The error is a *cues.Problem when the timing cannot be.
func (p *Place) Fade(from, to track.Still, c Timing) (*track.Fade, error) {
	if n := len(p.Layout.Slots); len(from) != n || len(to) != n {
		return nil, fmt.Errorf("fade at %s: stills of %d and %d slots, the layout has %d", p.Location.Name, len(from), len(to), n)
	}
	if err := p.check(c); err != nil {
		return nil, err
	}
	curve, err := ease(c.Curve)
	if err != nil {
		return nil, err
	}
	f := &track.Fade{From: slices.Clone(from), To: slices.Clone(to), Total: c.Total()}
	if f.Total == 0 {
		return f, nil
	}
	b := &builder{place: p, fade: f, timing: c, curve: curve}
	b.starts = p.starts(c)
	b.length = float32(float64(c.Fade) / float64(f.Total))
	f.Idle = track.Move{Start: float32(float64(c.Delay) / float64(f.Total)), Length: b.length, Curve: curve}
	b.cells()
	b.params()
	return f, nil
}

// starts gives, for every cell, the share of the total at which it starts.
func (p *Place) starts(c Timing) []float32 {
	total := float64(c.Total())
	starts := make([]float32, len(p.Cells))
	for i := range starts {
		starts[i] = float32(float64(c.Delay) / total)
	}
	if c.Spread == 0 {
		return starts
	}
	order := p.order(c.Along)
	for k, i := range slices.Backward(order) { // a cell named twice starts at its first turn
		starts[i] = float32((float64(c.Delay) + float64(c.Spread)*share(k, len(order)-1)) / total)
	}
	return starts
}

// builder puts the moves of one fade together.
type builder struct {
	place  *Place
	fade   *track.Fade
	timing Timing
	curve  track.Ease
	starts []float32
	length float32
}

// change is what one cell has to do; cells with the same change share its knots.
type change struct {
	mix      *emitters.Cell
	from, to [emitters.Max]uint32 // bits of the float32 drives, as they hash fast
}

// cells makes a move for every cell that changes.
func (b *builder) cells() {
	p, f := b.place, b.fade
	var changes []change
	index := map[change]int32{}
	which := make([]int32, 0, len(p.Cells)) // of each move
	for i := range p.Cells {
		c := &p.Cells[i]
		if !c.changes(f.From, f.To) {
			continue
		}
		ch := change{mix: c.mix}
		for k := range c.N {
			ch.from[k] = math.Float32bits(f.From[c.First+k])
			ch.to[k] = math.Float32bits(f.To[c.First+k])
		}
		at, known := index[ch]
		if !known {
			at = int32(len(changes))
			index[ch] = at
			changes = append(changes, ch)
		}
		which = append(which, at)
		f.Moves = append(f.Moves, track.Move{
			First: int32(c.First), N: int32(c.N), Start: b.starts[i], Length: b.length, Curve: b.curve,
		})
	}
	if b.timing.Path == cues.PathLight || b.timing.Fade == 0 {
		return // a move without knots is straight
	}
	b.pack(which, b.solve(changes))
}

func (c *Cell) changes(from, to track.Still) bool {
	for k := c.First; k < c.First+c.N; k++ {
		if from[k] != to[k] {
			return true
		}
	}
	return false
}

// knots are the points that a cell passes between its ends.
type knots struct {
	times  []float32
	values []float32 // one row of drives a knot
}

// solve finds the knots of every change, on several cores when there are many.
// Between changes every worker yields, so that the engine's frame, which may
// wait for this core, is late by one change at most (a fraction of a millisecond).
func (b *builder) solve(changes []change) []knots {
	out := make([]knots, len(changes))
	var next atomic.Int64
	work := func() {
		var w walker
		for {
			i := int(next.Add(1)) - 1
			if i >= len(changes) {
				return
			}
			out[i] = w.walk(&changes[i], b.timing.Path, b.place.Balance)
			runtime.Gosched()
		}
	}
	const perWorker = 4 // fewer are done before another core has woken up
	workers := min(runtime.GOMAXPROCS(0), 1+len(changes)/perWorker)
	var wait sync.WaitGroup
	for range workers - 1 {
		wait.Go(work)
	}
	work()
	wait.Wait()
	return out
}

// pack lays the knots into the fade, each change once, and points the moves at them.
func (b *builder) pack(which []int32, all []knots) {
	f := b.fade
	type place struct{ times, values int32 }
	at := make([]place, len(all))
	for i, k := range all {
		at[i] = place{int32(len(f.Times)), int32(len(f.Values))}
		f.Times = append(f.Times, k.times...)
		f.Values = append(f.Values, k.values...)
	}
	for i := range f.Moves {
		w := which[i]
		f.Moves[i].Knots = int32(len(all[w].times))
		f.Moves[i].TimeAt, f.Moves[i].ValueAt = at[w].times, at[w].values
	}
}

// params makes a move for every parameter that changes. It starts with the
// first of its lamp's cells and, when it is of a kind that cannot fade, takes
// its new value there.
func (b *builder) params() {
	f := b.fade
	for i := range b.place.lamps {
		l := &b.place.lamps[i]
		start := float32(float64(b.timing.Delay) / float64(f.Total))
		if l.n > 0 {
			start = slices.Min(b.starts[l.first : l.first+l.n])
		}
		for _, q := range l.params {
			if f.From[q.slot] == f.To[q.slot] {
				continue
			}
			m := track.Move{First: int32(q.slot), N: 1, Start: start, Curve: b.curve}
			if q.def.Fades {
				m.Length = b.length
			} else if start == 0 {
				continue // a slot in no move goes to its end at once
			}
			f.Moves = append(f.Moves, m)
		}
	}
}
