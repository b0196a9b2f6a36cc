package emitters_test

import (
	"errors"
	"math"
	"math/big"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// Three other ways to the most light at a chromaticity, none of which shares code
// with the package.

// simplexMost asks gonum's simplex. Unknowns: the amount of the target colour, the
// drives, and the slack of each drive below 1. A set of fewer than three emitters has
// fewer independent equations, and the simplex wants no others.
func simplexMost(es []emitters.Emitter, p colour.XY) (float64, []float64, error) {
	n, rows := len(es), min(len(es), 3)
	a := mat.NewDense(rows+n, 1+2*n, nil)
	b := make([]float64, rows+n)
	scale := 0.0
	for _, e := range es {
		scale = max(scale, e.Full.X+e.Full.Y+e.Full.Z)
	}
	// Y first, as every emitter and target has some.
	part := func(c colour.XYZ) [3]float64 { return [3]float64{c.Y, c.X, c.Z} }
	target := part(p.XYZ(p.Y))
	for row := range rows {
		a.Set(row, 0, -target[row])
		for i, e := range es {
			a.Set(row, 1+i, part(e.Full)[row]/scale)
		}
	}
	for i := range n {
		a.Set(rows+i, 1+i, 1)
		a.Set(rows+i, 1+n+i, 1)
		b[rows+i] = 1
	}
	cost := make([]float64, 1+2*n)
	cost[0] = -1
	least, x, err := lp.Simplex(cost, a, b, 1e-12, nil)
	if err != nil {
		return 0, nil, err
	}
	return -least * scale * p.Y, x[1 : 1+n], nil
}

var errNone = errors.New("no vertex")

// vertexMost tries every basic solution: two emitters free, the others at 0 or 1.
// It is for sets that span all three dimensions.
func vertexMost(es []emitters.Emitter, p colour.XY) (float64, error) {
	n, best := len(es), -1.0
	target := p.XYZ(p.Y)
	for i := range n {
		for j := i + 1; j < n; j++ {
			for others := range 1 << n {
				if others>>i&1 == 1 || others>>j&1 == 1 {
					continue
				}
				var sum colour.XYZ
				for k, e := range es {
					sum = sum.Add(e.Full.Scale(float64(others >> k & 1)))
				}
				// scale*target - di*vi - dj*vj = sum, by Cramer's rule.
				vi, vj := es[i].Full.Scale(-1), es[j].Full.Scale(-1)
				det := det3(target, vi, vj)
				scale, di, dj := det3(sum, vi, vj)/det, det3(target, sum, vj)/det, det3(target, vi, sum)/det
				const slack = 1e-9
				if min(di, dj, 1-di, 1-dj) >= -slack && scale > best && !math.IsInf(scale, 0) {
					best = scale
				}
			}
		}
	}
	if best < 0 {
		return 0, errNone
	}
	return best * p.Y, nil
}

func det3(a, b, c colour.XYZ) float64 {
	return a.X*(b.Y*c.Z-b.Z*c.Y) - b.X*(a.Y*c.Z-a.Z*c.Y) + c.X*(a.Y*b.Z-a.Z*b.Y)
}

// dualBound returns the least of the bounds that weak duality gives: for any
// weights w with w.target > 0, no mix at the target has more than
// sum max(0, w.v) / (w.target) of it. Only weights square to two emitters are tried;
// any of them is a proof, so a mix that meets the bound is optimal. The arithmetic is
// exact (math/big): a float64 is a fraction. It is for sets that span three dimensions.
func dualBound(es []emitters.Emitter, p colour.XY) float64 {
	target := exactly(p.X, p.Y, 1-p.X-p.Y)
	full := make([]exact, len(es))
	for i, e := range es {
		full[i] = exactly(e.Full.X, e.Full.Y, e.Full.Z)
	}
	var best *big.Rat
	for i := range es {
		for j := range i {
			w := full[i].cross(full[j])
			at, sum := w.dot(target), new(big.Rat)
			for _, v := range full {
				if s := w.dot(v); s.Sign() == at.Sign() {
					sum.Add(sum, s)
				}
			}
			if at.Sign() == 0 || sum.Sign() == 0 {
				continue // no bound, or the target is a rounding outside the gamut
			}
			if bound := sum.Quo(sum, at); best == nil || bound.Cmp(best) < 0 {
				best = bound
			}
		}
	}
	bound, _ := best.Float64()
	return bound * p.Y
}

// exact is a vector of fractions.
type exact [3]*big.Rat

func exactly(x, y, z float64) exact {
	return exact{new(big.Rat).SetFloat64(x), new(big.Rat).SetFloat64(y), new(big.Rat).SetFloat64(z)}
}

func (a exact) dot(b exact) *big.Rat {
	sum := new(big.Rat)
	for i := range a {
		sum.Add(sum, new(big.Rat).Mul(a[i], b[i]))
	}
	return sum
}

func (a exact) cross(b exact) exact {
	part := func(i, j int) *big.Rat {
		m := new(big.Rat).Mul(a[i], b[j])
		return m.Sub(m, new(big.Rat).Mul(a[j], b[i]))
	}
	return exact{part(1, 2), part(2, 0), part(0, 1)}
}
