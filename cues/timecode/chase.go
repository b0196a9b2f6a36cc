package timecode

import "time"

const (
	// Flywheel is for how long code runs on when no more of it comes: six
	// frames of film. Lost packets are bridged; what has stopped runs on for
	// no longer.
	Flywheel = 250 * time.Millisecond
	// slack is how many frames a label may be off where it should be, from a
	// late packet, before it counts as a jump.
	slack = 2
)

// Chase follows code that comes in. The zero Chase has stopped.
//
// It jams on the first label: that is where code is. One label alone moves
// nothing, lest a machine that only looks for a place run cues; code runs once
// a second one follows it, and from then on as the clock does, set right by each
// label. A label that is more than two frames off is a jump: the chase jams on
// it anew. The same label again is a machine that stands still, and no news.
// When no news comes for Flywheel, code has stopped.
type Chase struct {
	clock  Clock // set by the newest label; runs once a second one has followed
	jammed bool  // code has not stopped since
}

// Take takes a label that came at a time. jumped says that code is elsewhere than
// one would have thought: the first label, or a jump.
func (c *Chase) Take(code Code, at time.Time) (jumped bool) {
	c.expire(at)
	last := c.clock.code
	if code.IsZero() || code == last {
		return false // it stands still, or a packet came twice
	}
	if code.Rate != last.Rate {
		return c.jam(code, at)
	}
	if !c.jammed { // a machine that stood where it was goes on from there
		if on := code.Sub(last); on < 1 || on > slack {
			return c.jam(code, at)
		}
	} else {
		since := code.Rate.Index(max(at.Sub(c.clock.at), 0))
		if off := code.Sub(last.Add(since)); off < -slack || off > slack {
			return c.jam(code, at)
		}
		if code.Sub(last) < 0 {
			return false // packets have overtaken each other
		}
	}
	c.jammed = true
	c.clock.Set(code, at, true)
	return false
}

func (c *Chase) jam(code Code, at time.Time) (jumped bool) {
	c.jammed = true
	c.clock.Set(code, at, false)
	return true
}

// expire ends what has stopped.
func (c *Chase) expire(now time.Time) {
	if c.jammed && now.Sub(c.clock.at) > Flywheel {
		c.jammed, c.clock.running = false, false
	}
}

// Clock is where code is now. What has stopped stays at its last label.
func (c *Chase) Clock(now time.Time) *Clock {
	c.expire(now)
	return &c.clock
}

// Heard reports whether labels come in, running or not.
func (c *Chase) Heard(now time.Time) bool {
	c.expire(now)
	return c.jammed
}
