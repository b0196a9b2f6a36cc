package session_test

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/session"
	"linkboy/cues/showfile"
)

// frame is one frame that went out.
type frame struct {
	at    time.Time
	first bool
	bytes [][]byte
}

// recorder is an output that keeps every frame.
type recorder struct {
	mu     sync.Mutex
	frames []frame
	ports  []uint16
}

func (r *recorder) SendFrame(addresses []uint16, slots [][]byte, first bool) error {
	f := frame{at: time.Now(), first: first}
	for _, b := range slots {
		f.bytes = append(f.bytes, slices.Clone(b))
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.frames = append(r.frames, f)
	r.ports = slices.Clone(addresses)
	return nil
}

func (r *recorder) count() int {
	r.mu.Lock()
	defer r.mu.Unlock()
	return len(r.frames)
}

// addresses are the port-addresses of the newest frame.
func (r *recorder) addresses() []uint16 {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.ports
}

func (r *recorder) last() frame {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.frames[len(r.frames)-1]
}

func (r *recorder) from(n int) []frame {
	r.mu.Lock()
	defer r.mu.Unlock()
	return slices.Clone(r.frames[n:])
}

// testShow is a small invented show: two places, looks of two characters, a
// cue sheet with a follow, a dark cue and a cue that cannot run.
func testShow(tb testing.TB) *cues.Show {
	types := showfile.BuiltinTypes()
	kind := func(name, mode string) *cues.KitLamp {
		for _, t := range types {
			if t.Name == name {
				m, ok := t.Mode(mode)
				require.True(tb, ok, mode)
				return &cues.KitLamp{ID: name, Type: t, Mode: m}
			}
		}
		require.Fail(tb, name)
		return nil
	}
	form := func(f colour.Form) cues.Colour { return cues.Colour{Form: f} }
	cast := func(name string, lead, second float64) *cues.Character {
		return &cues.Character{Name: name, Colours: []cues.NamedColour{
			{Name: "lead", Colour: form(colour.HueSat{Hue: lead, Sat: 0.9})},
			{Name: "second", Colour: form(colour.HueSat{Hue: second, Sat: 0.9})},
		}}
	}
	level := func(v float64) cues.Level { return cues.Level{Kind: cues.Share, Value: v} }
	names := func(n ...string) (out []cues.Colour) {
		for _, name := range n {
			out = append(out, cues.Colour{Cast: name})
		}
		return out
	}
	white := form(colour.White{CCT: colour.CCT{T: 3200}})
	show := &cues.Show{
		Title: "Tidewater", Timeline: 24, Tempo: cues.Tempo{BPM: 120, BeatsPerBar: 4},
		Camera: cues.Camera{FPS: 24, Balance: 4300},
		Safety: cues.Safety{
			Floor: cues.FloorLight{On: "floor", Level: 0.1, Colour: white},
			Work:  cues.WorkLight{Level: 0.8},
		},
		Cast: []*cues.Character{cast("warden", 32, 8), cast("tide", 186, 262)},
		Looks: []*cues.Look{
			{Name: "warden", Wears: "warden", Note: "amber", Paint: []cues.Paint{
				{On: "key", Pattern: cues.Solid, Colours: []cues.Colour{white}, Level: level(0.3)},
				{On: "edge", Pattern: cues.Alternate, Colours: names("lead", "second"), Level: level(0.5)},
				{On: "gallery", Pattern: cues.Solid, Colours: names("lead"), Level: level(0.5)},
			}},
			{Name: "tide", From: "warden", Wears: "tide"},
			{Name: "night", Paint: []cues.Paint{{On: "edge", Pattern: cues.Solid, Colours: []cues.Colour{form(colour.HueSat{Hue: 240, Sat: 0.9})}, Level: level(0.02)}}},
			{Name: "ring", Paint: []cues.Paint{{On: "key", Pattern: cues.Solid, Colours: []cues.Colour{white},
				Level: cues.Level{Kind: cues.StopsUnder, Value: -1, Group: "key", Mark: "a", At: cues.Pos{File: "show.yaml", Line: 30, Column: 9}}}}},
		},
	}
	seconds := func(v float64) cues.Duration { return cues.Duration{Amount: v, Unit: cues.Seconds} }
	place := func(name string, port uint16) *cues.Location {
		loc := &cues.Location{Name: name}
		slot := 1
		add := func(id, kindName, mode, group string) {
			k := kind(kindName, mode)
			l := &cues.RigLamp{ID: id, Lamp: k, Place: cues.Point{float64(len(loc.Rig)), 2, 0}, Along: cues.Point{1, 0, 0}, Address: cues.Address{Port: port, Slot: slot}}
			slot += k.Mode.Footprint
			loc.Rig = append(loc.Rig, l)
			m := cues.Member{Lamp: l, Last: k.Mode.Cells - 1}
			if g := loc.Group(group); g != nil {
				g.Members = append(g.Members, m)
				return
			}
			loc.Groups = append(loc.Groups, &cues.Group{Name: group, Members: []cues.Member{m}})
		}
		add("k1", "key-bicolour", "16-bit", "key")
		add("lane-1", "tube-rgbww-4ft", "2-cell-16-bit", "edge")
		add("lane-2", "tube-rgbww-4ft", "2-cell-16-bit", "edge")
		add("w1", "puck-rgbw", "16-bit", "floor")
		return loc
	}
	deep, stage := place("deep-end", 1), place("diving-stage", 2)
	deep.Set = []cues.SetPiece{{Name: "pool floor", Shape: cues.Box{Centre: cues.Point{7, 4, 0}, Size: cues.Point{14, 9, 0.1}}}}
	deep.Marks = []cues.Mark{{Name: "a", Points: []cues.Point{{6, 4, 0}}}}
	deep.Setups = []*cues.Setup{{Name: "wide", Camera: cues.Point{6, -4, 1.5}, LookAt: cues.Point{6, 4, 0}}}
	after := seconds(1.5)
	deep.Cues = []*cues.Cue{
		{Look: "warden", Note: "start"},
		{Look: "tide", Fade: seconds(4), Note: "she surfaces"},
		{Look: "warden", Fade: seconds(2), After: &after},
		{Look: "night", Fade: seconds(1), Dark: true},
		{Look: "ring", Fade: seconds(1)},
	}
	stage.Cues = []*cues.Cue{{Look: "tide"}, {Look: "warden", Fade: seconds(1)}}
	for _, loc := range []*cues.Location{deep, stage} {
		for i, c := range loc.Cues {
			c.Number = i + 1
		}
	}
	show.Locations = []*cues.Location{deep, stage}
	return show
}

// set is a session that runs on a recorder, in fake time.
type set struct {
	*session.Session
	t    *testing.T
	out  *recorder
	show *cues.Show
	stop func()
}

// play runs a test in a bubble of fake time on a session that has started.
func play(t *testing.T, body func(*set), change ...func(*session.Config)) {
	synctest.Test(t, func(t *testing.T) {
		s := begin(t, testShow(t), change...)
		defer func() { s.stop() }()
		body(s)
	})
}

// begin opens and runs a session.
func begin(t *testing.T, show *cues.Show, change ...func(*session.Config)) *set {
	out := &recorder{}
	cfg := session.Config{Show: show, Output: out}
	for _, c := range change {
		c(&cfg)
	}
	s, problems, err := session.Open(cfg)
	require.NoError(t, err)
	require.False(t, problems.HasErrors(), problems)
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Run(ctx) }()
	synctest.Wait()
	return &set{Session: s, t: t, out: out, show: show, stop: func() {
		cancel()
		require.NoError(t, <-done)
	}}
}

