package compile

import (
	"math"

	"linkboy/colour"
	"linkboy/cues"
)

const (
	// roundsMost bounds the rounds. Two or three are usual; what has not come to rest
	// then swings, as a receptor turns from one lamp to another with the level.
	roundsMost = 12
	// settledWithin is the change of a level, in stops, at which the rounds end: a
	// tenth of the least that is told.
	settledWithin = 0.002
	// hopeless is how many times its full light a group would need where it is taken to
	// give no light at the mark: 10 stops.
	hopeless = 1024
)

// solver finds the levels that are measured. The light of a group is linear in the
// levels of its cells, as long as receptors do not turn, floor light adds nothing and
// lamps keep their efficacy: so each round solves linear equations for where the last
// one has got to, until nothing moves.
type solver struct {
	w      *painter
	index  map[*measured]int
	levels []float64 // of w.measures
	gain   []float64 // of each cell: lumens at level 1, by what it gives at its level
	least  []float64 // of each cell: the lumens that floor light keeps
	lumens []float64 // of each cell as it is now
	spread []float64 // of each cell: its beam angle in the look, as Spreads
	dst    []float64
	sums   []float64
}

func newSolver(w *painter) *solver {
	n := len(w.cells)
	s := &solver{
		w: w, index: map[*measured]int{}, levels: make([]float64, len(w.measures)),
		gain: make([]float64, n), least: w.floorLumens(), lumens: make([]float64, n), dst: make([]float64, n), sums: make([]float64, n),
		spread: w.place.spreads(w.set),
	}
	for k, m := range w.measures {
		s.index[m], s.levels[k] = k, 1
		if m.state != open {
			s.levels[k] = float64(Unmeasured)
		}
	}
	return s
}

// floorLumens gives the light that floor light keeps in every cell: none in a dark cue.
func (w *painter) floorLumens() []float64 {
	p := w.place
	if w.dark {
		return make([]float64, len(p.Cells))
	}
	at := make(map[int]int, len(p.Cells))
	for i := range p.Cells {
		at[p.Cells[i].First] = i
	}
	least := make([]float64, len(p.Cells))
	for _, f := range p.Layout.Floor {
		least[at[int(f.First)]] = float64(f.Least)
	}
	return least
}

// run solves, and leaves the shares and states in the measured levels.
func (s *solver) run() {
	if !s.settle(roundsMost, s.round) {
		order := s.order()
		s.settle(sweepsMost, func() { s.sweep(order) })
	}
	s.shine()
	for k, m := range s.w.measures {
		m.share = colour.Level(s.levels[k])
		if m.state == open && math.Abs(s.off(m)) > leastOff {
			m.state = unsteady
		}
	}
}

// settle does rounds until the levels have come to rest; false when they do not.
func (s *solver) settle(most int, round func()) bool {
	before := make([]float64, len(s.levels))
	for range most {
		copy(before, s.levels)
		s.shine()
		round()
		moved := 0.0
		for k, v := range s.levels {
			moved = max(moved, math.Abs(math.Log2((v+1e-6)/(before[k]+1e-6))))
		}
		if moved < settledWithin {
			return true
		}
	}
	return false
}

// shine works out what every cell gives at the levels of now.
func (s *solver) shine() {
	for i := range s.w.cells {
		t := s.w.cells[i] // a copy: the level is tried out
		s.lumens[i], s.gain[i] = s.least[i], 0
		if !t.painted {
			continue
		}
		if t.asks != nil {
			t.level = colour.Level(max(s.levels[s.index[t.asks]], 1e-3))
		}
		if t.level <= 0 {
			continue
		}
		_, mix := s.w.answer(&s.w.place.Cells[i], &t)
		s.gain[i] = mix.Lumens / float64(t.level)
		level := float64(t.level)
		if t.asks != nil {
			level = s.levels[s.index[t.asks]]
		}
		s.lumens[i] = max(s.gain[i]*level, s.least[i])
	}
}

// read gives what some cells do at a mark: of, for each measured level, the lux
// at level 1 of those that have theirs from it, and rest, the lux of the others. Cells
// that floor light keeps lit stay as they are.
func (s *solver) read(mark *cues.Mark, cells []int) (of []float64, rest float64) {
	of = make([]float64, len(s.levels))
	now, dst := s.sums[:len(cells)], s.dst[:len(cells)]
	for k, i := range cells {
		now[k] = s.lumens[i]
	}
	s.w.place.metered.PerLumen(mark, cells, now, pick(s.spread, cells), dst)
	for k, i := range cells {
		m := s.w.cells[i].asks
		if m == nil {
			rest += now[k] * dst[k]
			continue
		}
		at := s.index[m]
		if s.gain[i]*s.levels[at] >= s.least[i] {
			of[at] += s.gain[i] * dst[k]
		} else {
			rest += s.least[i] * dst[k]
		}
	}
	return of, rest
}

