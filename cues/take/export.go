package take

import (
	"fmt"
	"io"
	"strings"
	"time"

	"linkboy/cues/timecode"
)

// Form is how a list of takes leaves the house.
type Form struct {
	Name  string // as a person asks for it
	Media string // media type
	Write func(w io.Writer, title string, takes []Take) error
}

// Forms are all there are. Takes come with their events, oldest first.
var Forms = []Form{
	{"csv", "text/csv; charset=utf-8; header=present", func(w io.Writer, _ string, takes []Take) error { return WriteCSV(w, takes) }},
	{"edl", "text/plain; charset=utf-8", WriteEDL},
	{"tab", "text/tab-separated-values; charset=utf-8", func(w io.Writer, _ string, takes []Take) error { return WriteTab(w, takes) }},
}

// FormNamed finds a form.
func FormNamed(name string) (Form, bool) {
	for _, f := range Forms {
		if f.Name == name {
			return f, true
		}
	}
	return Form{}, false
}

// Rate is how the clock of day counts frames for a timeline: as timecode.ForTimeline,
// but drop-frame for 29.97 and 59.94, which keeps time with the day, and 24 where
// labels cannot count as the timeline does.
func Rate(timeline float64) timecode.Rate {
	for _, half := range []float64{1, 2} {
		if whole := timeline / half; whole > 29.9 && whole < 30 {
			return timecode.DropFrame
		}
	}
	if r := timecode.ForTimeline(timeline); r != timecode.NoRate {
		return r
	}
	return timecode.Film
}

// code reads a label of a take.
func (t *Take) code(label string) (timecode.Code, error) {
	rate := timecode.ForTimeline(t.Camera.Timeline)
	if rate == timecode.NoRate {
		rate = timecode.Film
	}
	c, err := timecode.Parse(label, rate)
	if err != nil {
		return c, fmt.Errorf("take %s: time code %q: %w", t.Name(), label, err)
	}
	return c, nil
}

// ended are the takes that have been cut.
func ended(takes []Take) []*Take {
	var list []*Take
	for i := range takes {
		if !takes[i].Cut.IsZero() {
			list = append(list, &takes[i])
		}
	}
	return list
}

// span gives where a take begins and ends. It has a frame at least, and its length is
// that of the clock where the code that ran did not run all the time.
func (t *Take) span() (from, to timecode.Code, err error) {
	if from, err = t.code(t.From.Best()); err != nil {
		return from, to, err
	}
	frames := max(from.Rate.Index(max(t.Duration(), 0)), 1)
	if t.From.In != "" && t.To.In != "" {
		if end, err := t.code(t.To.In); err == nil && end.Rate == from.Rate && end.Sub(from) > 0 {
			frames = end.Sub(from)
		}
	}
	return from, from.Add(frames), nil
}

// at gives the code of an event by the code of its take.
func (t *Take) at(e *Event, from timecode.Code) timecode.Code {
	if t.From.In != "" && e.Timecode.In != "" {
		if c, err := t.code(e.Timecode.In); err == nil && c.Rate == from.Rate {
			return c
		}
	}
	return from.Add(from.Rate.Index(max(e.At.Sub(t.Rolled), 0)))
}

// wallTime is how times of day are written (ISO 8601).
func wallTime(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02T15:04:05.000Z07:00")
}

// line keeps a text on one line.
func line(text string) string { return Clean(strings.ReplaceAll(text, "\t", " ")) }