// place compiles the location that is on, apart from the session.
func (s *set) place() *compile.Place {
	p, problems := compile.Location(s.show, s.show.Location(s.State().Location))
	require.False(s.t, problems.HasErrors())
	return p
}

// bytesOf gives what the wire carries once a look has settled.
func (s *set) bytesOf(look string, floor bool) [][]byte {
	p := s.place()
	still, _, problems := p.Still(s.show.Look(p.Location, look))
	require.False(s.t, problems.HasErrors())
	return p.Frame(still, floor)
}

// shows checks that a look is what is on the wire now.
func (s *set) shows(look string) {
	s.t.Helper()
	s.pass(time.Second / 10)
	require.Equal(s.t, s.bytesOf(look, true), s.out.last().bytes, "the wire does not show %q", look)
	require.Equal(s.t, look, s.State().Look)
}

// pass lets time go by.
func (s *set) pass(d time.Duration) {
	time.Sleep(d)
	synctest.Wait()
}

// tick lets the next frame go out.
func (s *set) tick() { s.pass(time.Second / 40) }

func (s *set) cue(n int) session.CueRequest {
	return session.CueRequest{Target: session.Target{Cue: &n}}
}

func look(name string) session.CueRequest {
	return session.CueRequest{Target: session.Target{Look: name}}
}

// refused checks that a verb was refused and that nothing has changed by it.
func refused(t *testing.T, err error, kind session.Kind, code string) *session.Refusal {
	t.Helper()
	var r *session.Refusal
	require.ErrorAs(t, err, &r)
	require.Equal(t, code, r.Code)
	require.Equal(t, kind, r.Kind, fmt.Sprint(r))
	require.NotEmpty(t, r.Message)
	require.NotEmpty(t, r.Mend)
	return r
}

// lumens is the light of all cells on the wire.
func (s *set) lumens() float64 {
	sum := 0.0
	for _, c := range s.Cells(nil) {
		sum += c.Y
	}
	return sum
}
