package session

import (
	"time"

	"linkboy/cues"
)

// What a cue of a time line waits for.
const (
	waitsStart    = "start" // the first of the sheet
	waitsPerson   = "person"
	waitsFollow   = "follow"
	waitsTimecode = "timecode"
)

// Timeline is the cue sheet laid out in time, by the clock and the tempo of now. Times
// are in real milliseconds from the start of the first cue; times on screen are those of the
// edit, slow motion taken in.
type Timeline struct {
	Revision uint32  `json:"revision"`
	Location string  `json:"location"`
	Capture  float64 `json:"capture_fps"`
	Timeline float64 `json:"timeline_fps"`
	Tempo    *Tempo  `json:"tempo"`
	// Gap stands between two cues where a person waits as long as it takes.
	Gap      float64       `json:"gap_ms"`
	End      float64       `json:"end_ms"` // of the cue that ends last
	OnScreen float64       `json:"end_on_screen_ms"`
	Cues     []TimelineCue `json:"cues"`
	// Walks are those of stand-ins, in file order.
	Walks []TimelineWalk `json:"walks"`
}

// TimelineWalk is the way of one stand-in, at one speed from the first point to the last.
type TimelineWalk struct {
	Name   string       `json:"name"`
	Height float64      `json:"height_m"`
	Points [][3]float64 `json:"points"`
	Cue    int          `json:"cue"` // it begins with
	Start  float64      `json:"start_ms"`
	End    float64      `json:"end_ms"`
}

// TimelineCue is one cue of it. A cue may begin before the one before it has ended, by
// its time code: it then cuts that one short.
type TimelineCue struct {
	Cue      int     `json:"cue"`
	From     string  `json:"from"` // look that it comes from; "" is the dark
	Look     string  `json:"look"`
	Waits    string  `json:"waits"`    // for what it begins: "start", "person", "follow", "timecode"
	Start    float64 `json:"start_ms"` // its delay begins
	Delay    float64 `json:"delay_ms"`
	Spread   float64 `json:"spread_ms"`
	Fade     float64 `json:"fade_ms"`
	End      float64 `json:"end_ms"`   // the last cell has arrived
	After    float64 `json:"after_ms"` // from the end of the cue before, where it follows
	StartOn  float64 `json:"start_on_screen_ms"`
	EndOn    float64 `json:"end_on_screen_ms"`
	Frame    int64   `json:"start_frame"` // captured frames since the start, the first whole one in it
	EndFrame int64   `json:"end_frame"`
	Timecode string  `json:"timecode"`
	Dark     bool    `json:"dark"`
	Note     string  `json:"note"`
	Problem  string  `json:"problem,omitempty"` // why it cannot run; its times are then 0
}

// Timeline lays out the cue sheet. wait is how long a person is taken to wait before
// a cue that runs by hand, as a time of the cue sheet: "2 s", "4 beats", "" for none. The
// error is a *Refusal.
func (s *Session) Timeline(wait string) (Timeline, error) {
	s.mu.Lock()
	site, revision, clock, tempo := s.site.Load(), s.revision, s.clock(), s.tempoState()
	gap, err := time.Duration(0), error(nil)
	if wait != "" {
		gap, err = s.duration(wait, "gap")
	}
	s.mu.Unlock()
	if err != nil {
		return Timeline{}, err
	}
	t := Timeline{
		Revision: revision, Location: site.loc.Name, Capture: clock.Capture, Timeline: clock.Timeline, Tempo: tempo, Gap: ms(gap),
		Cues: []TimelineCue{}, Walks: []TimelineWalk{},
	}
	b := layout{site: site, clock: clock, gap: gap}
	for _, c := range site.loc.Cues {
		line := b.add(c)
		t.End = max(t.End, line.End)
		t.OnScreen = max(t.OnScreen, line.EndOn)
		t.Cues = append(t.Cues, line)
	}
	for i := range site.loc.StandIns {
		if w, ok := walkOf(site.loc, &site.loc.StandIns[i], clock, t.Cues); ok {
			t.Walks = append(t.Walks, w)
		}
	}
	return t, nil
}

// walkOf gives the walk of a stand-in; false where it has none that can be timed.
func walkOf(loc *cues.Location, in *cues.StandIn, clock cues.Clock, sheet []TimelineCue) (TimelineWalk, bool) {
	w := in.Walk
	if w == nil || w.Cue < 1 || w.Cue > len(sheet) {
		return TimelineWalk{}, false
	}
	mark := loc.Mark(w.Mark)
	takes, err := w.Takes.Real(clock)
	if mark == nil || err != nil {
		return TimelineWalk{}, false
	}
	out := TimelineWalk{Name: in.Name, Height: in.HeightM, Cue: w.Cue, Start: sheet[w.Cue-1].Start, Points: [][3]float64{}}
	out.End = out.Start + ms(takes)
	for _, at := range mark.Points {
		out.Points = append(out.Points, at)
	}
	return out, true
}

// layout puts cues one after the other.
type layout struct {
	site  *site
	clock cues.Clock
	gap   time.Duration
	from  string        // look before
	end   time.Duration // of the cue before
	coded *cues.Cue     // the newest that has a time code, and where it begins
	at    time.Duration
}

func (b *layout) add(c *cues.Cue) TimelineCue {
	line := TimelineCue{Cue: c.Number, From: b.from, Look: c.Look, Dark: c.Dark, Note: c.Note, Timecode: c.Timecode.String()}
	b.from = c.Look
	start := b.start(c, &line)
	timing, err := b.site.place.TimingBy(b.clock, c)
	if err == nil {
		_, err = b.site.lookOf(c.Look, c.Dark)
	}
	if err != nil {
		line.Problem = err.Error()
	}
	end := start + timing.Total()
	b.end = end
	line.Start, line.Delay, line.Spread, line.Fade, line.End = ms(start), ms(timing.Delay), ms(timing.Spread), ms(timing.Fade), ms(end)
	line.StartOn, line.EndOn = ms(b.clock.OnScreen(start)), ms(b.clock.OnScreen(end))
	line.Frame, line.EndFrame = b.clock.Frame(start), b.clock.Frame(end)
	return line
}

// start finds when a cue begins.
func (b *layout) start(c *cues.Cue, line *TimelineCue) time.Duration {
	at := b.end + b.gap
	switch {
	case c.After != nil && c.Number > 1:
		line.Waits = waitsFollow
		after, err := c.After.Real(b.clock)
		if err != nil {
			line.Problem = err.Error()
		}
		line.After = ms(after)
		at = b.end + after
	case !c.Timecode.IsZero() && b.coded != nil && c.Timecode.Time() >= b.coded.Timecode.Time():
		line.Waits = waitsTimecode
		at = b.at + c.Timecode.Time() - b.coded.Timecode.Time()
	case c.Number == 1:
		line.Waits, at = waitsStart, 0
	case !c.Timecode.IsZero():
		line.Waits = waitsTimecode // where in the sheet it falls is not known: as by hand
	default:
		line.Waits = waitsPerson
	}
	if !c.Timecode.IsZero() {
		b.coded, b.at = c, at
	}
	return at
}
