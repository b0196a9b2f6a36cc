package emitters

import "math"

// held is the set of drives that a program holds at a bound while it works.
type held struct {
	n    int
	at   [Max]int
	side row // of each: +1 held at 0, -1 held at 1
	push row // of each: its multiplier times side, 0 or more
	gap  row // of each: from the free amount to the bound

	// An orthonormal basis of how the drives held depend on the way: drive k is the sum
	// of depend[k][j]·basis[j], j up to k. along is the way to the bounds in that basis.
	basis  [Max]row
	depend [Max]row
	along  row
}

// Limits of the arithmetic.
const (
	// broken: how far beyond its bound a drive must be to be held there, as a share of the
	// largest amount of light. (The same at every level, so mixes scale with it.)
	broken = 4e-12
	// stiff: below this share of its own dependence on the way, a drive cannot move any
	// more for the drives held already.
	stiff = 1e-11
	// cut: how far outside, as a share of all light, rounding may leave one that
	// the others do not let move; it is cut off. Emitters a hair apart (1e-6) make 1e-9.
	cut = 1e-7
	// mostSteps bounds the work. Cells of 8 emitters take about ten.
	mostSteps = 100
)

// solve returns the best mix, and the push of each bound: 0 or more for a drive at 0,
// 0 or less for one at 1. It does not allocate. Should rounding stop it short, the mix
// it has is taken as far as the bounds allow, on the way to it from start: light that
// is right, if not the very best of it.
func (p *program) solve(start, pull *row) (mix, push row) {
	var from row
	for i := range p.n {
		from[i] = start[i] * p.light[i]
	}
	way := p.free(start, pull)
	free := p.after(&from, &way)
	amount, most, all := free, 0.0, 0.0
	for i, v := range free {
		most = max(most, math.Abs(v), from[i])
		all += from[i]
	}
	var h held
	skip := 0 // bit set of drives held, and of those that rounding alone puts outside
	for range mostSteps {
		i, side := p.worst(&amount, skip, broken*most)
		if i < 0 {
			break
		}
		if h.take(p, i, side, p.edge(i, side)-free[i]) {
			to := h.reach(&way)
			amount = p.after(&from, &to)
			skip = h.set()
		} else {
			skip |= 1 << i
		}
	}
	for k, i := range h.at[:h.n] {
		push[i] = h.side[k] * h.push[k] * p.light[i]
		if edge := p.edge(i, h.side[k]); math.Abs(amount[i]-edge) <= cut*all {
			amount[i] = edge
		}
	}
	p.bound(&from, &amount, cut*all)
	for i := range p.n {
		mix[i] = min(amount[i]/p.light[i], 1)
	}
	return mix, push
}

// edge returns the bound of an emitter's amount on a side: 0 for +1, all for -1.
func (p *program) edge(i int, side float64) float64 {
	if side > 0 {
		return 0
	}
	return p.light[i]
}

// free returns the way to the best mix when drives need not stay in 0..1.
func (p *program) free(start, pull *row) (way row) {
	for i := range p.n {
		slope := -pull[i]
		for j := range p.n {
			slope += p.cost[i][j] * start[j]
		}
		slope /= p.light[i]
		for a := range p.moves {
			way[a] -= p.depend[i][a] * slope
		}
	}
	return way
}

// after returns the amounts at the end of a way.
func (p *program) after(from, way *row) row {
	amount := *from
	for i := range p.n {
		for a := range p.moves {
			amount[i] += p.depend[i][a] * way[a]
		}
	}
	return amount
}

// worst returns the amount furthest beyond a bound and its side, -1 when all but those to
// skip are within slack.
func (p *program) worst(amount *row, skip int, slack float64) (at int, side float64) {
	at = -1
	for i := range p.n {
		if skip>>i&1 == 1 {
			continue
		}
		if v := amount[i]; -v > slack {
			at, side, slack = i, 1, -v
		} else if over := v - p.light[i]; over > slack {
			at, side, slack = i, -1, over
		}
	}
	return at, side
}

// set returns the drives held as a bit set.
func (h *held) set() (bits int) {
	for _, i := range h.at[:h.n] {
		bits |= 1 << i
	}
	return bits
}

// reach returns the way that ends nearest to the end of the free way, with the drives
// held at their bounds.
func (h *held) reach(free *row) row {
	way := *free
	for k := range h.n {
		for a := range way {
			way[a] += h.along[k] * h.basis[k][a]
		}
	}
	return way
}

