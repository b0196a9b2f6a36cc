package server_test

import (
	"fmt"
	"maps"
	"slices"
	"sync"
	"time"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/cues/against"
	"linkboy/cues/script"
	"linkboy/cues/session"
	"linkboy/cues/stage"
	"linkboy/cues/take"
)

// fakeDirector obeys every verb by writing it down. Looks that it does not
// know, and a resume while nothing is held, it refuses as the real one does.
type fakeDirector struct {
	mu      sync.Mutex
	state   session.State
	cells   []colour.XYZ
	version uint64 // of cells
	asked   int    // how often cells were asked for
	done    []string
	trigger session.Trigger // of the newest verb
	fail    error           // every verb's answer, when set
	onCue   func()
	readers map[chan struct{}]struct{}
}

var knownLooks = []string{"warden", "tide"}

func newFake() *fakeDirector {
	return &fakeDirector{
		state: session.State{
			Show: "tidewater", Title: "Tidewater", Location: "deep-end", Look: "warden", Overall: 1,
			Output: session.Output{Frames: 7, Rate: 44, LateUSP99: 250, Skipped: 3, SendErrors: 2, Universes: 2,
				Late: session.Histogram{Count: [13]uint64{2: 4, 12: 1}, Sum: 2 * time.Second}},
			Warnings: []session.Warning{{Code: "clips", Message: "lane-1 cannot show tide", Where: "lane-1", Mend: "choose another colour"}},
			Revision: 1,
		},
		cells:   []colour.XYZ{{X: 1, Y: 2, Z: 3}, {X: 0.5, Y: 0.25, Z: 0.125}},
		readers: map[chan struct{}]struct{}{},
	}
}

// change changes the state and wakes whoever subscribed.
func (d *fakeDirector) change(f func(*session.State)) {
	d.mu.Lock()
	defer d.mu.Unlock()
	f(&d.state)
	d.wake()
}

func (d *fakeDirector) wake() {
	for r := range d.readers {
		select {
		case r <- struct{}{}:
		default:
		}
	}
}

// light changes the light of the cells; nobody is woken, as in a fade.
func (d *fakeDirector) light(y float64) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for i := range d.cells {
		d.cells[i].Y = y
	}
	d.state.Output.Frames++
	d.version++
}

// verbs gives what was done since the last call.
func (d *fakeDirector) verbs() []string {
	d.mu.Lock()
	defer d.mu.Unlock()
	done := d.done
	d.done = nil
	return done
}

func (d *fakeDirector) readerCount() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	return len(d.readers)
}

func (d *fakeDirector) do(f func(*session.State), format string, args ...any) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.fail != nil {
		return d.fail
	}
	d.done = append(d.done, fmt.Sprintf(format, args...))
	if f != nil {
		f(&d.state)
	}
	d.wake()
	return nil
}

func (d *fakeDirector) Cue(r session.CueRequest) error {
	if d.onCue != nil {
		d.onCue()
	}
	if r.Look != "" && !slices.Contains(knownLooks, r.Look) {
		return unknownLook(r.Look)
	}
	at := "-"
	if r.At != nil {
		at = fmt.Sprint(*r.At)
	}
	in := ""
	if r.CountIn != "" {
		in = " in=" + r.CountIn
	}
	return d.do(func(st *session.State) {
		if r.Look != "" {
			st.Look = r.Look
		}
	}, "cue %s fade=%s delay=%s curve=%s path=%s spread=%s at=%s%s", target(r.Target), r.Fade, r.Delay, r.Curve, r.Path, r.Spread, at, in)
}

func unknownLook(name string) error {
	return &session.Refusal{Code: "unknown-look", Message: fmt.Sprintf("there is no look %q", name), Where: "look", Mend: `write "tide"`, Kind: session.Unknown}
}

func target(t session.Target) string {
	if t.Cue != nil {
		return fmt.Sprintf("#%d%s", *t.Cue, t.Look)
	}
	return t.Look
}

