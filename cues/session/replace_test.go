package session_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/session"
	"linkboy/cues/showfile"
)

// editFade is how long an edit may take to be seen.
const editFade = 300 * time.Millisecond

// change takes in the test show with something changed, as if it were read anew.
func (s *set) change(live bool, edit func(*cues.Show)) {
	s.t.Helper()
	show := testShow(s.t)
	edit(show)
	waits, err := s.Replace(show, live)
	require.NoError(s.t, err)
	require.False(s.t, waits)
	s.show = show
}

// dimKey edits the look "warden": less key.
func dimKey(show *cues.Show) { show.Look(nil, "warden").Paint[0].Level.Value = 0.1 }

func nothing(*cues.Show) {}

// values reads what lights lamps in a frame as shares, by the layout of the place.
func (s *set) values(bytes [][]byte) []float64 { return s.valuesAt(s.place(), bytes) }

func (s *set) valuesAt(place *compile.Place, bytes [][]byte) (values []float64) {
	for _, slot := range place.Layout.Slots {
		if b := bytes[slot.Universe][slot.Offset:]; !slot.Param {
			require.True(s.t, slot.Wide)
			values = append(values, float64(int(b[0])<<8|int(b[1]))/65535)
		}
	}
	return values
}

// even checks that frames go from one to the next without a jump: no value further
// than a way from dark to full in the time of an edit has it, over what else goes on.
func (s *set) even(frames []frame, besides float64) {
	s.t.Helper()
	place := s.place()
	for i := 1; i < len(frames); i++ {
		a, b := s.valuesAt(place, frames[i-1].bytes), s.valuesAt(place, frames[i].bytes)
		gone := float64(frames[i].at.Sub(frames[i-1].at))
		require.LessOrEqual(s.t, gone, float64(time.Second/43), "a frame is missing")
		for k := range a {
			require.LessOrEqual(s.t, math.Abs(b[k]-a[k]), gone/float64(editFade)+besides+0.001, "value %d of frame %d", k, i)
		}
	}
}

func TestTheSameShowChangesNothing(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(look("tide")))
		s.pass(time.Second)
		before, bytes, n := s.State(), s.out.last().bytes, s.out.count()
		s.change(true, nothing)
		s.pass(time.Second)
		for _, f := range s.out.from(n) {
			require.Equal(t, bytes, f.bytes)
			require.False(t, f.first)
		}
		after := s.State()
		require.Equal(t, before.Revision+1, after.Revision)
		require.Equal(t, before.Standby, after.Standby)
		require.Equal(t, before.Warnings, after.Warnings)
		require.InDelta(t, 44, s.out.count()-n, 1)
	})
}

func TestALiveEditIsAShortFade(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		n := s.out.count()
		was := s.out.last()
		s.change(true, dimKey)
		require.Nil(t, s.State().Fade, "nobody runs a cue")
		s.pass(editFade + 50*time.Millisecond)
		frames := append([]frame{was}, s.out.from(n)...)
		s.even(frames, 0)
		between := 0
		for _, f := range frames {
			if v := s.values(f.bytes)[0]; v != s.values(was.bytes)[0] && v != s.values(s.out.last().bytes)[0] {
				between++
			}
		}
		require.InDelta(t, 13, between, 2)
		s.shows("warden")
		require.False(t, s.warned("look-outdated"))
	})
}

func TestABlindEditWaitsForTheNextRun(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		was := s.out.last().bytes
		s.change(false, dimKey)
		s.pass(time.Second)
		require.Equal(t, was, s.out.last().bytes)
		require.True(t, s.warned("look-outdated"))

		// What others do live does not bring it on either.
		s.change(true, func(show *cues.Show) {
			dimKey(show)
			show.Look(nil, "night").Paint[0].Level.Value = 0.5
		})
		s.pass(time.Second)
		require.Equal(t, was, s.out.last().bytes)

		require.NoError(t, s.Cue(look("warden")))
		s.shows("warden")
		require.False(t, s.warned("look-outdated"))
	})
}

