package showfile

import (
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

const durationForms = "write it like 4 s, 250 ms, 48 frames, 8 beats or 2 bars, with \"on screen\" behind it for screen time"

var timeUnits = map[string]cues.Unit{
	"s": cues.Seconds, "ms": cues.Milliseconds, "frames": cues.Frames, "frame": cues.Frames,
	"beats": cues.Beats, "beat": cues.Beats, "bars": cues.Bars, "bar": cues.Bars,
}

// otherUnits are spellings that people try, with what is meant.
var otherUnits = map[string]cues.Unit{
	"sec": cues.Seconds, "secs": cues.Seconds, "second": cues.Seconds, "seconds": cues.Seconds,
	"msec": cues.Milliseconds, "millisecond": cues.Milliseconds, "milliseconds": cues.Milliseconds,
	"f": cues.Frames, "fr": cues.Frames,
}

// ParseDuration reads a time as it is written in a show file: "4 s",
// "48 frames on screen". The problem has no place.
func ParseDuration(text string) (cues.Duration, *cues.Problem) {
	return parseDuration(text, cues.Pos{})
}

func parseDuration(text string, at cues.Pos) (cues.Duration, *cues.Problem) {
	bad := func(why, mend string) (cues.Duration, *cues.Problem) {
		return cues.Duration{}, cues.NewProblem(at, cues.CodeBadTime, fmt.Sprintf("%q is no time", shorten(text)), why, mend)
	}
	amount, rest, ok := splitAmount(text)
	if !ok {
		return bad("it must start with a plain decimal number", durationForms)
	}
	word, onScreen := strings.CutSuffix(rest, "on screen")
	word = strings.TrimSpace(word)
	unit, known := timeUnits[word]
	switch meant := otherUnits[strings.ToLower(word)]; {
	case word == "":
		return bad("it has no unit", fmt.Sprintf("write %s s, or another unit", short(amount)))
	case !known && meant != "":
		return bad(fmt.Sprintf("the unit is written %q", meant), fmt.Sprintf("write %s %s", short(amount), meant))
	case !known:
		return bad(fmt.Sprintf("%q is no unit of time", shorten(word)), durationForms)
	case amount < 0:
		return cues.Duration{}, cues.NewProblem(at, cues.CodeOutOfRange, fmt.Sprintf("%q is a negative time", shorten(text)),
			"nothing can happen before it was asked for", "write 0 s or more")
	}
	d := cues.Duration{Amount: amount, Unit: unit, OnScreen: onScreen, At: at}
	if tooLong(d) {
		return cues.Duration{}, cues.NewProblem(at, cues.CodeTimeTooLong, fmt.Sprintf("%q is longer than a day", shorten(text)),
			"a cue takes a day at most", "write a shorter time, or check the unit")
	}
	return d, nil
}

// tooLong reports whether d passes a day by the slowest clock there is: 1 fps, 20 BPM.
func tooLong(d cues.Duration) bool {
	seconds := d.Amount
	switch d.Unit {
	case cues.Milliseconds:
		seconds /= 1000
	case cues.Beats, cues.Bars:
		seconds *= 3
	}
	return seconds > 24*60*60
}

func (r *reader) duration(n *yaml.Node, what string) (cues.Duration, bool) {
	text := r.text(n, what)
	if n.Kind != yaml.ScalarNode {
		return cues.Duration{}, false
	}
	d, p := parseDuration(text, r.pos(n))
	if p != nil {
		r.sink.add(p)
	}
	return d, p == nil
}

func (r *reader) intoDuration(dst *cues.Duration, what string) func(*yaml.Node) {
	return func(n *yaml.Node) { *dst, _ = r.duration(n, what) }
}
