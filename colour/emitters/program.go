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
// The way: let N be an orthonormal basis of the moves that E does not see, and
//
//	give = N (NᵀQN)⁻¹ Nᵀ
//
// which says how all drives give way when one is pushed. Without bounds the best mix is
// free = start − give·(Q·start − c); with bounds it is free + give·push, where push is the
// multiplier of each bound: 0 for a drive between its bounds, 0 or more for a drive
// held at 0, 0 or less for one held at 1. These are the conditions of Karush, Kuhn and Tucker
// (Boyd and Vandenberghe, Convex Optimization, 2004, section 5.5.3), sufficient here.
// push is found by the dual active-set method of Goldfarb and Idnani (Mathematical
// Programming 27 (1983) 1): it starts at free, takes up broken bounds one by one, and
// lets go of those whose push would change sign. Every full step raises the dual, so it
// ends; bounds that meet in one point do not trouble it, which matters as at level 1 they
// all do.
type program struct {
	n     int
	cost  Gram // Q with the ridge
	ridge row  // diagonal part of cost that is the ridge
	give  Gram
}

// ridgeShare is the ridge as a share of the mean square of the emitters' features. The
// ridge costs w·d² for emitter with light w: where nothing else decides, light comes from
// all emitters alike, and those of one colour share one drive. A share of 1e-6 moves the
// features by at most a thousandth of their size, and bounds the speed at which mixes
// change with the target to about 1/(2√1e-6) = 500 times the relative change of the
// reference.
const ridgeShare = 1e-6

// newProgram prepares for n emitters of the given light (a length each, more than 0) the
// cost and the measures that must not change. slack is the share of the longest measure
// below which one counts as a mix of the others.
func newProgram(n int, light *row, cost *Gram, keep []row, slack float64) (*program, error) {
	if err := cost.check(n); err != nil {
		return nil, err
	}
	p := &program{n: n}
	// The work is done on amounts of light, light[i]·d[i], so that dim emitters and
	// bright ones are alike.
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
		p.ridge[i] = ridgeShare * size * mean * light[i]
		p.cost[i][i] += p.ridge[i]
	}
	rows := make([]row, len(keep))
	for k := range keep {
		for i := range n {
			rows[k][i] = keep[k][i] / light[i]
		}
	}
	if !p.setGive(light, complement(span(rows, slack), n)) {
		return nil, fmt.Errorf("%w: some mix of the emitters has a negative square", ErrGram)
	}
	return p, nil
}

// setGive works out give for the moves (of amounts of light), and tells whether the
// cost is convex along them.
func (p *program) setGive(light *row, moves []row) bool {
	m := len(moves)
	var curve Gram // movesᵀ · cost · moves
	for a := range m {
		var along row
		for i := range p.n {
			for j := range p.n {
				along[i] += p.cost[i][j] / light[i] / light[j] * moves[a][j]
			}
		}
		for b := range m {
			curve[a][b] = along.dot(&moves[b])
		}
	}
	factor, ok := cholesky(&curve, m)
	if !ok {
		return false
	}
	var half [Max]row // of each emitter: factor⁻¹ · its part in the moves
	for i := range p.n {
		for a := range m {
			half[i][a] = moves[a][i]
		}
		factor.forward(&half[i], m)
	}
	for i := range p.n {
		for j := range p.n {
			p.give[i][j] = half[i].dot(&half[j]) / light[i] / light[j]
		}
	}
	return true
}

// lower is a lower triangular matrix.
type lower [Max][Max]float64

// cholesky returns the factor L of a = LLᵀ, of which only the lower half is read, and
// whether a is positive definite.
func cholesky(a *Gram, n int) (l lower, ok bool) {
	for i := range n {
		r := row(a[i])
		if !l.extend(&r, i, a[i][i], 0) {
			return l, false
		}
	}
	return l, true
}

// extend adds row i to the factor: r holds its entries left of the diagonal. It returns
// false when what is left of the diagonal entry is no more than least.
func (l *lower) extend(r *row, i int, diagonal, least float64) bool {
	l.forward(r, i)
	for j := range i {
		l[i][j] = r[j]
		diagonal -= r[j] * r[j]
	}
	if !(diagonal > least) || math.IsInf(diagonal, 0) {
		return false
	}
	l[i][i] = math.Sqrt(diagonal)
	return true
}

// forward turns r into L⁻¹r.
func (l *lower) forward(r *row, n int) {
	for i := range n {
		s := r[i]
		for j := range i {
			s -= l[i][j] * r[j]
		}
		r[i] = s / l[i][i]
	}
}

// back turns r into L⁻ᵀr.
func (l *lower) back(r *row, n int) {
	for i := n - 1; i >= 0; i-- {
		s := r[i]
		for j := i + 1; j < n; j++ {
			s -= l[j][i] * r[j]
		}
		r[i] = s / l[i][i]
	}
}
