package timecode

import "time"

// Clock is time code that runs on from a label by the clock of this machine.
// The zero Clock stands at no code.
type Clock struct {
	code    Code
	at      time.Time // when it was set to code
	running bool
}

// Set puts the clock at a code, running or not.
func (c *Clock) Set(code Code, now time.Time, running bool) {
	*c = Clock{code: code, at: now, running: running && !code.IsZero()}
}

// Run lets the clock run on, or halts it where it is.
func (c *Clock) Run(running bool, now time.Time) {
	if running != c.running {
		c.Set(c.Now(now), now, running)
	}
}

// Running reports whether it runs.
func (c *Clock) Running() bool { return c.running }

// Now is the code at a time.
func (c *Clock) Now(now time.Time) Code {
	if !c.running {
		return c.code
	}
	return c.code.Add(c.code.Rate.Index(max(now.Sub(c.at), 0)))
}

// Moved gives the clock that is always so much later, in whole frames; earlier
// below 0.
func (c Clock) Moved(by time.Duration) Clock {
	if by != 0 && !c.code.IsZero() {
		frames := c.code.Rate.Index(max(by, -by))
		if by < 0 {
			frames = -frames
		}
		c.code = c.code.Add(frames)
	}
	return c
}

// Time is how much of the day has gone, to the nanosecond; what has no code is
// at 0.
func (c *Clock) Time(now time.Time) time.Duration {
	d := c.code.Time()
	if !c.running {
		return d
	}
	return (d + max(now.Sub(c.at), 0)) % c.code.Rate.Span(c.code.Rate.Day())
}

// Until is how long it is until a clock that runs is at another code of the same
// day, of any rate; what is past is below 0.
func (c *Clock) Until(to Code, now time.Time) time.Duration { return to.Time() - c.Time(now) }

// Midnight is how long it is until the labels of a clock that runs begin again.
func (c *Clock) Midnight(now time.Time) time.Duration {
	return c.code.Rate.Span(c.code.Rate.Day()) - c.Time(now)
}