func TestALookThatIsOnIsRemoved(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(look("tide")))
		s.pass(time.Second)
		was := s.out.last().bytes
		rename := func(show *cues.Show) {
			show.Looks[1].Name = "flood"
			show.Locations[0].Cues[1].Look, show.Locations[1].Cues[0].Look = "flood", "flood"
		}
		s.change(true, rename)
		s.pass(time.Second)
		require.Equal(t, was, s.out.last().bytes)
		require.True(t, s.warned("look-gone"))
		refused(t, s.Cue(look("tide")), session.Unknown, cues.CodeUnknownLook)
		require.NoError(t, s.Cue(look("flood")))
		s.shows("flood")
		require.Equal(t, was, s.out.last().bytes)
		require.False(t, s.warned("look-gone"))
		require.NoError(t, s.Back())
		s.pass(time.Second)
		require.Equal(t, was, s.out.last().bytes, "back goes to what was on")
	})
}

func TestALocationThatIsLitStays(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		was := s.out.last().bytes
		show := testShow(t)
		show.Locations[0].Name = "shallow-end"
		_, err := s.Replace(show, true)
		r := refused(t, err, session.Conflict, "location-is-lit")
		require.Contains(t, r.Message, "deep-end")
		s.pass(time.Second)
		require.Equal(t, was, s.out.last().bytes)
		require.Equal(t, []string{"deep-end", "diving-stage"}, s.Plan().Locations)

		s.change(true, func(show *cues.Show) { show.Locations[1].Name = "platform" })
		require.Equal(t, []string{"deep-end", "platform"}, s.Plan().Locations)
		refused(t, s.Location("diving-stage"), session.Unknown, cues.CodeUnknownLocation)
		require.NoError(t, s.Location("platform"))
		s.shows("tide")
	})
}

// cueSheet edits the sheet of the place that is lit.
func cueSheet(edit func([]*cues.Cue) []*cues.Cue) func(*cues.Show) {
	return func(show *cues.Show) {
		loc := show.Locations[0]
		loc.Cues = edit(loc.Cues)
		for i, c := range loc.Cues {
			c.Number = i + 1
		}
	}
}

func TestTheStandbyStaysTheSameCue(t *testing.T) {
	for name, c := range map[string]struct {
		edit func([]*cues.Cue) []*cues.Cue
		cue  int
		look string
	}{
		"a cue before it":    {func(s []*cues.Cue) []*cues.Cue { return append([]*cues.Cue{{Look: "night"}}, s...) }, 5, "night"},
		"one before it less": {func(s []*cues.Cue) []*cues.Cue { return s[1:] }, 3, "night"},
		"its own fade":       {func(s []*cues.Cue) []*cues.Cue { s[3].Fade.Amount = 9; return s }, 4, "night"},
		"it is gone":         {func(s []*cues.Cue) []*cues.Cue { return append(s[:3], s[4:]...) }, 4, "ring"},
		"it and all after":   {func(s []*cues.Cue) []*cues.Cue { return s[:3] }, 2, "tide"},
		"the sheet is gone":  {func(s []*cues.Cue) []*cues.Cue { return nil }, 0, ""},
	} {
		t.Run(name, func(t *testing.T) {
			play(t, func(s *set) {
				require.NoError(t, s.Standby(session.Target{Cue: s.cue(4).Cue}))
				s.change(true, cueSheet(c.edit))
				st := s.State().Standby
				if c.cue == 0 {
					require.Nil(t, st)
					return
				}
				require.Equal(t, c.cue, st.Cue)
				require.Equal(t, c.look, st.Look)
				if name == "its own fade" {
					require.EqualValues(t, 9000, st.FadeMS)
				}
				s.shows("warden")
			})
		})
	}
}

// The cue that follows by itself does so after an edit too, in its new time.
func TestAFollowGoesOn(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(time.Second)
		s.change(true, cueSheet(func(c []*cues.Cue) []*cues.Cue { return append([]*cues.Cue{{Look: "night"}}, c...) }))
		require.Equal(t, 4, s.State().Follow.Cue)
		s.pass(3500 * time.Millisecond) // the fade has ended, the wait runs
		require.InDelta(t, 1000, s.State().Follow.InMS, 50)
		s.change(true, cueSheet(func(c []*cues.Cue) []*cues.Cue {
			c[2].After.Amount = 3
			return append([]*cues.Cue{{Look: "night"}}, c...)
		}))
		require.InDelta(t, 2500, s.State().Follow.InMS, 50)
		s.pass(2600 * time.Millisecond)
		require.Equal(t, "warden", s.State().Look)

		require.NoError(t, s.Cue(s.cue(3)))
		require.NotNil(t, s.State().Follow)
		s.change(true, cueSheet(func(c []*cues.Cue) []*cues.Cue {
			c[2].After = nil
			return append([]*cues.Cue{{Look: "night"}}, c...)
		}))
		require.Nil(t, s.State().Follow, "it waits for a person now")
	})
}

