package stage

import "linkboy/cues"

// Holds reports whether a point is inside the first thing of a set.
func Holds(s *Set, p cues.Point) bool {
	h := s.hulls()[0]
	return h.holds(Vec(p))
}
