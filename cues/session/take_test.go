package session_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/session"
	"linkboy/cues/showfile"
	"linkboy/cues/take"
)

// logbook is a journal in memory. With full set it answers as a full disk does.
type logbook struct {
	mu    sync.Mutex
	takes map[int64]*take.Take
	last  [2]string
	full  bool
	lost  uint64
}

func newLogbook() *logbook { return &logbook{takes: map[int64]*take.Take{}} }

var errFull = errors.New("database or disk is full")

func (b *logbook) Wait(context.Context) error { return nil }

func (b *logbook) Next(scene, slate string) (string, string, int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if scene == "" && slate == "" {
		scene, slate = b.last[0], b.last[1]
	}
	n := 0
	for _, t := range b.takes {
		if t.Scene == scene && t.Slate == slate {
			n = max(n, t.Number)
		}
	}
	return scene, slate, n + 1
}

func (b *logbook) answer(err error) take.Ack {
	ack, answer := take.NewAck()
	answer(err)
	return ack
}

func (b *logbook) Roll(t take.Take, first func() take.Event) (take.Take, take.Ack) {
	_, _, n := b.Next(t.Scene, t.Slate)
	if t.Number == 0 {
		t.Number = n
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	t.ID = int64(len(b.takes) + 1)
	b.last = [2]string{t.Scene, t.Slate}
	if b.full {
		return t, b.answer(errFull)
	}
	for _, o := range b.takes {
		if o.Scene == t.Scene && o.Slate == t.Slate && o.Number == t.Number {
			return t, b.answer(fmt.Errorf("%w: take %d", take.ErrDoubled, o.ID))
		}
	}
	kept := t
	kept.Events = []take.Event{first()}
	b.takes[t.ID] = &kept
	return t, b.answer(nil)
}

func (b *logbook) Event(id int64, event func() take.Event) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if t := b.takes[id]; t != nil && !b.full {
		t.Events = append(t.Events, event())
		return
	}
	b.lost++
}

func (b *logbook) Cut(t take.Take, last func() take.Event) take.Ack {
	b.Event(t.ID, last)
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.full {
		return b.answer(errFull)
	}
	t.Events = b.takes[t.ID].Events
	b.takes[t.ID] = &t
	return b.answer(nil)
}

func (b *logbook) Change(_ context.Context, id int64, c take.Change) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	t := b.takes[id]
	if t == nil {
		return fmt.Errorf("%w: %d", take.ErrUnknown, id)
	}
	if c.Note != nil {
		t.Note = *c.Note
	}
	if c.Circled != nil {
		t.Circled = *c.Circled
	}
	return nil
}

func (b *logbook) Get(_ context.Context, id int64) (*take.Take, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	t := b.takes[id]
	if t == nil {
		return nil, fmt.Errorf("%w: %d", take.ErrUnknown, id)
	}
	again := *t
	return &again, nil
}

func (b *logbook) Status() take.Status {
	b.mu.Lock()
	defer b.mu.Unlock()
	st := take.Status{Path: "journal.db", Ready: true, Lost: b.lost}
	if b.full {
		st.Err = errFull
	}
	return st
}

// kinds lists what was written down of a take.
func (b *logbook) kinds(id int64) []take.Kind {
	b.mu.Lock()
	defer b.mu.Unlock()
	var out []take.Kind
	for _, e := range b.takes[id].Events {
		out = append(out, e.Kind)
	}
	return out
}

func logged(b *logbook) func(*session.Config) {
	return func(cfg *session.Config) { cfg.Journal = b }
}

func roll(scene, slate string) session.TakeRequest {
	return session.TakeRequest{Do: "roll", Scene: &scene, Slate: &slate}
}

var cut = session.TakeRequest{Do: "cut"}