func TestMatchCues(t *testing.T) {
	sheet := func(looks ...string) (out []*cues.Cue) {
		for i, l := range looks {
			out = append(out, &cues.Cue{Number: i + 1, Look: l})
		}
		return out
	}
	r := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		var old, next []string
		for range r.IntN(6) {
			old = append(old, string(rune('a'+r.IntN(3))))
		}
		for range r.IntN(6) {
			next = append(next, string(rune('a'+r.IntN(3))))
		}
		is := session.MatchCues(sheet(old...), sheet(next...))
		last := 0
		for n := range len(old) + 2 {
			if at := is(n); at != 0 {
				require.Greater(t, at, last, "%v to %v: the order stays", old, next)
				require.LessOrEqual(t, at, len(next))
				last = at
			}
		}
		same := session.MatchCues(sheet(old...), sheet(old...))
		for n := range old {
			require.Equal(t, n+1, same(n+1))
		}
	}
}

func TestAnEditDuringAFade(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(2 * time.Second)
		n := s.out.count()
		flood := func(show *cues.Show) {
			show.Character("tide").Colours[0].Colour = cues.Colour{Form: colour.HueSat{Hue: 90, Sat: 0.9}}
		}
		s.change(true, flood)
		require.InDelta(t, 0.5, s.State().Fade.Progress, 0.02)
		require.NoError(t, s.Hold())
		s.tick()
		s.change(true, nothing)
		st := s.State()
		require.True(t, st.Held)
		require.InDelta(t, 0.5, st.Fade.Progress, 0.03)
		s.pass(time.Second)
		require.NoError(t, s.Resume())
		s.change(true, flood)
		s.pass(3 * time.Second)
		s.even(s.out.from(n), 0.02) // the fade itself goes at most 2 % in a frame
		s.shows("tide")
		require.NoError(t, s.Back())
		s.pass(5 * time.Second)
		s.shows("warden")
	})
}

// An edit of something else leaves the engine alone: the fade is not even made anew.
func TestAFadeIsNotDisturbed(t *testing.T) {
	frames := func(edit bool) (all [][][]byte) {
		play(t, func(s *set) {
			s.pass(time.Second)
			n := s.out.count()
			require.NoError(t, s.Cue(s.cue(2)))
			s.pass(2 * time.Second)
			if edit {
				s.change(true, func(show *cues.Show) { show.Look(nil, "night").Paint[0].Level.Value = 0.5 })
			}
			s.pass(3 * time.Second)
			for _, f := range s.out.from(n) {
				all = append(all, f.bytes)
			}
		})
		return all
	}
	require.Equal(t, frames(false), frames(true))
}

func TestAnEditUnderWorkLightAndKill(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.WorkLight(nil))
		s.pass(time.Second)
		was, n := s.out.last().bytes, s.out.count()
		s.change(true, dimKey)
		s.pass(time.Second)
		for _, f := range s.out.from(n) {
			require.Equal(t, was, f.bytes)
		}
		s.change(true, func(show *cues.Show) { dimKey(show); show.Safety.Work.Level = 0.4 })
		s.pass(time.Second)
		s.even(s.out.from(n), 0)
		p := s.place()
		require.Equal(t, p.Frame(p.Work(), true), s.out.last().bytes)
		require.NoError(t, s.WorkLight(nil))
		s.pass(2 * time.Second)
		s.shows("warden")

		require.NoError(t, s.Kill(true))
		s.change(true, nothing)
		s.change(true, readdress)
		s.pass(time.Second)
		for _, v := range s.values(s.out.last().bytes) {
			require.Zero(t, v)
		}
		require.NoError(t, s.Kill(false))
		s.pass(2 * time.Second)
		s.shows("warden")
	})
}

func readdress(show *cues.Show) { show.Locations[0].Rig[0].Address.Slot = 200 }

