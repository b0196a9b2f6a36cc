package take

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"linkboy/cues/timecode"
)

// mostEvents is how many events an edit list numbers.
const mostEvents = 999

// TooManyError is an edit list that has more takes than it can number.
type TooManyError struct{ Takes int }

// Error says what to do.
func (e *TooManyError) Error() string {
	return fmt.Sprintf("an edit list numbers at most %d takes, and these are %d", mostEvents, e.Takes)
}

// WriteEDL writes an edit list, in a subset of the CMX3600 text: a title, the counting of
// frames, and a cut on the video track for each take that has ended, one after another
// from 01:00:00:00. What the lamps did follows as comments: `* LOC:` for each cue, in the
// time code of the source. The list states no frame rate: the name of its file should.
func WriteEDL(w io.Writer, title string, takes []Take) error {
	list := ended(takes)
	if len(list) > mostEvents {
		return &TooManyError{len(list)}
	}
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "TITLE: %s\n", cutTo(line(title), 70))
	n, record := 0, timecode.Code{}
	for _, t := range list {
		from, to, err := t.span()
		if err != nil {
			return err
		}
		if n == 0 || record.Rate != from.Rate {
			fcm(out, from.Rate)
			start, _ := timecode.New(from.Rate, 1, 0, 0, 0)
			if n > 0 { // as far on, counted another way
				start = timecode.At(from.Rate, from.Rate.Index(record.Time()))
			}
			record = start
		}
		n++
		end := record.Add(to.Sub(from))
		fmt.Fprintf(out, "%03d  %-8s %-5s %-8s %s %s %s %s\n", n, t.reel(), "V", "C", from, to, record, end)
		t.comments(out, from)
		record = end
	}
	return out.Flush()
}

func fcm(w io.Writer, r timecode.Rate) {
	if r == timecode.DropFrame {
		fmt.Fprintln(w, "FCM: DROP FRAME")
		return
	}
	fmt.Fprintln(w, "FCM: NON-DROP FRAME")
}

// comments writes what belongs to a take, a line each.
func (t *Take) comments(w io.Writer, from timecode.Code) {
	fmt.Fprintf(w, "* FROM CLIP NAME: %s\n", line(t.Name()))
	circled := ""
	if t.Circled {
		circled = " CIRCLED"
	}
	fmt.Fprintf(w, "* SCENE %s SLATE %s TAKE %d%s\n", line(t.Scene), line(t.Slate), t.Number, circled)
	if t.Setup != "" {
		fmt.Fprintf(w, "* SET-UP %s AT %s\n", line(t.Setup), line(t.Location))
	}
	if t.Camera.FPS != t.Camera.Timeline {
		fmt.Fprintf(w, "* CAPTURE %s FPS ON A TIMELINE OF %s\n", number(t.Camera.FPS), number(t.Camera.Timeline))
	}
	for i := range t.Events {
		e := &t.Events[i]
		if e.Kind == Settled || e.Kind == End {
			continue
		}
		fmt.Fprintf(w, "* LOC: %s %-7s %s\n", t.at(e, from), colourOf(e.Kind), line(e.words()))
	}
	if t.Note != "" {
		fmt.Fprintf(w, "* NOTE: %s\n", line(t.Note))
	}
}

// colourOf is the colour of a locator; these words are common practice, no source.
func colourOf(k Kind) string {
	switch k {
	case Kill:
		return "RED"
	case Roll:
		return "GREEN"
	case Cue:
		return "CYAN"
	}
	return "YELLOW"
}

// words tells an event in a few words.
func (e *Event) words() string {
	what := strings.ToUpper(string(e.Kind))
	switch e.Kind {
	case Roll:
		return "ROLL IN " + e.Look
	case Cue:
		if e.Cue > 0 {
			what = fmt.Sprintf("CUE %d", e.Cue)
		}
		return fmt.Sprintf("%s %s, FADE %s S", what, e.Look, number(float64(e.FadeMS)/1000))
	case Overall:
		return fmt.Sprintf("OVERALL %.0f %%", 100*e.Overall)
	case Hold, Ride:
		return fmt.Sprintf("%s %s AT %.0f %%", what, e.Look, 100*e.Progress)
	}
	return what
}

// reel names the source in the 8 letters there are: what the camera calls it, else
// scene, slate and take.
func (t *Take) reel() string {
	if name := reelLetters(t.Clip); name != "" && len(name) <= 8 {
		return name
	}
	end := fmt.Sprintf("T%d", t.Number)
	name := reelLetters(t.Scene + t.Slate)
	return name[:min(len(name), max(8-len(end), 0))] + end[:min(len(end), 8)]
}

// reelLetters keeps capital letters and digits.
func reelLetters(text string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' {
			return r
		}
		return -1
	}, strings.ToUpper(text))
}

func cutTo(text string, most int) string {
	for len(text) > most {
		_, n := utf8.DecodeLastRuneInString(text)
		text = text[:len(text)-n]
	}
	return text
}

func msTime(ms int64) time.Duration { return time.Duration(ms) * time.Millisecond }
