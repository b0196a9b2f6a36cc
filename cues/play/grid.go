package play

import "time"

// behind is how many frames the loop catches up on one by one; when it is later
// than that it goes straight to the frame that is due now.
const behind = 3

// grid says when a frame is due: frame k at start + k/rate, in whole
// nanoseconds from one start, so that no error adds up.
type grid struct {
	start time.Time
	rate  int64 // frames a second
	next  int64 // the frame that is due next
}

// restart makes frame 0 due at now.
func (g *grid) restart(now time.Time) { g.start, g.next = now, 0 }

// due is when frame k is due.
func (g *grid) due(k int64) time.Time { return g.start.Add(span(k, g.rate)) }

// catchUp moves next to the frame that is due now if the loop is more than
// behind frames late, and returns how many frames it left out.
func (g *grid) catchUp(now time.Time) (skipped int64) {
	if !now.After(g.due(g.next + behind)) {
		return 0
	}
	k := index(now.Sub(g.start), g.rate)
	skipped, g.next = k-g.next, k
	return skipped
}

// span is how long k frames take, rounded down. Whole seconds are taken apart
// so that it stays in range for as long as a Duration does.
func span(k, rate int64) time.Duration {
	return time.Duration(k/rate)*time.Second + time.Duration(k%rate*int64(time.Second)/rate)
}

// index is the last frame that is due at d: the greatest k with span(k) <= d.
func index(d time.Duration, rate int64) int64 {
	return int64(d/time.Second)*rate + ((int64(d%time.Second)+1)*rate-1)/int64(time.Second)
}
