package compile

import (
	"math"
	"slices"

	"linkboy/cues"
)

const (
	// sweepsMost bounds how often all levels are searched; one is enough where none is
	// part of what it is measured under.
	sweepsMost = 6
	// halvingsMost is how often the range of a level is halved, in stops: 13 stops to a
	// thousandth of one.
	halvingsMost = 14
	// leastLevel is the lowest that is searched.
	leastLevel = 1.0 / 8192
)

// sweep searches each level that is not solved for good, those first that others lean on.
func (s *solver) sweep(order []int) {
	for _, k := range order {
		if m := s.w.measures[k]; m.state == open || m.state == most || m.state == none {
			m.state = s.search(k, m)
		}
	}
}

// search halves the range of a level until its group gives what it is asked. It goes by
// what comes out, and so also where receptors turn with the level.
func (s *solver) search(k int, m *measured) measuredState {
	at := func(level float64) float64 {
		s.levels[k] = level
		s.shine()
		return s.off(m)
	}
	if at(1) < 0 {
		return most
	}
	if at(0) > 0 {
		return none
	}
	low, high := math.Log2(leastLevel), 0.0
	for range halvingsMost {
		if middle := (low + high) / 2; at(math.Exp2(middle)) < 0 {
			low = middle
		} else {
			high = middle
		}
	}
	at(math.Exp2((low + high) / 2))
	return open
}

// off is by how many stops a group is over what is asked of it, as things are now.
func (s *solver) off(m *measured) float64 {
	target := m.level.Value
	if m.level.Kind == cues.StopsUnder {
		target = math.Exp2(m.level.Value) * s.now(m.mark, m.under)
	}
	lux := s.now(m.mark, m.cells)
	if lux == target {
		return 0
	}
	return math.Log2(lux / target)
}

// now is what some cells give at a mark now.
func (s *solver) now(mark *cues.Mark, cells []int) float64 {
	of, sum := s.read(mark, cells)
	for k, v := range of {
		sum += v * s.levels[k]
	}
	return sum
}

// order lists the levels, each after those that its light or what it is measured under
// depends on, as far as that goes.
func (s *solver) order() []int {
	var order []int
	seen := map[int]bool{}
	var visit func(k int)
	visit = func(k int) {
		if seen[k] {
			return
		}
		seen[k] = true
		m := s.w.measures[k]
		for _, i := range slices.Concat(m.under, m.cells) {
			if other := s.w.cells[i].asks; other != nil {
				visit(s.index[other])
			}
		}
		order = append(order, k)
	}
	for k := range s.w.measures {
		visit(k)
	}
	return order
}