// take holds drive i too, which is beyond its bound on a side, and lets go of drives
// whose push falls to 0 as that of i rises. It returns false, and changes nothing, when
// drive i cannot be moved whatever is let go: then rounding alone has put it outside.
func (h *held) take(p *program, i int, side, gap float64) bool {
	before := *h
	last := h.n
	h.at[last], h.side[last], h.push[last], h.gap[last] = i, side, 0, gap
	h.n++
	movable := h.rest(p, last)
	for {
		last = h.n - 1
		want := h.want(movable)
		share, loose := 1.0, -1
		if !movable {
			share = math.Inf(1)
		}
		for k := range last {
			if fall := h.push[k] - want[k]; want[k] < 0 && h.push[k] < share*fall {
				share, loose = max(h.push[k]/fall, 0), k
			} else if !movable && fall > 0 && h.push[k] < share*fall {
				share, loose = h.push[k]/fall, k
			}
		}
		switch {
		case loose >= 0:
			for k := range h.n {
				h.push[k] += share * (want[k] - h.push[k])
			}
			movable = h.drop(p, loose)
		case movable:
			h.push = want
			return true
		default:
			*h = before
			return false
		}
	}
}

// want returns the pushes that bring all drives held to their bounds. When the last one
// cannot move, it returns how the pushes change as that one is pushed by 1.
func (h *held) want(movable bool) (push row) {
	last := h.n - 1
	if movable {
		push = h.along
		h.back(&push, h.n)
	} else {
		push = h.depend[last]
		h.back(&push, last)
		for k := range last {
			push[k] = h.push[k]*h.side[k] - h.side[last]*push[k]
		}
		push[last] = (h.push[last] + 1) * h.side[last]
	}
	for k := range h.n {
		push[k] *= h.side[k]
	}
	return push
}

// back solves for pushes of the first n drives held: the sum of pushes times depend is r.
func (h *held) back(r *row, n int) {
	for j := n - 1; j >= 0; j-- {
		for k := j + 1; k < n; k++ {
			r[j] -= h.depend[k][j] * r[k]
		}
		r[j] /= h.depend[j][j]
	}
}

// rest works basis, depend and along out for the drives held from the k-th on, and tells
// whether the last of them can move for the others.
func (h *held) rest(p *program, k int) (movable bool) {
	for ; k < h.n; k++ {
		d := p.depend[h.at[k]]
		whole := d.dot(&d)
		h.depend[k] = row{}
		for range 2 { // once is not enough, see row.without
			for j := range k {
				c := d.dot(&h.basis[j])
				h.depend[k][j] += c
				for a := range d {
					d[a] -= c * h.basis[j][a]
				}
			}
		}
		left := d.dot(&d)
		if movable = left > stiff*stiff*whole; !movable {
			continue
		}
		left = math.Sqrt(left)
		h.depend[k][k] = left
		along := h.gap[k]
		for j := range k {
			along -= h.depend[k][j] * h.along[j]
		}
		h.along[k] = along / left
		h.basis[k] = d.unit(left)
	}
	return movable
}

// drop lets go of the k-th drive held, and tells whether the last one can move then.
func (h *held) drop(p *program, k int) (movable bool) {
	h.n--
	copy(h.at[k:], h.at[k+1:h.n+1])
	copy(h.side[k:], h.side[k+1:h.n+1])
	copy(h.push[k:], h.push[k+1:h.n+1])
	copy(h.gap[k:], h.gap[k+1:h.n+1])
	return h.rest(p, k)
}

// bound brings amount into 0..light. What is outside by no more than slack is cut off; else
// amount is drawn towards from, which changes no measure that must be kept.
func (p *program) bound(from, amount *row, slack float64) {
	share := 1.0
	for i := range p.n {
		switch v, all := amount[i], p.light[i]; {
		case !(math.Abs(v) <= math.MaxFloat64):
			share = 0
		case v < -slack:
			share = min(share, from[i]/(from[i]-v))
		case v > all+slack:
			share = min(share, (all-from[i])/(v-from[i]))
		}
	}
	for i := range p.n {
		v := from[i]
		if share == 1 {
			v = amount[i]
		} else if share > 0 {
			v += share * (amount[i] - from[i])
		}
		amount[i] = min(max(v, 0), p.light[i])
	}
}
