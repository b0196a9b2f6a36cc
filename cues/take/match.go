package take

// Pair is a lamp of a take and the lamp that has its place now; one of them is nil
// for a lamp that is there on one side only.
type Pair struct{ Then, Now *Lamp }

// Match finds which lamp of a rig is which lamp of a take: by its id in the kit,
// of several with one id by the place in the rig too, else in the order of the
// rig. Pairs are in the order of now; then come those that are there no more.
func Match(then, now []Lamp) []Pair {
	used := make([]bool, len(then))
	pairs := make([]Pair, len(now))
	find := func(l *Lamp, samePlace bool) *Lamp {
		for i := range then {
			if t := &then[i]; !used[i] && t.Kit == l.Kit && (!samePlace || t.Rig == l.Rig) {
				used[i] = true
				return t
			}
		}
		return nil
	}
	for _, samePlace := range []bool{true, false} {
		for i := range now {
			if pairs[i].Now = &now[i]; pairs[i].Then == nil {
				pairs[i].Then = find(&now[i], samePlace)
			}
		}
	}
	for i := range then {
		if !used[i] {
			pairs = append(pairs, Pair{Then: &then[i]})
		}
	}
	return pairs
}

// Same tells whether the bytes of one lamp bring the very same light out of the
// other: both are of one type, in one mode, with the same channels.
func (l *Lamp) Same(o *Lamp) bool {
	return l.Type == o.Type && l.Mode == o.Mode && l.Print == o.Print && len(l.Bytes) == len(o.Bytes)
}