func TestRollMakesTheSetHot(t *testing.T) {
	book := newLogbook()
	play(t, func(s *set) {
		s.pass(time.Second)
		st := s.State()
		require.False(t, st.Hot)
		require.Nil(t, st.Take)
		refused(t, s.Take(cut), session.Conflict, "not-rolling")
		refused(t, s.Take(session.TakeRequest{Do: "roll"}), session.Invalid, "no-slate")
		refused(t, s.Take(session.TakeRequest{Do: "print"}), session.Invalid, "no-target")

		r := roll(" 12\n", "A")
		r.Setup, r.Note = "wide", new("she surfaces")
		require.NoError(t, s.Take(r))
		st = s.State()
		require.True(t, st.Hot)
		require.Equal(t, &session.TakeMark{ID: 1, Scene: "12", Slate: "A", Number: 1, Setup: "wide", Since: time.Now(), Kept: new(true), Note: "she surfaces"}, st.Take)
		refused(t, s.Take(r), session.Conflict, "hot-set")
		s.pass(10 * time.Second)
		require.NoError(t, s.Take(session.TakeRequest{Do: "cut", Circled: new(true)}))
		st = s.State()
		require.False(t, st.Hot)
		require.Nil(t, st.Take)
		require.True(t, st.LastTake.Circled)
		require.True(t, *st.LastTake.Kept)
		require.Equal(t, &session.NextTake{Scene: "12", Slate: "A", Number: 2}, st.NextTake)

		got := book.takes[1]
		require.Equal(t, 10*time.Second, got.Duration())
		require.Equal(t, "she surfaces", got.Note)
		require.Equal(t, take.Camera{FPS: 24, Timeline: 24, BalanceK: 4300}, got.Camera)
		require.Equal(t, take.Tempo{BPM: 120, BeatsPerBar: 4}, got.Tempo)
		require.Equal(t, []take.Kind{take.Roll, take.End}, book.kinds(1))

		require.NoError(t, s.Take(session.TakeRequest{Do: "roll"}), "the slate stays")
		require.Equal(t, 2, s.State().Take.Number)
		require.NoError(t, s.Take(cut))
		require.NoError(t, s.Take(roll("12", "B")))
		require.Equal(t, 1, s.State().Take.Number)
		require.NoError(t, s.Take(cut))
	}, logged(book))
}

func TestATakeSaysWhatWasOn(t *testing.T) {
	book := newLogbook()
	play(t, func(s *set) {
		s.pass(time.Second)
		require.NoError(t, s.Take(roll("12", "A")))
		wide := s.out.last().bytes
		slow := look("tide") // by name: no cue follows it
		slow.Fade = "4 s"
		require.NoError(t, s.Cue(slow))
		s.pass(time.Second)
		require.NoError(t, s.Hold())
		held := s.out.last().bytes
		for i := range 20 { // a thumb
			require.NoError(t, s.Ride(0.3+float64(i)/100))
			s.pass(20 * time.Millisecond)
		}
		s.pass(time.Second)
		ridden := s.out.last().bytes
		require.NoError(t, s.Resume())
		s.pass(5 * time.Second)
		for _, level := range []string{"90%", "80%", "70%"} {
			require.NoError(t, s.Overall(level))
			s.pass(50 * time.Millisecond)
		}
		s.pass(time.Second)
		require.NoError(t, s.Kill(true))
		s.pass(time.Second)
		require.NoError(t, s.Back())
		s.pass(3 * time.Second)
		require.NoError(t, s.Snap()) // the stand-by, in no time
		s.pass(time.Second)
		require.NoError(t, s.Take(cut))

		got, err := book.Get(context.Background(), 1)
		require.NoError(t, err)
		require.Equal(t, []take.Kind{
			take.Roll, take.Cue, take.Hold, take.Ride, take.Resume, take.Settled, take.Overall, take.Kill, take.Restored, take.Settled, take.Cue, take.End,
		}, book.kinds(1))
		for i, e := range got.Events {
			require.Equal(t, i+1, e.N)
			require.Len(t, e.Lamps, 4)
			require.Equal(t, e.Timecode.Day, fmt.Sprintf("%s:%02d", e.At.Format("15:04:05"), e.At.Nanosecond()*24/1e9))
		}
		byLamp := func(slots [][]byte) [][]byte {
			var out [][]byte
			for _, l := range s.place().Recorded(slots) {
				out = append(out, l.Bytes)
			}
			return out
		}
		bytesAt := func(n int) [][]byte {
			var out [][]byte
			for _, l := range got.Find(n).Lamps {
				out = append(out, l.Bytes)
			}
			return out
		}
		require.Equal(t, byLamp(wide), bytesAt(1), "the very bytes")
		require.Equal(t, byLamp(held), bytesAt(3))
		require.Equal(t, byLamp(ridden), bytesAt(4), "where the thumb came to rest")
		require.InDelta(t, 0.49, got.Find(4).Progress, 1e-9)
		require.Equal(t, "tide", got.Find(2).Look)
		require.EqualValues(t, 4000, got.Find(2).FadeMS)
		require.InDelta(t, 0.7, got.Find(7).Overall, 1e-6)
		require.True(t, got.Find(8).Killed)
		for _, l := range got.Find(8).Lamps {
			require.Zero(t, l.Light().Y, "a kill is dark")
		}
	}, logged(book))
}

