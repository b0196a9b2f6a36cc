package timecode

import (
	"fmt"
	"strings"
)

// label is a code as it is written.
type label struct{ hours, minutes, seconds, frames int }

// LabelError is why a label is no time code: what is wrong and what to write.
type LabelError struct{ Why, Mend string }

// Error is the reason.
func (e *LabelError) Error() string { return e.Why }

func (l label) check(r Rate) error {
	switch {
	case r.Labels() == 0:
		return &LabelError{"time code does not count frames at the rate of the timeline", "give the show a timeline of 24, 25 or 30 fps, or write drop-frame with a semicolon"}
	case l.hours < 0 || l.hours > 23:
		return &LabelError{fmt.Sprintf("a day has no hour %d", l.hours), "write 00 to 23 hours"}
	case l.minutes < 0 || l.minutes > 59:
		return &LabelError{fmt.Sprintf("an hour has no minute %d", l.minutes), "write 00 to 59 minutes"}
	case l.seconds < 0 || l.seconds > 59:
		return &LabelError{fmt.Sprintf("a minute has no second %d", l.seconds), "write 00 to 59 seconds"}
	case l.frames < 0 || l.frames >= int(r.Labels()):
		return &LabelError{fmt.Sprintf("a second has no frame %d at %v", l.frames, r), fmt.Sprintf("write 00 to %d frames", r.Labels()-1)}
	case r == DropFrame && l.frames < dropped && l.seconds == 0 && l.minutes%10 != 0:
		return &LabelError{fmt.Sprintf("drop-frame leaves out ;00 and ;01 of minute %d", l.minutes),
			fmt.Sprintf("write %02d:%02d:00;02, the first frame of that minute", l.hours, l.minutes)}
	}
	return nil
}

const form = "write it like 01:00:12:08, or 01:00:12;08 for drop-frame"

// Parse reads a label: hours, minutes, seconds and frames of two digits each
// with colons between, and a semicolon before the frames of drop-frame. What
// has a colon there counts by rate, which is not DropFrame. The error is a
// *LabelError.
func Parse(text string, rate Rate) (Code, error) {
	const length = len("00:00:00:00")
	if len(text) != length || text[2] != ':' || text[5] != ':' || text[8] != ':' && text[8] != ';' {
		return Code{}, &LabelError{fmt.Sprintf("a time code has four pairs of digits, and %q has not", shorten(text)), form}
	}
	var fields [4]int
	for i := range fields {
		a, b := text[3*i], text[3*i+1]
		if a < '0' || a > '9' || b < '0' || b > '9' {
			return Code{}, &LabelError{fmt.Sprintf("%q is no pair of digits", text[3*i:3*i+2]), form}
		}
		fields[i] = int(a-'0')*10 + int(b-'0')
	}
	switch drop := text[8] == ';'; {
	case drop:
		rate = DropFrame
	case rate == DropFrame:
		rate = SMPTE
	}
	return New(rate, fields[0], fields[1], fields[2], fields[3])
}

// shorten cuts what a person wrote to what fits an answer.
func shorten(text string) string {
	const most = 24
	if len(text) <= most {
		return text
	}
	return strings.ToValidUTF8(text[:most], "") + "..."
}

// ForTimeline is the rate at which labels with a colon count on a timeline of
// so many frames a second: 24 for 24 and 23.976, 25, 30 for 30 and 29.97, and
// the half for twice as many (SMPTE ST 12-1 counts frame pairs there). NoRate
// for any other.
func ForTimeline(fps float64) Rate {
	for _, half := range []float64{1, 2} {
		switch whole := fps / half; {
		case whole > 23.9 && whole <= 24:
			return Film
		case whole == 25:
			return EBU
		case whole > 29.9 && whole <= 30:
			return SMPTE
		}
	}
	return NoRate
}
