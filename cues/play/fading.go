package play

import (
	"math"
	"time"

	"linkboy/cues/track"
)

// fading is the fade that runs, or the last one that did.
type fading struct {
	fade     *track.Fade
	id       uint64
	exact    bool // it began at exactly fade.From
	running  bool
	held     bool
	rideOnly bool // time never moves it

	progress float64       // as last rendered or ridden to
	elapsed  time.Duration // at progress
	base     time.Duration // elapsed at since
	since    time.Time     // when time began to run from base
}

// start begins a fade at a progress.
func (f *fading) start(fade *track.Fade, id uint64, opt StartOptions, now time.Time) {
	*f = fading{fade: fade, id: id, running: true, held: opt.Hold || opt.RideOnly, rideOnly: opt.RideOnly}
	f.put(opt.At, now)
}

// put sets the progress and lets time run from there.
func (f *fading) put(progress float64, now time.Time) {
	f.progress = progress
	f.elapsed = time.Duration(math.Round(progress * float64(f.fade.Total)))
	f.base, f.since = f.elapsed, now
}

// advance brings the fade to a time. ended is when it reached its end, which is
// at or before now, or zero.
func (f *fading) advance(now time.Time) (moved bool, ended time.Time) {
	if !f.running || f.held {
		return false, time.Time{}
	}
	// A command may be taken a little after the frame that follows it was due.
	elapsed := f.base + max(now.Sub(f.since), 0)
	if elapsed >= f.fade.Total {
		ended = f.since.Add(f.fade.Total - f.base)
		f.end()
		return true, ended
	}
	if elapsed == f.elapsed {
		return false, time.Time{}
	}
	f.elapsed = elapsed
	f.progress = float64(elapsed) / float64(f.fade.Total)
	return true, time.Time{}
}

// end puts the fade at its end.
func (f *fading) end() {
	f.running, f.held = false, false
	f.progress, f.elapsed = 1, f.total()
}

// hold lets time stand still at what was last rendered: what is seen stays.
func (f *fading) hold() { f.held = f.running }

func (f *fading) resume(now time.Time) {
	if f.held && !f.rideOnly {
		f.held = false
		f.base, f.since = f.elapsed, now
	}
}

func (f *fading) ride(progress float64, now time.Time) (moved bool) {
	if f.running {
		f.held = true
		f.put(progress, now)
	}
	return f.running
}

// total is how long the fade takes; 0 before the first.
func (f *fading) total() time.Duration {
	if f.fade == nil {
		return 0
	}
	return f.fade.Total
}

// remaining is how long it has still to run.
func (f *fading) remaining() time.Duration {
	if !f.running {
		return 0
	}
	return f.fade.Total - f.elapsed
}