// A disk that is full keeps nobody from rolling, and the loss is said.
func TestRollingGoesOnOverAFullDisk(t *testing.T) {
	book := newLogbook()
	book.full = true
	play(t, func(s *set) {
		require.NoError(t, s.Take(roll("12", "A")))
		st := s.State()
		require.True(t, st.Hot)
		require.False(t, *st.Take.Kept)
		require.Contains(t, codes(st.Warnings), "take-not-written")
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(5 * time.Second)
		s.shows("tide")
		require.Contains(t, codes(s.State().Warnings), "take-incomplete")
		require.NoError(t, s.Take(cut))
		require.False(t, *s.State().LastTake.Kept)
	}, logged(book))
}

// A short fade may be over before its event is written, on a machine that has much to do.
func TestATakeHasTheTimeOfAFadeThatIsOver(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		short := look("tide")
		short.Fade = "100 ms"
		require.NoError(t, s.Cue(short))
		s.pass(time.Second)
		begun := s.Captured(take.Cue, true)
		require.EqualValues(t, 100, begun.FadeMS)
		require.InDelta(t, 1, begun.Progress, 1e-9)
		require.Zero(t, s.Captured(take.Overall, false).FadeMS, "what comes later is not of that fade")
	})
}

func TestANumberThatIsTakenIsRefused(t *testing.T) {
	book := newLogbook()
	play(t, func(s *set) {
		require.NoError(t, s.Take(roll("12", "A")))
		require.NoError(t, s.Take(cut))
		again := roll("12", "A")
		again.Number = new(1)
		refused(t, s.Take(again), session.Conflict, "take-doubled")
		require.False(t, s.State().Hot)
		bad := roll("12", "A")
		bad.Setup = "widee"
		require.Contains(t, refused(t, s.Take(bad), session.Unknown, "unknown-setup").Mend, `"wide"`)
		require.NoError(t, s.Take(session.TakeRequest{Do: "change", Note: new("soft"), Circled: new(true)}))
		require.Equal(t, "soft", book.takes[1].Note)
		require.Equal(t, "soft", s.State().LastTake.Note)
		refused(t, s.Take(session.TakeRequest{Do: "change", Take: 9, Note: new("x")}), session.Unknown, "unknown-take")
	}, logged(book))
}

