package take

import (
	"fmt"
	"strings"
	"time"
)

// Take is one run of the camera. Times are by the daemon's clock.
type Take struct {
	ID       int64  `json:"id"` // of the journal, 1 or more; 0 before it is written down
	Scene    string `json:"scene"`
	Slate    string `json:"slate"`
	Number   int    `json:"number"` // counts up by scene and slate
	Show     string `json:"show"`
	Location string `json:"location"`
	Setup    string `json:"setup"` // "" when none was named
	Clip     string `json:"clip"`  // what the camera calls it, "" when nobody said
	Camera   Camera `json:"camera"`
	Tempo    Tempo  `json:"tempo"`
	// Rolled and Cut are when it began and ended; Cut is zero while it rolls.
	Rolled time.Time `json:"rolled"`
	Cut    time.Time `json:"cut,omitzero"`
	// Broken says that the daemon stopped while it rolled: Cut is when it was last
	// heard of.
	Broken   bool      `json:"broken"`
	From     Timecode  `json:"from"` // of Rolled and Cut
	To       Timecode  `json:"to"`
	Looks    []string  `json:"looks"` // in the order they came on, each once
	Note     string    `json:"note"`
	Circled  bool      `json:"circled"`
	Warnings []string  `json:"warnings"` // that stood at roll
	Readings []Reading `json:"readings"` // that lamps had told of themselves by then
	Lost     int       `json:"lost"`     // events that could not be written down
	Photos   int       `json:"photos"`
	Events   []Event   `json:"events,omitempty"` // empty in lists
	Came     []Came    `json:"came,omitempty"`   // in lists that ask for it
}

// Came is a look that was on at roll, or came on then.
type Came struct {
	Look    string `json:"look"`
	Cue     int    `json:"cue"`      // 0 for none of the sheet
	AfterMS int64  `json:"after_ms"` // from roll to the begin of its change
}

// Name is how a person calls it: scene, slate and number.
func (t *Take) Name() string { return fmt.Sprintf("%s/%s/%d", t.Scene, t.Slate, t.Number) }

// Duration is how long it ran, 0 while it rolls.
func (t *Take) Duration() time.Duration {
	if t.Cut.IsZero() {
		return 0
	}
	return t.Cut.Sub(t.Rolled)
}

// Camera is how it was shot.
type Camera struct {
	ISO        float64 `json:"iso"`
	Stop       float64 `json:"stop"` // T-stop
	ShutterDeg float64 `json:"shutter_deg"`
	FPS        float64 `json:"fps"`      // capture
	Timeline   float64 `json:"timeline"` // edit
	BalanceK   float64 `json:"balance_k"`
	LensMM     float64 `json:"lens_mm,omitempty"`
}

// Tempo is musical time; zero when the show has none.
type Tempo struct {
	BPM         float64 `json:"bpm"`
	BeatsPerBar int     `json:"beats_per_bar"`
}

// Reading is what a lamp had told of itself: a battery's voltage, a temperature.
type Reading struct {
	Device string  `json:"device"`
	Label  string  `json:"label"`
	Name   string  `json:"name"`
	Kind   string  `json:"kind"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
}

// Timecode are the labels of one moment: by the daemon's clock of day, and of the
// code that ran; In is "" while none did.
type Timecode struct {
	Day string `json:"day"`
	In  string `json:"in"`
}

// Best is the code that ran, else that of the day.
func (c Timecode) Best() string {
	if c.In != "" {
		return c.In
	}
	return c.Day
}

// Kind says what an event is about.
type Kind string

// The kinds of event.
const (
	Roll     Kind = "roll"
	Cue      Kind = "cue"     // a change to a look has begun
	Settled  Kind = "settled" // it has come to its end
	Hold     Kind = "hold"
	Resume   Kind = "resume"
	Ride     Kind = "ride" // a thumb has left the fade where it is
	Overall  Kind = "overall"
	Kill     Kind = "kill"
	Work     Kind = "work light"
	Restored Kind = "restored" // kill or work light has ended
	Location Kind = "location"
	Dry      Kind = "dry run"
	End      Kind = "cut"
)

// Event is what the lamps had at one moment of a take.
type Event struct {
	N        int       `json:"n"` // 1 is roll
	At       time.Time `json:"at"`
	Kind     Kind      `json:"kind"`
	Location string    `json:"location"`
	Look     string    `json:"look"`
	Cue      int       `json:"cue"`     // 0 for none of the sheet
	FadeMS   int64     `json:"fade_ms"` // of the change that runs, 0 for none
	Progress float64   `json:"progress"`
	Overall  float64   `json:"overall"`
	Dark     bool      `json:"dark"` // floor light was let go
	Killed   bool      `json:"killed"`
	Dry      bool      `json:"dry"` // nothing was sent to the lamps
	Timecode Timecode  `json:"timecode"`
	Lamps    []Lamp    `json:"lamps,omitempty"`
}

// Lamp is what one lamp had.
type Lamp struct {
	Kit     string `json:"kit"`
	Rig     string `json:"rig"` // its place at the location
	Type    string `json:"type"`
	Mode    string `json:"mode"`
	Address string `json:"address"` // "0:0:1.001"
	// Print tells modes apart that share a name: a digest of where its channels are.
	Print string `json:"print"`
	Bytes []byte `json:"bytes"` // of its slots, as they went out; base64 in JSON
	// Cells is the light of each cell: CIE 1931 X, Y, Z with Y in lumens.
	Cells [][3]float32 `json:"cells"`
}

// Find gives event n, or the one at roll for 0; nil when there is none.
func (t *Take) Find(n int) *Event {
	for i := range t.Events {
		if t.Events[i].N == max(n, 1) {
			return &t.Events[i]
		}
	}
	return nil
}

// Query is what takes are looked for by; the zero Query finds all, newest first.
type Query struct {
	Scene    string
	Slate    string
	Look     string // that came on in it
	Location string
	Since    time.Time // rolled then or later
	Until    time.Time // rolled before
	Circled  bool      // circled ones only
	Oldest   bool      // oldest first
	Came     bool      // tell when the looks of each came on
	Limit    int       // most takes to give; 0 is DefaultLimit
	Offset   int       // takes to pass over
}

// DefaultLimit and MostLimit are how many takes a page of a list has.
const (
	DefaultLimit = 50
	MostLimit    = 1000
)

// Change is what is put right of a take that is written down; nil leaves as it is.
type Change struct {
	Scene, Slate, Note, Clip *string
	Number                   *int
	Circled                  *bool
}

// Photo is a picture that belongs to a take.
type Photo struct {
	N      int       `json:"n"`
	Taken  time.Time `json:"taken"` // when it came in
	Width  int       `json:"width"`
	Height int       `json:"height"`
	Bytes  int       `json:"bytes"`
	JPEG   []byte    `json:"-"`
}

// The longest texts that are taken.
const (
	LongestName = 32
	LongestNote = 2000
)

// Clean takes control characters out of a text and the space around it, so that a
// line of a list stays one line.
func Clean(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r >= 0x80 && r < 0xa0 || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, "\uFFFD")))
}
