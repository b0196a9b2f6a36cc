package emitters

import "math"

// held is the set of drives that a program holds at a bound while it works.
type held struct {
	n      int
	at     [Max]int
	side   row   // of each: +1 held at 0, -1 held at 1
	push   row   // of each: its multiplier times side, 0 or more
	factor lower // Cholesky factor of give between them
}

// Limits of the arithmetic.
const (
	// broken: how far beyond its bound a drive must be to be held there, as a share of
	// the largest drive of the free mix.
	broken = 1e-12
	// stiff: below this share of its own give, a drive cannot move any more for the
	// drives held already.
	stiff = 1e-11
	// mostSteps bounds the work. Cells of 8 emitters take about ten.
	mostSteps = 100
)

// solve returns the best mix, and the push of each bound: 0 or more for a drive at 0,
// 0 or less for one at 1. It does not allocate. Should rounding stop it short, the mix
// it has is taken as far as the bounds allow, on the way to it from start: light that
// is right, if not the very best of it.
func (p *program) solve(start, pull *row) (mix, push row) {
	free := p.free(start, pull)
	mix = free
	slack := 1.0
	for _, v := range free {
		slack = max(slack, math.Abs(v))
	}
	slack *= broken
	var h held
	for steps := 0; steps < mostSteps; {
		i, side, by := p.worst(&mix, &h, slack)
		if by == 0 {
			break
		}
		n := h.take(p, &mix, i, side, by)
		if n == 0 {
			break
		}
		steps += n
	}
	h.settle(p, &free, &mix, &push)
	p.bound(start, &mix)
	return mix, push
}

// free returns the best mix when drives need not stay in 0..1.
func (p *program) free(start, pull *row) row {
	var slope row
	for i := range p.n {
		s := -pull[i]
		for j := range p.n {
			s += p.cost[i][j] * start[j]
		}
		slope[i] = s
	}
	mix := *start
	for i := range p.n {
		for j := range p.n {
			mix[i] -= p.give[i][j] * slope[j]
		}
	}
	return mix
}

// worst returns the drive furthest beyond a bound, its side, and by how much; 0 when
// all are within slack. Drives held already do not count.
func (p *program) worst(mix *row, h *held, slack float64) (at int, side, by float64) {
	by = slack
	for i := range p.n {
		if -mix[i] > by && !h.has(i) {
			at, side, by = i, 1, -mix[i]
		} else if mix[i]-1 > by && !h.has(i) {
			at, side, by = i, -1, mix[i]-1
		}
	}
	if side == 0 {
		return 0, 0, 0
	}
	return at, side, by
}

func (h *held) has(i int) bool {
	for k := range h.n {
		if h.at[k] == i {
			return true
		}
	}
	return false
}

// take pushes drive i back to its bound, by which it is beyond it, and holds it there; it
// lets go of drives whose push falls to 0 on the way. It returns the steps this took,
// 0 when drive i cannot move: then it is beyond its bound by rounding alone.
func (h *held) take(p *program, mix *row, i int, side, by float64) (steps int) {
	pushed := 0.0
	for {
		var left row // give between i and those held, then factor⁻¹ of that
		for k := range h.n {
			left[k] = p.give[h.at[k]][i]
		}
		next := h.factor
		movable := next.extend(&left, h.n, p.give[i][i], stiff*p.give[i][i])
		answer := left // how the pushes of those held answer to a push of i
		h.factor.back(&answer, h.n)

		step, loose := math.Inf(1), -1
		if movable {
			give := next[h.n][h.n] * next[h.n][h.n]
			step = by / give
		}
		for k := range h.n {
			if fall := h.side[k] * answer[k] * side; fall > 0 && h.push[k] < step*fall {
				step, loose = h.push[k]/fall, k
			}
		}
		if math.IsInf(step, 1) {
			return 0
		}
		steps++
		pushed += step
		h.move(p, mix, i, side*step, &answer, movable)
		if loose < 0 {
			h.at[h.n], h.side[h.n], h.push[h.n] = i, side, pushed
			h.factor = next
			h.n++
			return steps
		}
		h.drop(p, loose)
		if by = max(-side*(mix[i]-(1-side)/2), 0); by == 0 && !movable {
			return steps
		}
	}
}

// move pushes drive i by amount, and those held so that they stay.
func (h *held) move(p *program, mix *row, i int, amount float64, answer *row, movable bool) {
	for k := range h.n {
		h.push[k] -= h.side[k] * answer[k] * amount
	}
	if !movable {
		return
	}
	for j := range p.n {
		by := p.give[j][i]
		for k := range h.n {
			by -= p.give[j][h.at[k]] * answer[k]
		}
		mix[j] += by * amount
	}
}

// drop lets go of the k-th drive held.
func (h *held) drop(p *program, k int) {
	h.n--
	copy(h.at[k:], h.at[k+1:h.n+1])
	copy(h.side[k:], h.side[k+1:h.n+1])
	copy(h.push[k:], h.push[k+1:h.n+1])
	for i := k; i < h.n; i++ {
		var r row
		for j := range i {
			r[j] = p.give[h.at[i]][h.at[j]]
		}
		h.factor.extend(&r, i, p.give[h.at[i]][h.at[i]], 0)
	}
}

// settle works mix and push out anew from the drives held, without the roundings of
// the way there.
func (h *held) settle(p *program, free, mix, push *row) {
	var need row
	for k, i := range h.at[:h.n] {
		need[k] = (1-h.side[k])/2 - free[i]
	}
	h.factor.forward(&need, h.n)
	h.factor.back(&need, h.n)
	*mix = *free
	for k, i := range h.at[:h.n] {
		push[i] = need[k]
		for j := range p.n {
			mix[j] += p.give[j][i] * need[k]
		}
	}
	for k, i := range h.at[:h.n] {
		mix[i] = (1 - h.side[k]) / 2
	}
}

// bound brings mix into 0..1. What rounding left outside is cut off; were it more, mix is
// drawn towards start, which changes no measure that must be kept.
func (p *program) bound(start, mix *row) {
	share := 1.0
	for i := range p.n {
		switch {
		case !(math.Abs(mix[i]) <= math.MaxFloat64):
			share = 0
		case mix[i] < -outside:
			share = min(share, start[i]/(start[i]-mix[i]))
		case mix[i] > 1+outside:
			share = min(share, (1-start[i])/(mix[i]-start[i]))
		}
	}
	for i := range p.n {
		v := start[i]
		if share == 1 {
			v = mix[i]
		} else if share > 0 {
			v += share * (mix[i] - start[i])
		}
		mix[i] = min(max(v, 0), 1)
	}
}
