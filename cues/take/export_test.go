package take_test

import (
	"bytes"
	"encoding/csv"
	"flag"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/take"
)

var update = flag.Bool("update", false, "write the golden files anew; then read the difference")

// night is two invented takes of Tidewater, one by the code of a camera and one by the
// clock, and one that still rolls.
func night() []take.Take {
	zone := time.FixedZone("", 3600)
	at := time.Date(2026, 11, 27, 21, 30, 0, 0, zone)
	later := at.Add(10 * time.Minute)
	return []take.Take{
		{
			ID: 1, Scene: "012", Slate: "A", Number: 3, Show: "tidewater", Location: "deep-end", Setup: "wide", Clip: "A001C003",
			Camera: take.Camera{ISO: 800, Stop: 2, ShutterDeg: 180, FPS: 60, Timeline: 24, BalanceK: 4300},
			Rolled: at, Cut: at.Add(30 * time.Second), Circled: true, Note: "she surfaces, \"late\"\nbut good", Looks: []string{"warden", "tide"},
			From: take.Timecode{Day: "21:30:00:00", In: "01:00:04:05"}, To: take.Timecode{Day: "21:30:30:00", In: "01:00:34:05"}, Photos: 1,
			Events: []take.Event{
				{N: 1, At: at, Kind: take.Roll, Location: "deep-end", Look: "warden", Cue: 1, Overall: 1, Timecode: take.Timecode{Day: "21:30:00:00", In: "01:00:04:05"}},
				{N: 2, At: at.Add(5 * time.Second), Kind: take.Cue, Location: "deep-end", Look: "tide", Cue: 2, FadeMS: 1600, Overall: 1, Timecode: take.Timecode{Day: "21:30:05:00", In: "01:00:09:05"}},
				{N: 3, At: at.Add(6600 * time.Millisecond), Kind: take.Settled, Location: "deep-end", Look: "tide", Cue: 2, Overall: 1, Progress: 1, Timecode: take.Timecode{Day: "21:30:06:14", In: "01:00:10:19"}},
				{N: 4, At: at.Add(20 * time.Second), Kind: take.Overall, Location: "deep-end", Look: "tide", Cue: 2, Overall: 0.8, Timecode: take.Timecode{Day: "21:30:20:00", In: "01:00:24:05"}},
				{N: 5, At: at.Add(30 * time.Second), Kind: take.End, Location: "deep-end", Look: "tide", Cue: 2, Overall: 0.8, Timecode: take.Timecode{Day: "21:30:30:00", In: "01:00:34:05"}},
			},
		},
		{
			ID: 2, Scene: "27A", Slate: "PU", Number: 1, Show: "tidewater", Location: "huts",
			Camera: take.Camera{FPS: 29.97, Timeline: 29.97}, Rolled: later, Cut: later.Add(60 * time.Second), Broken: true, Lost: 2, Looks: []string{"night"},
			From: take.Timecode{Day: "21:40:00;00"}, To: take.Timecode{Day: "21:41:00;02"},
			Events: []take.Event{
				{N: 1, At: later, Kind: take.Roll, Location: "huts", Look: "night", Overall: 1, Timecode: take.Timecode{Day: "21:40:00;00"}},
				{N: 2, At: later.Add(59960 * time.Millisecond), Kind: take.Kill, Location: "huts", Look: "night", Overall: 1, Killed: true, Timecode: take.Timecode{Day: "21:40:59;27"}},
			},
		},
		{ID: 3, Scene: "27A", Slate: "PU", Number: 2, Camera: take.Camera{Timeline: 24}, Rolled: later, From: take.Timecode{Day: "21:40:00:00"}},
	}
}

func TestListsAreAsAPersonHasReadThem(t *testing.T) {
	for _, form := range take.Forms {
		var out bytes.Buffer
		require.NoError(t, form.Write(&out, "Tidewater", night()))
		path := "testdata/night." + form.Name
		if *update {
			require.NoError(t, os.WriteFile(path, out.Bytes(), 0o644))
		}
		want, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Equal(t, string(want), out.String(), path)
	}
}

// encoding/csv of the Go library reads RFC 4180; the columns are those that the section
// on paperwork of the trade's facts lists, and ours behind them.
func TestCSVIsReadBack(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, take.WriteCSV(&out, night()))
	require.Equal(t, strings.Count(out.String(), "\n")-1, strings.Count(out.String(), "\r\n"), "lines end in CR LF (RFC 4180 2.1), but for the one within the note")
	r := csv.NewReader(&out)
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 8)
	require.Equal(t, []string{"timecode", "fps", "drop", "wall_time", "scene", "setup", "take", "look_from", "look_to", "fade_frames", "note"},
		[]string{rows[0][0], rows[0][1], rows[0][2], rows[0][3], rows[0][4], rows[0][6], rows[0][7], rows[0][8], rows[0][9], rows[0][10], rows[0][11]})
	require.Equal(t, "she surfaces, \"late\"\nbut good", rows[1][11])
	cue := rows[2]
	// A 1.6 s fade is 38.4 frames of 24 a second: 38 have begun.
	require.Equal(t, []string{"01:00:09:05", "24", "0", "2026-11-27T21:30:05.000+01:00", "012", "A", "wide", "3", "warden", "tide", "38"}, cue[:11])
	require.Equal(t, "1", rows[6][2], "drop-frame")
	for _, row := range rows {
		require.Len(t, row, len(rows[0]))
	}
}

