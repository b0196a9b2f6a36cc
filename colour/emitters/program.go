package emitters

import (
	"fmt"
	"math"
)

// A program is the small quadratic program behind the recipes:
//
//	minimise ½ dᵀQd − cᵀd  over drives d  with  E·d = E·start,  0 ≤ d ≤ 1
//
// Q and E belong to the cell and its recipe, c and start to the colour asked for.
// start is a mix that already is in 0..1 and has the light (or other measure E) wanted;
// the program looks for the best of all mixes with the same E·d.
//
// Q is made strictly convex by a small ridge, so there is one best mix, and as only c
// and E·start change it is a continuous, piecewise linear function of them (Nocedal and
// Wright, Numerical Optimization, 2nd ed. 2006, chapter 16; Mangasarian and Shiau, SIAM
// J. Control Optim. 25 (1987) 583, prove it Lipschitz). That is why recipes do not jump in
// a fade.
//
// The way: let N be an orthonormal basis of the moves that E does not see, L the Cholesky
// factor of NᵀQN, and d = start + N·L⁻ᵀ·way. In terms of way the cost is ½|way − free|² and
// a constant, free = −L⁻¹Nᵀ(Q·start − c): the best mix is the point nearest to free of the
// ways that stay in 0..1 (a least distance problem; Lawson and Hanson, Solving Least
// Squares Problems, 1974, chapter 23). Where bounds hold it back it is free plus the sum of
// push·(row of N·L⁻ᵀ) of the drives held, push being the multiplier of each bound: 0 for a
// drive between its bounds, 0 or more for a drive held at 0, 0 or less for one held at
// 1. These are the conditions of Karush, Kuhn and Tucker (Boyd and Vandenberghe, Convex
// Optimization, 2004, section 5.5.3), which here are enough for an optimum. push is found
// by the dual active-set method of Goldfarb and Idnani (Mathematical Programming 27
// (1983) 1): it starts at free, takes up broken bounds one by one, and lets go of those
// whose push would change sign. Every bound taken up raises the dual, so it ends; bounds that
// meet in one point do not trouble it, which matters, as at level 1 they all do.
//
// All of this is done on amounts of light, light·drive in 0..light, so that dim emitters
// and bright ones are alike.
type program struct {
	n      int
	light  row      // of each emitter at full
	cost   Gram     // Q with the ridge, for drives
	moves  int      // dimensions of way
	depend [Max]row // N·L⁻ᵀ: how each amount depends on the way
}

// ridgeShare is the ridge as a share of the mean square of the emitters' features. The
// ridge costs w·d² for emitter with light w: where nothing else decides, light comes from
// all emitters alike, and those of one colour share one drive. A share of 1e-6 moves the
// features by about a thousandth of their size at most, and bounds the speed at which mixes
// change with the target to about 1/(2√1e-6) = 500 times the relative change of the
// reference.
const ridgeShare = 1e-6

// newProgram prepares for n emitters of the given light (a length each, more than 0) the
// cost, to which it adds the ridge, and the measures that must not change. slack
// is the share of the longest measure below which one counts as a mix of the others.
func newProgram(n int, light *row, cost *Gram, keep []row, slack float64) (*program, error) {
	if err := cost.check(n); err != nil {
		return nil, err
	}
	p := &program{n: n, light: *light}
	mean, size := 0.0, 0.0
	for i := range n {
		mean += light[i] / float64(n)
		size += cost[i][i] / light[i] / light[i] / float64(n)
	}
	if size == 0 {
		size = 1
	}
	for i := range n {
		for j := range n {
			p.cost[i][j] = (cost[i][j] + cost[j][i]) / 2
		}
		p.cost[i][i] += ridgeShare * size * mean * light[i]
	}
	rows := make([]row, len(keep))
	for k := range keep {
		for i := range n {
			rows[k][i] = keep[k][i] / light[i]
		}
	}
	if !p.setMoves(light, complement(span(rows, slack), n)) {
		return nil, fmt.Errorf("%w: some mix of the emitters has a negative square", ErrGram)
	}
	return p, nil
}

// setMoves works out depend for the moves (of amounts of light), and tells whether the
// cost is convex along them.
func (p *program) setMoves(light *row, moves []row) bool {
	p.moves = len(moves)
	var curve Gram // movesᵀ · cost · moves
	for a := range moves {
		var along row
		for i := range p.n {
			for j := range p.n {
				along[i] += p.cost[i][j] / light[i] / light[j] * moves[a][j]
			}
		}
		for b := range moves {
			curve[a][b] = along.dot(&moves[b])
		}
	}
	factor, ok := cholesky(&curve, p.moves)
	if !ok {
		return false
	}
	for i := range p.n {
		for a := range p.moves {
			s := moves[a][i]
			for b := range a {
				s -= factor[a][b] * p.depend[i][b]
			}
			p.depend[i][a] = s / factor[a][a]
		}
	}
	return true
}

// cholesky returns the lower triangular factor L of a = LLᵀ, and whether a is positive
// definite.
func cholesky(a *Gram, n int) (l Gram, ok bool) {
	for i := range n {
		for j := range i + 1 {
			s := a[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i != j {
				l[i][j] = s / l[j][j]
				continue
			}
			if !(s > 0) || math.IsInf(s, 0) {
				return l, false
			}
			l[i][i] = math.Sqrt(s)
		}
	}
	return l, true
}
