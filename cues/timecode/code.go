// Package timecode is the arithmetic of time code (SMPTE ST 12-1): labels of
// frames, counted without a rounding error, a clock of it, and the chase after
// code that comes in. It knows no packets and no cues.
//
// Counting and real time, with n the number of frames since 00:00:00:00:
//
//	rate       frames a second   labels a second   frames of a day
//	Film       24                24                2 073 600
//	EBU        25                25                2 160 000
//	DropFrame  30000/1001        30                2 589 408
//	SMPTE      30                30                2 592 000
//
// Drop-frame leaves out labels, not frames: ;00 and ;01 of every minute that
// is no tenth, so that ten minutes are 17982 frames and an hour is 107892.
package timecode

import (
	"fmt"
	"time"
)

// Rate is how frames are counted.
type Rate uint8

// The rates.
const (
	NoRate    Rate = iota
	Film           // 24 frames a second
	EBU            // 25
	DropFrame      // 30000/1001 with labels left out
	SMPTE          // 30
)

// Labels is the number of frame labels in a second; 0 for NoRate.
func (r Rate) Labels() int64 {
	switch r {
	case Film:
		return 24
	case EBU:
		return 25
	case DropFrame, SMPTE:
		return 30
	}
	return 0
}

// String is the frame rate in words.
func (r Rate) String() string {
	switch r {
	case Film, EBU, SMPTE:
		return fmt.Sprintf("%d frames a second", r.Labels())
	case DropFrame:
		return "29.97 frames a second, drop-frame"
	}
	return "no frame rate"
}

const (
	dropped   = 2                       // labels left out in a minute
	dropTen   = 10*60*30 - 9*dropped    // frames in ten minutes of drop-frame
	dropOne   = 60*30 - dropped         // frames in a minute that leaves some out
	secondDay = int64(24 * 60 * 60)     // seconds in a day of labels
	dropDay   = int64(24 * 6 * dropTen) // frames in a day of drop-frame
)

// Day is how many frames a day of labels has, after which they begin again.
func (r Rate) Day() int64 {
	if r == DropFrame {
		return dropDay
	}
	return r.Labels() * secondDay
}

// Span is how long n frames take, rounded down to the nanosecond; n is 0 to Day.
func (r Rate) Span(n int64) time.Duration {
	per, of := r.frame()
	return time.Duration(n * per / of)
}

// Index is the last frame that has begun at d, so that Index(Span(n)) is n; d is
// 0 or more, up to a week.
func (r Rate) Index(d time.Duration) int64 {
	per, of := r.frame()
	return ((int64(d)+1)*of - 1) / per
}

// frame is how long a frame takes, as a fraction of nanoseconds.
func (r Rate) frame() (per, of int64) {
	switch r {
	case Film:
		return 125_000_000, 3
	case EBU:
		return 40_000_000, 1
	case DropFrame:
		return 100_100_000, 3
	case SMPTE:
		return 100_000_000, 3
	}
	return 1, 1
}

// Code is the label of one frame of a day. The zero Code is none.
type Code struct {
	Rate Rate
	n    int64
}

// At makes the code of frame n since 00:00:00:00; n is taken within the day,
// also from below 0.
func At(r Rate, n int64) Code {
	day := r.Day()
	if day == 0 {
		return Code{}
	}
	return Code{Rate: r, n: ((n % day) + day) % day}
}

// New makes a code of its four fields. The error, a *LabelError, says which of
// them is out of range, or that drop-frame leaves the label out.
func New(r Rate, hours, minutes, seconds, frames int) (Code, error) {
	l := label{hours, minutes, seconds, frames}
	if err := l.check(r); err != nil {
		return Code{}, err
	}
	n := int64((l.hours*60+l.minutes)*60+l.seconds)*r.Labels() + int64(l.frames)
	if r == DropFrame {
		minutes := int64(l.hours*60 + l.minutes)
		n -= dropped * (minutes - minutes/10)
	}
	return Code{r, n}, nil
}

// IsZero reports whether there is no code.
func (c Code) IsZero() bool { return c.Rate == NoRate }

// Frame is the number of frames since 00:00:00:00.
func (c Code) Frame() int64 { return c.n }

// Time is the real time since 00:00:00:00.
func (c Code) Time() time.Duration { return c.Rate.Span(c.n) }

// Fields are hours, minutes, seconds and frames as they are written.
func (c Code) Fields() (hours, minutes, seconds, frames int) {
	n := c.n
	if c.Rate == DropFrame { // put back the labels that were left out
		tens, rest := n/dropTen, n%dropTen
		n += tens * 9 * dropped
		if rest >= dropped {
			n += dropped * ((rest - dropped) / dropOne)
		}
	}
	per := max(c.Rate.Labels(), 1)
	s := n / per
	return int(s / 3600), int(s / 60 % 60), int(s % 60), int(n % per)
}

// String is the label as it is written: 01:00:12:08, with a semicolon before
// the frames of drop-frame (common practice, no source); "" for none.
func (c Code) String() string {
	if c.IsZero() {
		return ""
	}
	h, m, s, f := c.Fields()
	separator := ':'
	if c.Rate == DropFrame {
		separator = ';'
	}
	return fmt.Sprintf("%02d:%02d:%02d%c%02d", h, m, s, separator, f)
}

// Add is the code n frames on, or back; days begin again.
func (c Code) Add(n int64) Code { return At(c.Rate, c.n+n) }

// Sub is how many frames c is after o, of the same rate, by the shorter way round
// the day.
func (c Code) Sub(o Code) int64 {
	day := c.Rate.Day()
	d := ((c.n-o.n)%day + day) % day
	if d > day/2 {
		d -= day
	}
	return d
}