func (d *fakeDirector) Standby(t session.Target) error {
	if t.Take != 0 {
		return d.do(nil, "standby take %d event=%d", t.Take, t.Event)
	}
	return d.do(nil, "standby %s", target(t))
}
func (d *fakeDirector) Timecode(r session.TimecodeRequest) error {
	run := "-"
	if r.Run != nil {
		run = fmt.Sprint(*r.Run)
	}
	more := ""
	if r.Jam || r.Offset != "" {
		more = fmt.Sprintf(" jam=%t offset=%s", r.Jam, r.Offset)
	}
	return d.do(nil, "timecode run=%s at=%s%s", run, r.At, more)
}
func (d *fakeDirector) Tempo(r session.TempoRequest) error {
	bpm, beats := "-", "-"
	if r.BPM != nil {
		bpm = fmt.Sprint(*r.BPM)
	}
	if r.BeatsPerBar != nil {
		beats = fmt.Sprint(*r.BeatsPerBar)
	}
	return d.do(nil, "tempo bpm=%s taps=%v beats=%s written=%t", bpm, r.Taps, beats, r.AsWritten)
}

func (d *fakeDirector) Do(t session.Trigger, verb func() error) error {
	d.mu.Lock()
	d.trigger = t
	d.mu.Unlock()
	return verb()
}

// by gives who asked for the newest verb.
func (d *fakeDirector) by() session.Trigger {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.trigger
}

func (d *fakeDirector) Timeline(gap string) (session.Timeline, error) {
	if gap == "soon" {
		return session.Timeline{}, unknownLook(gap)
	}
	return session.Timeline{Revision: 1, Location: "deep-end " + gap, Cues: []session.TimelineCue{{Cue: 1, Look: "warden"}}}, nil
}

func (d *fakeDirector) CueCells(cue int, at float64) ([]colour.XYZ, error) {
	if cue > 2 {
		return nil, unknownLook("none")
	}
	return []colour.XYZ{{X: float64(cue), Y: at, Z: 1}}, nil
}

func (d *fakeDirector) CueSeen(cue int, at float64) ([]camera.RGB, error) {
	if cue > 2 {
		return nil, unknownLook("none")
	}
	return []camera.RGB{{R: float64(cue), G: at, B: 1}}, nil
}

func (d *fakeDirector) LightVersion() uint64 {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.version
}
func (d *fakeDirector) Hold() error {
	return d.do(func(st *session.State) { st.Held = true }, "hold")
}
func (d *fakeDirector) Resume() error {
	d.mu.Lock()
	held := d.state.Held
	d.mu.Unlock()
	if !held {
		return &session.Refusal{Code: "not-held", Message: "nothing is held", Mend: "hold a fade first", Kind: session.Conflict}
	}
	return d.do(func(st *session.State) { st.Held = false }, "resume")
}
func (d *fakeDirector) Snap() error           { return d.do(nil, "snap") }
func (d *fakeDirector) Back() error           { return d.do(nil, "back") }
func (d *fakeDirector) Ride(at float64) error { return d.do(nil, "ride %g", at) }
func (d *fakeDirector) Overall(level string) error {
	if level == "loud" {
		return &session.Refusal{Code: "bad-level", Message: `"loud" is no level`, Where: "level", Mend: `write it like "80%"`, Kind: session.Invalid}
	}
	return d.do(nil, "overall %s", level)
}
func (d *fakeDirector) WorkLight(on *bool) error {
	if on == nil {
		return d.do(nil, "worklight other")
	}
	return d.do(nil, "worklight %t", *on)
}
func (d *fakeDirector) Kill(on bool) error { return d.do(nil, "kill %t", on) }
func (d *fakeDirector) Dry(on bool) error  { return d.do(nil, "dry %t", on) }
func (d *fakeDirector) Point(lamp string, dim bool) error {
	return d.do(nil, "point %s %t", lamp, dim)
}
func (d *fakeDirector) Location(name string) error { return d.do(nil, "location %s", name) }

func (d *fakeDirector) Take(r session.TakeRequest) error {
	words := ""
	for _, w := range []*string{r.Scene, r.Slate, r.Clip, r.Note} {
		if w == nil {
			words += " -"
		} else {
			words += " " + *w
		}
	}
	circled, number := "-", "-"
	if r.Circled != nil {
		circled = fmt.Sprint(*r.Circled)
	}
	if r.Number != nil {
		number = fmt.Sprint(*r.Number)
	}
	return d.do(nil, "take %s%s number=%s circled=%s setup=%s of=%d", r.Do, words, number, circled, r.Setup, r.Take)
}