// edlLine is an event by the published column layout of CMX3600 text, as an open adapter
// reads and writes it (OpenTimelineIO's CMX3600 adapter): event, reel of 8, track,
// transition, then source in and out and record in and out; out is exclusive.
var edlLine = regexp.MustCompile(`^(\d{3})  ([A-Z0-9]{1,8}) +V     C        (\d\d:\d\d:\d\d[:;]\d\d) (\d\d:\d\d:\d\d[:;]\d\d) (\d\d:\d\d:\d\d[:;]\d\d) (\d\d:\d\d:\d\d[:;]\d\d)$`)

func TestEDLKeepsToTheColumns(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, take.WriteEDL(&out, "Tidewater", night()))
	lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	require.Equal(t, "TITLE: Tidewater", lines[0])
	require.Equal(t, "FCM: NON-DROP FRAME", lines[1])
	var events [][]string
	for _, l := range lines[2:] {
		switch {
		case strings.HasPrefix(l, "* "), strings.HasPrefix(l, "FCM: "):
		default:
			m := edlLine.FindStringSubmatch(l)
			require.NotNil(t, m, l)
			require.Len(t, l, len("001  A001C003 V     C        01:00:04:05 01:00:04:14 01:00:00:00 01:00:00:09"), "the sample line of the adapter")
			events = append(events, m)
		}
	}
	require.Len(t, events, 2)
	require.Equal(t, []string{"001", "A001C003", "01:00:04:05", "01:00:34:05", "01:00:00:00", "01:00:30:00"}, events[0][1:])
	// A minute of the clock is 1798 frames of 29.97, and two labels are left out.
	require.Equal(t, []string{"002", "27APUT1", "21:40:00;00", "21:40:59;28"}, events[1][1:5])
	require.Contains(t, out.String(), "FCM: DROP FRAME\n002")
	require.Contains(t, out.String(), "* LOC: 01:00:09:05 CYAN    CUE 2 tide, FADE 1.6 S\n")
}

func TestEDLHasAnEnd(t *testing.T) {
	many := make([]take.Take, 1000)
	for i := range many {
		many[i] = night()[0]
	}
	var tooMany *take.TooManyError
	require.ErrorAs(t, take.WriteEDL(&bytes.Buffer{}, "Tidewater", many), &tooMany)
	require.NoError(t, take.WriteEDL(&bytes.Buffer{}, "Tidewater", many[:999]))
}

// Whatever people write, a line stays a line, a cell a cell.
func TestWordsBreakNoLines(t *testing.T) {
	for _, evil := range []string{"a\tb", "a\r\nb", "* LOC: x", "\x00\x1b[31m", "\u2028", `"`, ",", strings.Repeat("ü", 200)} {
		t1 := night()[0]
		t1.Note, t1.Scene, t1.Slate, t1.Setup, t1.Clip = evil, evil, evil, evil, evil
		t1.Events[1].Look = evil
		for _, form := range take.Forms {
			var out bytes.Buffer
			require.NoError(t, form.Write(&out, evil, []take.Take{t1}))
			switch form.Name {
			case "csv":
				rows, err := csv.NewReader(&out).ReadAll()
				require.NoError(t, err)
				require.Len(t, rows, 6)
			case "edl":
				require.Equal(t, 11, strings.Count(out.String(), "\n"), "%q: %s", evil, out.String())
			case "tab":
				lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
				require.Len(t, lines, 11)
				require.Equal(t, strings.Count(lines[7], "\t"), strings.Count(lines[10], "\t"))
			}
		}
	}
}

func TestParseDay(t *testing.T) {
	zone := time.FixedZone("", 3600)
	day, err := take.ParseDay("2026-11-27", zone)
	require.NoError(t, err)
	require.True(t, day.Equal(time.Date(2026, 11, 27, 0, 0, 0, 0, zone)))
	_, err = take.ParseDay("27.11.2026", zone)
	require.ErrorContains(t, err, "no day")
}

func ExampleWriteEDL() {
	_ = take.WriteEDL(os.Stdout, "Tidewater", night()[:1])
	// Output:
	// TITLE: Tidewater
	// FCM: NON-DROP FRAME
	// 001  A001C003 V     C        01:00:04:05 01:00:34:05 01:00:00:00 01:00:30:00
	// * FROM CLIP NAME: 012/A/3
	// * SCENE 012 SLATE A TAKE 3 CIRCLED
	// * SET-UP wide AT deep-end
	// * CAPTURE 60 FPS ON A TIMELINE OF 24
	// * LOC: 01:00:04:05 GREEN   ROLL IN warden
	// * LOC: 01:00:09:05 CYAN    CUE 2 tide, FADE 1.6 S
	// * LOC: 01:00:24:05 YELLOW  OVERALL 80 %
	// * NOTE: she surfaces, "late" but good
}
