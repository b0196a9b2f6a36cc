package peer

import "time"

// rateOver is what a rate is measured over.
const rateOver = time.Second

// Rate measures how often something comes, over a second at a time. The zero
// Rate is ready for use.
type Rate struct {
	since time.Time // start of the running measurement
	n     int       // counted in it
	last  float64   // result of the one before; 0 while there is none
}

// Add counts one that came at now.
func (r *Rate) Add(now time.Time) {
	if r.since.IsZero() {
		r.since = now
	}
	if passed := now.Sub(r.since); passed >= rateOver {
		r.last, r.since, r.n = float64(r.n)/passed.Seconds(), now, 0
	}
	r.n++
}

// PerSecond is the rate as of now. In the first second it is what has come.
func (r *Rate) PerSecond(now time.Time) float64 {
	passed := now.Sub(r.since)
	switch {
	case r.n == 0:
		return 0
	case passed >= 2*rateOver: // it has become slow since
		return float64(r.n) / passed.Seconds()
	case r.last > 0:
		return r.last
	}
	return float64(r.n) / max(passed, rateOver).Seconds()
}
