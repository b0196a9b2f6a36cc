package take

import (
	"bufio"
	"io"
	"strconv"
	"strings"
)

// csvColumns are the columns of the list, one row an event.
var csvColumns = []string{
	"timecode", "fps", "drop", "wall_time", "scene", "slate", "setup", "take", "look_from", "look_to", "fade_frames", "note",
	"id", "event", "kind", "location", "cue", "overall", "circled", "clip", "broken", "lost", "photos",
}

// WriteCSV writes a row for every event of takes, in the form of RFC 4180: CR LF at the
// end of each, a header, every text in quotes, so that a program keeps the zeros of a
// slate if it asks first.
func WriteCSV(w io.Writer, takes []Take) error {
	out := bufio.NewWriter(w)
	row(out, csvColumns)
	for i := range takes {
		t := &takes[i]
		look := ""
		for k := range t.Events {
			e := &t.Events[k]
			row(out, t.csvRow(e, look))
			look = e.Look
		}
	}
	return out.Flush()
}

func (t *Take) csvRow(e *Event, before string) []string {
	if before == "" {
		before = e.Look
	}
	label := e.Timecode.Best()
	rate := Rate(t.Camera.Timeline)
	if c, err := t.code(label); err == nil {
		rate = c.Rate
	}
	drop := strconv.Itoa(strings.Count(label, ";"))
	note := ""
	if e.N == 1 {
		note = t.Note
	}
	whole := strconv.Itoa
	return []string{
		label, number(t.Camera.Timeline), drop, wallTime(e.At), t.Scene, t.Slate, t.Setup, whole(t.Number), before, e.Look,
		strconv.FormatInt(rate.Index(msTime(e.FadeMS)), 10), note,
		strconv.FormatInt(t.ID, 10), whole(e.N), string(e.Kind), e.Location, whole(e.Cue), number(e.Overall), flag(t.Circled), t.Clip,
		flag(t.Broken), whole(t.Lost), whole(t.Photos),
	}
}

// row writes one record, every field in quotes (RFC 4180 section 2, 5 to 7).
func row(w *bufio.Writer, fields []string) {
	for i, f := range fields {
		if i > 0 {
			_ = w.WriteByte(',')
		}
		_ = w.WriteByte('"')
		_, _ = w.WriteString(strings.ReplaceAll(f, `"`, `""`))
		_ = w.WriteByte('"')
	}
	_, _ = w.WriteString("\r\n") // errors come out at Flush
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

func flag(on bool) string {
	if on {
		return "1"
	}
	return "0"
}