// pick gives those of some cells.
func pick(all []float64, cells []int) []float64 {
	some := make([]float64, len(cells))
	for k, i := range cells {
		some[k] = all[i]
	}
	return some
}

// row is an equation: what the levels times of add up to.
type row struct {
	of  []float64
	sum float64
	// kept is set when floor light keeps all cells of the level lit as it is now, so that
	// it does nothing.
	kept bool
}

// round solves for all levels as things are now. A level that comes out of its range is
// put to the end of it, the first first, and the others are solved again.
func (s *solver) round() {
	rows := make([]row, len(s.levels))
	for k, m := range s.w.measures {
		if m.state == most || m.state == none {
			m.state = open // as the others may have moved since
		}
		if m.state == open {
			rows[k] = s.row(k, m)
		}
	}
	for range len(rows) + 1 {
		solution, singular := solveRows(rows, s.fixed())
		at := s.firstOut(solution)
		if singular >= 0 {
			at = singular
		}
		if at < 0 {
			copy(s.levels, solution)
			return
		}
		m := s.w.measures[at]
		switch v := solution[at]; {
		case rows[at].kept:
			m.state, s.levels[at] = none, 0
		case singular >= 0 || v > hopeless:
			m.state, s.levels[at] = unlit, float64(Unmeasured)
		case v > 1:
			m.state, s.levels[at] = most, 1
		default:
			m.state, s.levels[at] = none, 0
		}
	}
}

// row is the equation of one level: the light of its group is what it is asked to be.
func (s *solver) row(k int, m *measured) row {
	of, rest := s.read(m.mark, m.cells)
	r := row{of: of, sum: m.level.Value - rest, kept: !(of[k] > 0)}
	if r.kept && !(s.own(m) > 0) {
		m.state, r.kept = unlit, false
	}
	if m.level.Kind == cues.StopsUnder {
		share := math.Exp2(m.level.Value)
		under, more := s.read(m.mark, m.under)
		dark := more <= 0
		for i, v := range under {
			dark = dark && v <= 0
			of[i] -= share * v
		}
		r.sum = share*more - rest
		if dark {
			m.state = unlit
		}
	}
	if m.state == unlit {
		s.levels[k] = float64(Unmeasured)
	}
	return r
}

// own is the light that a level would have at its mark at full.
func (s *solver) own(m *measured) float64 {
	now, dst := s.sums[:len(m.own)], s.dst[:len(m.own)]
	for k, i := range m.own {
		now[k] = s.gain[i]
	}
	s.w.place.metered.PerLumen(m.mark, m.own, now, pick(s.spread, m.own), dst)
	sum := 0.0
	for k, v := range dst {
		sum += now[k] * v
	}
	return sum
}

// fixed gives the levels that are not to be solved, and NaN for those that are.
func (s *solver) fixed() []float64 {
	fixed := make([]float64, len(s.levels))
	for k, m := range s.w.measures {
		fixed[k] = s.levels[k]
		if m.state == open {
			fixed[k] = math.NaN()
		}
	}
	return fixed
}

// firstOut finds the first open level that is out of its range and under which no other
// such is measured; -1 for none.
func (s *solver) firstOut(levels []float64) int {
	out := func(k int) bool { return s.w.measures[k].state == open && !(levels[k] >= 0 && levels[k] <= 1) }
	first := -1
	for k := range levels {
		if !out(k) {
			continue
		}
		first = k
		leans := false
		for _, m := range s.w.leansOn(s.w.measures[k]) {
			leans = leans || m != s.w.measures[k] && out(s.index[m])
		}
		if !leans {
			return k
		}
	}
	return first
}

// solveRows solves the rows whose level is not fixed, by elimination with the largest
// pivot. singular is a level that the rows do not tell, else -1.
func solveRows(rows []row, fixed []float64) (levels []float64, singular int) {
	levels = append([]float64(nil), fixed...)
	var open []int
	for k, v := range fixed {
		if math.IsNaN(v) {
			open = append(open, k)
		}
	}
	n := len(open)
	a := make([][]float64, n) // each with its sum at the end
	for i, k := range open {
		a[i] = make([]float64, n+1)
		a[i][n] = rows[k].sum
		for j, v := range rows[k].of {
			if !math.IsNaN(fixed[j]) {
				a[i][n] -= v * fixed[j]
			}
		}
		for j, at := range open {
			a[i][j] = rows[k].of[at]
		}
	}
	for c := range n {
		best := c
		for i := c + 1; i < n; i++ {
			if math.Abs(a[i][c]) > math.Abs(a[best][c]) {
				best = i
			}
		}
		a[c], a[best] = a[best], a[c]
		if !(math.Abs(a[c][c]) > 1e-12) {
			return levels, open[c]
		}
		for i := range n {
			if i == c {
				continue
			}
			f := a[i][c] / a[c][c]
			for j := c; j <= n; j++ {
				a[i][j] -= f * a[c][j]
			}
		}
	}
	for i, k := range open {
		levels[k] = a[i][n] / a[i][i]
	}
	return levels, -1
}
