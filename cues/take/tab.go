package take

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"linkboy/cues/timecode"
)

// tabColumns are those of the log: first the ones that cutting rooms know.
var tabColumns = []string{
	"Name", "Tracks", "Start", "End", "Duration", "Tape", "Scene", "Take", "Comments", "Slate", "Set-up", "Location", "Circled", "Looks", "Cues", "Rolled",
}

// WriteTab writes a log that logging programs of cutting rooms read: a heading, the
// names of the columns, a line for each take that has ended; tabs between, empty
// cells kept.
func WriteTab(w io.Writer, takes []Take) error {
	out := bufio.NewWriter(w)
	fps := "24"
	if len(takes) > 0 {
		fps = number(takes[0].Camera.Timeline)
	}
	fmt.Fprintf(out, "Heading\nFIELD_DELIM\tTABS\nVIDEO_FORMAT\t1080\nAUDIO_FORMAT\t48khz\nFPS\t%s\n\nColumn\n%s\n\nData\n", fps, strings.Join(tabColumns, "\t"))
	for _, t := range ended(takes) {
		from, to, err := t.span()
		if err != nil {
			return err
		}
		var cues []string
		for k := range t.Events {
			if e := &t.Events[k]; e.Kind == Cue {
				cues = append(cues, t.at(e, from).String()+" "+e.Look)
			}
		}
		cells := []string{
			t.Name(), "V", from.String(), to.String(), timecode.At(from.Rate, to.Sub(from)).String(), t.reel(), t.Scene, fmt.Sprint(t.Number), t.Note,
			t.Slate, t.Setup, t.Location, circle(t.Circled), strings.Join(t.Looks, ", "), strings.Join(cues, ", "), wallTime(t.Rolled),
		}
		for k := range cells {
			cells[k] = line(cells[k])
		}
		fmt.Fprintln(out, strings.Join(cells, "\t"))
	}
	return out.Flush()
}

func circle(on bool) string {
	if on {
		return "circled"
	}
	return ""
}