func TestAHotSetWaitsForTheCut(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		s.Heat(true)
		was, revision := s.out.last().bytes, s.State().Revision
		for range 3 {
			show := testShow(t)
			dimKey(show)
			waits, err := s.Replace(show, true)
			require.NoError(t, err)
			require.True(t, waits)
			s.show = show
		}
		s.pass(time.Second)
		st := s.State()
		require.True(t, st.Hot)
		require.Equal(t, 3, st.Waiting)
		require.Equal(t, revision, st.Revision)
		require.True(t, s.warned("show-waits"))
		require.Equal(t, was, s.out.last().bytes)
		s.Heat(false)
		s.pass(time.Second)
		s.shows("warden")
		st = s.State()
		require.Zero(t, st.Waiting)
		require.Equal(t, revision+1, st.Revision, "the newest stands for those before it")
		require.False(t, s.warned("show-waits"))
	})
}

func TestWhatWaitedAndCannotBeLitIsTold(t *testing.T) {
	play(t, func(s *set) {
		s.Heat(true)
		show := testShow(t)
		show.Locations = show.Locations[1:]
		_, err := s.Replace(show, true)
		require.NoError(t, err)
		s.Heat(false)
		s.tick()
		require.True(t, s.warned("show-not-taken-in"))
		s.change(true, nothing)
		require.False(t, s.warned("show-not-taken-in"))
	})
}

func TestACueAtATimeKeepsItsTime(t *testing.T) {
	play(t, func(s *set) {
		on := true
		require.NoError(t, s.Timecode(session.TimecodeRequest{Run: &on, At: "01:00:00:00"}))
		s.pass(time.Second)
		s.change(true, cueSheet(func(c []*cues.Cue) []*cues.Cue {
			c[1].Timecode = label(t, "01:00:05:00")
			return c
		}))
		require.Equal(t, "01:00:05:00", s.State().Timecode.Next.At)
		s.pass(4100 * time.Millisecond)
		require.Equal(t, "tide", s.State().Look)
	})
}

func TestOutputsTurnBeforeTheirFirstFrame(t *testing.T) {
	var turns []string
	play(t, func(s *set) {
		s.change(true, dimKey)
		require.Len(t, turns, 1, "universes and ways are the same")
		s.change(true, func(show *cues.Show) { show.Locations[0].Outputs = []*cues.Output{{Over: cues.SACN}} })
		require.Len(t, turns, 2)
		s.change(true, func(show *cues.Show) { show.Locations[0].Rig[0].Address.Port = 9 })
		require.Len(t, turns, 3)
	}, func(cfg *session.Config) {
		cfg.Arrive = func(loc *cues.Location) { turns = append(turns, loc.Name) }
	})
}

// builtin gives a lamp of a type that comes with the program.
func builtin(t testing.TB, id, name, mode string) *cues.KitLamp {
	for _, k := range showfile.BuiltinTypes() {
		if k.Name == name {
			m, ok := k.Mode(mode)
			require.True(t, ok)
			return &cues.KitLamp{ID: id, Type: k, Mode: m}
		}
	}
	require.FailNow(t, name)
	return nil
}

// A movement that an edit changes is on at once, one that the edit leaves alone goes on in
// its own time, and one that it takes out ends.
func TestReplaceKeepsWhatMoves(t *testing.T) {
	gentler := func(show *cues.Show) { show.Look(nil, "water").Paint[0].Moves.Depth = 0.3 }
	play(t, func(s *set) {
		require.NoError(t, s.Cue(look("water")))
		s.pass(500 * time.Millisecond)
		low, high := s.swings(2 * time.Second)
		require.InDelta(t, 0.4, low/high, 0.01)

		s.change(true, func(show *cues.Show) { movingShow(&session.Config{Show: show}); gentler(show) })
		s.pass(time.Second)
		low, high = s.swings(2 * time.Second)
		require.InDelta(t, 0.7, low/high, 0.01, "the edit is on")

		var before []float64
		for range 40 {
			s.pass(50 * time.Millisecond)
			before = append(before, s.edge())
		}
		s.change(true, func(show *cues.Show) {
			movingShow(&session.Config{Show: show})
			gentler(show)
			show.Look(nil, "warden").Note = "another note"
		})
		for i := range before {
			s.pass(50 * time.Millisecond)
			require.InEpsilon(t, before[i], s.edge(), 0.02, "a period later, %d", i)
		}

		s.change(true, func(show *cues.Show) {
			movingShow(&session.Config{Show: show})
			show.Look(nil, "water").Paint[0].Moves = nil
		})
		s.pass(time.Second)
		require.False(t, s.State().Moving)
	}, movingShow)
}