// The same rig gets the very bytes, in whatever state of a fade and under whatever
// overall level they were, also after another look.
func TestAsShotBringsTheVeryBytesBack(t *testing.T) {
	book := newLogbook()
	play(t, func(s *set) {
		s.pass(time.Second)
		require.NoError(t, s.Overall("60%"))
		require.NoError(t, s.Take(roll("12", "A")))
		s.pass(100 * time.Millisecond)
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(1300 * time.Millisecond)
		require.NoError(t, s.Hold())
		s.tick()
		mid := s.out.last().bytes
		require.NoError(t, s.Resume())
		s.pass(4 * time.Second)
		require.NoError(t, s.Take(cut))
		require.NoError(t, s.Overall("100%"))
		require.NoError(t, s.Cue(look("warden")))
		s.pass(time.Second)
		require.NoError(t, s.Standby(s.cue(2).Target))

		require.NoError(t, s.AsShot(session.ShotRequest{Take: 1, Event: 3, Fade: "2 s"}))
		st := s.State()
		require.Equal(t, "as shot 12/A/1", st.Look)
		require.EqualValues(t, 2000, st.Fade.TotalMS)
		require.Equal(t, 4, st.AsShot.Lamps.Same)
		require.Empty(t, st.AsShot.Lamps.Solved)
		require.InDelta(t, 0.6, st.Overall, 1e-6)
		s.pass(3 * time.Second)
		require.Equal(t, mid, s.out.last().bytes)
		diffs, err := s.TakeDiffers(1, 3)
		require.NoError(t, err)
		for _, d := range diffs {
			require.Equal(t, take.Near, d.State)
			require.Zero(t, d.Stops)
		}

		require.NoError(t, s.Back())
		require.Equal(t, 1.0, s.State().Overall, "and its overall")
		require.Nil(t, s.State().AsShot)
		s.pass(4 * time.Second)
		require.Equal(t, s.bytesOf("warden", true), s.out.last().bytes)
		require.NoError(t, s.Back())
		s.pass(4 * time.Second)
		require.Equal(t, mid, s.out.last().bytes, "back goes to a take as to a look")

		require.NoError(t, s.Cue(look("warden")))
		require.NoError(t, s.Standby(session.Target{Take: 1, Event: 3}))
		require.Equal(t, "as shot 12/A/1", s.State().Standby.Look)
		require.NoError(t, s.Cue(look("as shot 12/A/1")))
		s.pass(3 * time.Second)
		require.Equal(t, mid, s.out.last().bytes, "it stands by as a look does")

		refused(t, s.AsShot(session.ShotRequest{Take: 5}), session.Unknown, "unknown-take")
		refused(t, s.AsShot(session.ShotRequest{Take: 1, Event: 50}), session.Unknown, "unknown-take")
	}, logged(book))
}

// Every event of a take comes back to the byte.
func TestEveryMomentComesBackToTheByte(t *testing.T) {
	book := newLogbook()
	play(t, func(s *set) {
		s.pass(time.Second)
		require.NoError(t, s.Take(roll("12", "A")))
		for i := range 40 {
			require.NoError(t, s.Overall(fmt.Sprintf("%d%%", 100-2*i)))
			require.NoError(t, s.Cue(s.cue(i%4+1)))
			s.pass(time.Duration(200+i*37) * time.Millisecond)
			if s.State().Fade != nil {
				require.NoError(t, s.Hold())
			}
			s.pass(700 * time.Millisecond)
		}
		require.NoError(t, s.Take(cut))
		got, err := book.Get(context.Background(), 1)
		require.NoError(t, err)
		place := s.place()
		for _, e := range got.Events {
			still, told := place.Recall(&e)
			require.Equal(t, 4, told.Same, "event %d, %s: %+v", e.N, e.Kind, told)
			frame := place.Layout.NewFrame()
			place.Layout.Write(still, float32(compile.Overall(&e)), !e.Dark, frame)
			for i, l := range place.Recorded(frame) {
				require.Equal(t, e.Lamps[i].Bytes, l.Bytes)
			}
		}
	}, logged(book))
}