func (d *fakeDirector) AsShot(r session.ShotRequest) error {
	return d.do(nil, "as-shot %d event=%d fade=%s", r.Take, r.Event, r.Fade)
}

func (d *fakeDirector) TakeDiffers(id int64, event int) ([]take.Difference, error) {
	if id != 1 {
		return nil, &session.Refusal{Code: "unknown-take", Message: fmt.Sprintf("no such take: %d", id), Mend: "see /api/takes", Kind: session.Unknown}
	}
	return []take.Difference{{Kit: "T1", Rig: "lane-1", State: take.Differs, Stops: -0.5, Cell: event, Other: []string{}}}, nil
}

func (d *fakeDirector) Setup(r session.SetupRequest) error {
	return d.do(nil, "setup %s fade=%s", r.Setup, r.Fade)
}

func (d *fakeDirector) State() session.State {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.state
}

func (d *fakeDirector) Subscribe() (<-chan struct{}, func()) {
	d.mu.Lock()
	defer d.mu.Unlock()
	r := make(chan struct{}, 1)
	d.readers[r] = struct{}{}
	return r, func() {
		d.mu.Lock()
		defer d.mu.Unlock()
		delete(d.readers, r)
	}
}

func (d *fakeDirector) Plan() session.Plan {
	return session.Plan{Revision: d.State().Revision, Show: "tidewater", Location: "deep-end", Locations: []string{"deep-end", "pump-room"}}
}

func (d *fakeDirector) Cells(dst []colour.XYZ) []colour.XYZ {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.asked++
	return append(dst[:0], d.cells...)
}

func (d *fakeDirector) LookCells(name string) ([]colour.XYZ, error) {
	looks := map[string][]colour.XYZ{"warden": {{X: 4, Y: 5, Z: 6}}, "tide": nil, "low tide": {{Y: 1}}}
	cells, ok := looks[name]
	if !ok {
		return nil, unknownLook(name + fmt.Sprint(slices.Sorted(maps.Keys(looks))))
	}
	return cells, nil
}

func (d *fakeDirector) Scene() (*stage.Scene, error) {
	return &stage.Scene{Location: "deep-end", Revision: d.State().Revision, Aspect: 16.0 / 9}, nil
}

func (d *fakeDirector) Seen(dst []camera.RGB) []camera.RGB {
	d.mu.Lock()
	defer d.mu.Unlock()
	dst = dst[:0]
	for _, c := range d.cells {
		dst = append(dst, camera.RGB{R: c.Y, G: 2 * c.Y, B: 0})
	}
	return dst
}

func (d *fakeDirector) LookSeen(name string) ([]camera.RGB, error) {
	cells, err := d.LookCells(name)
	var seen []camera.RGB
	for _, c := range cells {
		seen = append(seen, camera.RGB{R: c.X, G: c.Y, B: c.Z})
	}
	return seen, err
}

func (d *fakeDirector) Frames() ([]uint16, [][]byte) {
	return []uint16{1, 0x123}, [][]byte{{0, 128, 255}, {9}}
}

func (d *fakeDirector) LookPaint(name string) (session.LookPaint, error) {
	_, err := d.LookCells(name)
	return session.LookPaint{Look: name, Layers: []session.PaintLayer{}}, err
}

func (d *fakeDirector) LookAgainst(look, other string) (*against.Report, error) {
	if _, err := d.LookCells(look); err != nil {
		return nil, err
	}
	_, err := d.LookCells(other)
	return &against.Report{Look: look, Against: other, Groups: []against.Group{}}, err
}

func (d *fakeDirector) Reach(cells []int) (session.Reach, error) {
	r := session.Reach{}
	for _, c := range cells {
		r.Shared = append(r.Shared, [2]float64{float64(c), 0})
	}
	return r, nil
}

func (d *fakeDirector) Script() []script.Row { return []script.Row{{Look: "tide"}} }
