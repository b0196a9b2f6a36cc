package session

import (
	"linkboy/cues"
)

// carrySheet brings all that names a cue to the cue sheet of the new site. s.mu
// must be held, and the new site be the one that is lit.
func (s *Session) carrySheet(r *renewal) {
	is := matchCues(r.old.loc.Cues, r.next.loc.Cues)
	s.now.cue, s.before.cue = is(s.now.cue), is(s.before.cue)
	s.carryFollow(is)
	s.timed(r.next.loc.Cues)
	s.carryStandby(r, is)
}

// carryFollow keeps the cue that will run by itself, in its new time.
func (s *Session) carryFollow(is func(int) int) {
	f := s.follow
	if f == nil {
		return
	}
	n := is(f.cue)
	armed, err := s.followOf(n - 1)
	if n == 0 || err != nil || armed == nil || armed.cue != n {
		s.follow = nil // it waits for a person now
		return
	}
	longer := armed.after - f.after
	f.cue, f.after = n, armed.after
	f.due, f.left = f.due.Add(longer), max(f.left+longer, 0)
}

// carryStandby keeps what stands by, in its new form; if it is gone, the next cue
// after it that is still there stands by.
func (s *Session) carryStandby(r *renewal, is func(int) int) {
	sheet := r.next.loc.Cues
	k := s.standby
	switch {
	case k == nil:
	case k.cue > 0:
		for n := k.cue; n <= len(r.old.loc.Cues); n++ {
			if now := is(n); now > 0 {
				s.standBy(sheet[now-1])
				return
			}
		}
	case k.shot != nil:
		again := *k
		again.still, again.shot = k.shot.on(r.next.place)
		again.fade, again.timing = nil, r.next.place.Able(k.timing)
		s.standby = &again
		return
	default:
		if found, err := r.next.lookOf(k.look, k.dark); err == nil {
			again := *k
			again.still, again.motion = found.still, found.motion
			again.fade, again.timing = nil, r.next.place.Able(k.timing)
			s.standby = &again
			return
		}
	}
	s.standby = nil
	if len(sheet) > 0 {
		s.standBy(sheet[0])
		s.advance(s.now.cue, s.now.look)
	}
}

// matchCues gives, for the number of a cue in one sheet, the number of the same cue
// in another; 0 for one that is not there. Cues that are alike are the same, in
// order. Between two of them, where as many are left on both sides, each is the one
// at its place, edited; else those with one look are the same, in order.
func matchCues(old, next []*cues.Cue) func(int) int {
	match := make([]int, len(old)+1)
	alike := longestCommon(old, next)
	from, at := 0, 0
	for _, pair := range append(alike, [2]int{len(old), len(next)}) {
		matchGap(match, old, next, [2]int{from, pair[0]}, [2]int{at, pair[1]})
		if pair[0] < len(old) {
			match[pair[0]+1] = pair[1] + 1
		}
		from, at = pair[0]+1, pair[1]+1
	}
	return func(n int) int {
		if n < 1 || n > len(old) {
			return 0
		}
		return match[n]
	}
}

// matchGap pairs the cues between two that are the same.
func matchGap(match []int, old, next []*cues.Cue, was, is [2]int) {
	if was[1]-was[0] == is[1]-is[0] {
		for i := was[0]; i < was[1]; i++ {
			match[i+1] = is[0] + i - was[0] + 1
		}
		return
	}
	at := is[0]
	for i := was[0]; i < was[1]; i++ {
		for k := at; k < is[1]; k++ {
			if old[i].Look == next[k].Look {
				match[i+1], at = k+1, k+1
				break
			}
		}
	}
}

// longestCommon gives the pairs of a longest common part of two sheets, by index.
func longestCommon(a, b []*cues.Cue) [][2]int {
	n := make([][]int, len(a)+1) // length from here on
	for i := range n {
		n[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for k := len(b) - 1; k >= 0; k-- {
			if n[i][k] = max(n[i+1][k], n[i][k+1]); alikeCues(a[i], b[k]) {
				n[i][k] = n[i+1][k+1] + 1
			}
		}
	}
	var pairs [][2]int
	for i, k := 0, 0; i < len(a) && k < len(b); {
		switch {
		case alikeCues(a[i], b[k]):
			pairs = append(pairs, [2]int{i, k})
			i, k = i+1, k+1
		case n[i+1][k] >= n[i][k+1]:
			i++
		default:
			k++
		}
	}
	return pairs
}

// alikeCues tells whether two cues say the same, wherever they stand.
func alikeCues(a, b *cues.Cue) bool {
	return a.Look == b.Look && a.Fade.String() == b.Fade.String() && a.Delay.String() == b.Delay.String() &&
		a.Curve == b.Curve && a.Path == b.Path && a.Timecode == b.Timecode && a.Dark == b.Dark && a.Note == b.Note &&
		alikeTimes(a.After, b.After) && alikeSpreads(a.Spread, b.Spread)
}

func alikeTimes(a, b *cues.Duration) bool {
	return a == nil && b == nil || a != nil && b != nil && a.String() == b.String()
}

func alikeSpreads(a, b *cues.Spread) bool {
	return a == nil && b == nil || a != nil && b != nil && a.Along == b.Along && a.Over.String() == b.Over.String()
}