// Three nights later every lamp has another address and one is of another type: the
// light is the same within 0.002 u'v' and 0.1 stop.
func TestAsShotOnAnotherRig(t *testing.T) {
	book := newLogbook()
	var shot []take.Lamp
	play(t, func(s *set) {
		s.pass(time.Second)
		require.NoError(t, s.Take(roll("12", "A")))
		require.NoError(t, s.Take(cut))
		shot = book.takes[1].Events[0].Lamps
	}, logged(book))

	show := testShow(t)
	deep := show.Location("deep-end")
	swapped := ""
	for _, r := range deep.Rig {
		if r.ID == "lane-1" {
			other := *r.Lamp
			other.Type, other.Mode = tubeOf(t, "tube-rgbww-4ft", "8-cell-16-bit", "16-cell-16-bit")
			r.Lamp, swapped = &other, r.ID
			deep.Groups[1].Members[0].Last = other.Mode.Cells - 1
		}
		if r.ID == "k1" {
			other := *r.Lamp
			other.Type, other.Mode = tubeOf(t, "panel-rgbww", "16-bit")
			r.Lamp = &other
			deep.Groups[0].Members[0].Last = other.Mode.Cells - 1
		}
	}
	require.NotEmpty(t, swapped)
	slot := 1
	for _, r := range slices.Backward(deep.Rig) {
		r.Address = cues.Address{Port: 3, Slot: slot}
		slot += r.Lamp.Mode.Footprint
	}
	synctest.Test(t, func(t *testing.T) {
		s := begin(t, show, logged(book))
		defer s.stop()
		s.pass(time.Second)
		require.NoError(t, s.AsShot(session.ShotRequest{Take: 1}))
		s.pass(2 * time.Second)
		st := s.State()
		require.Equal(t, 2, st.AsShot.Lamps.Same)
		require.Len(t, st.AsShot.Lamps.Solved, 2)
		now := s.place().Recorded(s.out.last().bytes)
		for _, p := range take.Match(shot, now) {
			for i, want := range p.Then.Spread(len(p.Now.Cells)) {
				c := p.Now.Cells[i]
				stops, uv := take.Apart(want, colour.XYZ{X: float64(c[0]), Y: float64(c[1]), Z: float64(c[2])})
				require.Less(t, math.Abs(stops), 0.1, "%s cell %d", p.Now.Rig, i+1)
				require.Less(t, uv, 0.002, "%s cell %d", p.Now.Rig, i+1)
			}
		}
		for _, solved := range st.AsShot.Lamps.Solved {
			require.Less(t, math.Abs(solved.Stops), 0.1)
			require.Less(t, solved.DeltaUV, 0.002)
		}
	})
}

// tubeOf gives a built-in lamp type and the first of modes that it has.
func tubeOf(t *testing.T, name string, modes ...string) (*lamp.Type, *lamp.Mode) {
	for _, k := range showfile.BuiltinTypes() {
		if k.Name != name {
			continue
		}
		for _, m := range modes {
			if mode, ok := k.Mode(m); ok {
				return k, mode
			}
		}
	}
	require.Fail(t, "no such lamp type", name)
	return nil, nil
}

// What is not here any more is listed, what was not there is dark, and a lamp that has
// gone is no reason to light another.
func TestAsShotListsWhatDoesNotMatch(t *testing.T) {
	book := newLogbook()
	play(t, func(s *set) {
		s.pass(time.Second)
		require.NoError(t, s.Take(roll("12", "A")))
		require.NoError(t, s.Take(cut))
	}, logged(book))
	for i := range book.takes[1].Events {
		lamps := slices.Clone(book.takes[1].Events[i].Lamps)
		lamps[0].Kit = "sold"
		book.takes[1].Events[i].Lamps = lamps
	}
	play(t, func(s *set) {
		require.NoError(t, s.AsShot(session.ShotRequest{Take: 1}))
		s.pass(2 * time.Second)
		told := s.State().AsShot.Lamps
		require.Equal(t, []take.LampName{{Kit: "sold", Rig: "k1", Type: "key-bicolour"}}, told.Missing)
		require.Equal(t, []take.LampName{{Kit: "key-bicolour", Rig: "k1", Type: "key-bicolour"}}, told.Spare)
		require.Equal(t, 3, told.Same)
		diffs, err := s.TakeDiffers(1, 0)
		require.NoError(t, err)
		require.Equal(t, take.Gone, diffs[0].State, "the worst first")
		require.Equal(t, -20.0, diffs[0].Stops)
	}, logged(book))
}

// A take that was on when the daemon stopped is on when it starts again.
func TestAsShotIsThereAfterARestart(t *testing.T) {
	book := newLogbook()
	path := t.TempDir() + "/state.json"
	remember := func(cfg *session.Config) { cfg.StatePath = path }
	var on [][]byte
	play(t, func(s *set) {
		s.pass(time.Second)
		require.NoError(t, s.Cue(look("tide")))
		s.pass(time.Second)
		require.NoError(t, s.Take(roll("12", "A")))
		require.NoError(t, s.Take(cut))
		require.NoError(t, s.Cue(look("warden")))
		require.NoError(t, s.AsShot(session.ShotRequest{Take: 1}))
		s.pass(2 * time.Second)
		on = s.out.last().bytes
	}, logged(book), remember)
	play(t, func(s *set) {
		s.pass(time.Second)
		require.Equal(t, "as shot 12/A/1", s.State().Look)
		require.Equal(t, on, s.out.last().bytes)
		require.Equal(t, 4, s.State().AsShot.Lamps.Same)
		require.NoError(t, s.Cue(look("warden")))
		require.Nil(t, s.State().AsShot)
	}, logged(book), remember)
}

// Taking down what is on costs a verb no more than a copy of the bytes.
func TestRollingNeverWaitsForWhoWritesDown(t *testing.T) {
	book := &slowBook{logbook: newLogbook()}
	play(t, func(s *set) {
		done := make(chan error, 1)
		go func() { done <- s.Take(roll("12", "A")) }()
		synctest.Wait()
		require.NoError(t, s.Cue(s.cue(2)), "a disk that hangs holds no light up")
		s.pass(5 * time.Second)
		s.shows("tide")
		require.NoError(t, <-done)
		require.False(t, *s.State().Take.Kept, "it is not known to be kept")
		close(book.gate)
		require.NoError(t, s.Take(cut))
	}, func(cfg *session.Config) {
		book.gate = make(chan struct{}) // of the bubble of fake time
		cfg.Journal = book
	})
}

// slowBook answers nothing until its gate opens.
type slowBook struct {
	*logbook
	gate chan struct{}
}

func (b *slowBook) Roll(t take.Take, first func() take.Event) (take.Take, take.Ack) {
	t, _ = b.logbook.Roll(t, first)
	ack, answer := take.NewAck()
	go func() {
		<-b.gate
		answer(nil)
	}()
	return t, ack
}

// What a take had stays on while the show changes, also when its lamps get other
// addresses.
func TestReplaceKeepsWhatWasShot(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(look("tide")))
		s.pass(time.Second)
		require.NoError(t, s.Take(roll("12", "A")))
		require.NoError(t, s.Take(cut))
		require.NoError(t, s.Cue(look("night")))
		s.pass(time.Second)
		require.NoError(t, s.AsShot(session.ShotRequest{Take: 1, Fade: "0 s"}))
		s.pass(time.Second)
		light := s.Cells(nil)
		s.change(true, func(show *cues.Show) {
			show.Look(nil, "warden").Note = "another note"
			show.Locations[0].Rig[1].Address = cues.Address{Port: 7, Slot: 1}
		})
		s.pass(time.Second)
		require.NotNil(t, s.State().AsShot)
		require.InDeltaSlice(t, ys(light), ys(s.Cells(nil)), 0.01)
	}, logged(newLogbook()))
}

func ys(cells []colour.XYZ) (all []float64) {
	for _, c := range cells {
		all = append(all, c.Y)
	}
	return all
}
