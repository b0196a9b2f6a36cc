package session_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/session"
)

func TestOpensInTheFirstCue(t *testing.T) {
	play(t, func(s *set) {
		s.shows("warden")
		st := s.State()
		require.Equal(t, "deep-end", st.Location)
		require.Equal(t, &session.Standby{Cue: 2, Look: "tide", FadeMS: 4000, Note: "she surfaces"}, st.Standby)
		require.Nil(t, st.Fade)
		require.Nil(t, st.CanBack)
		require.Equal(t, 1.0, st.Overall)
		require.Equal(t, []uint16{1}, s.out.addresses())
	})
}

// A tap is on the wire before it is answered: not at the next tick.
func TestFirstFrameGoesOutAtOnce(t *testing.T) {
	play(t, func(s *set) {
		s.pass(5*time.Second + 3*time.Millisecond)
		before := s.out.count()
		require.NoError(t, s.Cue(look("tide")))
		frames := s.out.from(before)
		require.Len(t, frames, 1)
		require.True(t, frames[0].first)
		require.Equal(t, time.Now(), frames[0].at)
		require.Equal(t, s.bytesOf("tide", true), frames[0].bytes)
	})
}

func TestCueFadesInItsTime(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		begin := time.Now()
		require.NoError(t, s.Cue(s.cue(2)))
		require.Equal(t, s.bytesOf("warden", true), s.out.last().bytes, "it begins with what is on")
		st := s.State()
		require.Equal(t, "tide", st.Look)
		require.Equal(t, &session.Fade{From: "warden", To: "tide", RemainingMS: 4000, TotalMS: 4000}, st.Fade)
		require.Equal(t, 3, st.Standby.Cue)
		require.Equal(t, "warden", *st.CanBack)
		s.pass(2 * time.Second)
		require.InDelta(t, 0.5, s.State().Fade.Progress, 0.01)
		require.NotEqual(t, s.bytesOf("tide", true), s.out.last().bytes)
		time.Sleep(time.Until(begin.Add(4*time.Second + time.Second/44)))
		synctest.Wait()
		require.Equal(t, s.bytesOf("tide", true), s.out.last().bytes)
		require.Nil(t, s.State().Fade)
	})
}

func TestLookByNameChangesInNoTime(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(look("night")))
		require.Nil(t, s.State().Fade)
		s.shows("night")
		require.Equal(t, 5, s.State().Standby.Cue, "the cue after the next one that uses the look")
		require.NoError(t, s.Cue(look("tide")))
		require.Equal(t, 3, s.State().Standby.Cue, "the search goes on past the end of the sheet")
	})
}

func TestStandbyWrapsAtTheEnd(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Location("diving-stage"))
		require.Equal(t, 2, s.State().Standby.Cue)
		require.NoError(t, s.Cue(s.cue(2)))
		require.Equal(t, 1, s.State().Standby.Cue)
	})
}

func TestRequestOverridesTheSheet(t *testing.T) {
	play(t, func(s *set) {
		r := s.cue(2)
		r.Fade, r.Delay, r.Curve, r.Path, r.Spread = "2 beats", "500 ms", "soft", "white", "1 s along edge"
		require.NoError(t, s.Cue(r))
		require.EqualValues(t, 1000+500+1000, s.State().Fade.TotalMS) // 120 beats a minute
		r.Spread = "0 s"
		require.NoError(t, s.Cue(r))
		require.EqualValues(t, 1500, s.State().Fade.TotalMS)
	})
}

func TestCueAtProgressIsRidden(t *testing.T) {
	play(t, func(s *set) {
		at := func(v float64) session.CueRequest {
			r := s.cue(2)
			r.At = &v
			return r
		}
		require.NoError(t, s.Cue(at(0.25)))
		first := s.State()
		require.Equal(t, 0.25, first.Fade.Progress)
		require.True(t, first.Held)
		s.pass(10 * time.Second)
		require.Equal(t, 0.25, s.State().Fade.Progress, "it is held there")
		require.NoError(t, s.Cue(at(0.75)))
		st := s.State()
		require.Equal(t, 0.75, st.Fade.Progress)
		require.Equal(t, "warden", st.Fade.From, "the same fade, moved")
		require.Equal(t, first.Standby, st.Standby)
		require.NoError(t, s.Cue(at(0)))
		s.tick()
		require.Equal(t, s.bytesOf("warden", true), s.out.last().bytes)
		require.NoError(t, s.Ride(1))
		s.tick()
		require.Equal(t, s.bytesOf("tide", true), s.out.last().bytes)
		require.NoError(t, s.Ride(0.5))
		require.NoError(t, s.Resume())
		s.pass(2*time.Second + time.Second/10)
		require.Nil(t, s.State().Fade)
		s.shows("tide")
	})
}

func TestLookByNameHasAWayWhenRidden(t *testing.T) {
	play(t, func(s *set) {
		r, at := look("tide"), 0.5
		r.At = &at
		require.NoError(t, s.Cue(r))
		require.Equal(t, 0.5, s.State().Fade.Progress)
		require.NotEqual(t, s.bytesOf("tide", true), s.out.last().bytes)
		require.NotEqual(t, s.bytesOf("warden", true), s.out.last().bytes)
	})
}

// In the middle of a fade another look starts from what is on: no byte jumps.
func TestInterruptedFadeDoesNotJump(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(2 * time.Second)
		before := s.Cells(nil)
		r := look("night")
		r.Fade = "3 s"
		require.NoError(t, s.Cue(r))
		for i, c := range s.Cells(nil) {
			require.InDelta(t, before[i].Y, c.Y, 0.02*before[i].Y+0.5, "cell %d", i)
		}
		require.Equal(t, "tide", s.State().Fade.From)
		s.pass(3 * time.Second)
		s.shows("night")
	})
}

func TestStandby(t *testing.T) {
	play(t, func(s *set) {
		four := 4
		require.NoError(t, s.Standby(session.Target{Cue: &four}))
		require.Equal(t, "night", s.State().Standby.Look)
		require.NoError(t, s.Standby(session.Target{Look: "tide"}))
		require.Equal(t, &session.Standby{Look: "tide"}, s.State().Standby)
		s.shows("warden")
		require.NoError(t, s.Snap())
		s.shows("tide")
	})
}

func TestFollowIsOnTime(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second + time.Millisecond)
		begin := time.Now()
		require.NoError(t, s.Cue(s.cue(2)))
		require.Equal(t, &session.Follow{Cue: 3, InMS: 5500}, s.State().Follow)
		s.pass(4500 * time.Millisecond)
		require.Equal(t, &session.Follow{Cue: 3, InMS: 1000}, s.State().Follow)
		before := s.out.count()
		s.pass(time.Second + time.Millisecond)
		require.Equal(t, "warden", s.State().Look)
		require.Nil(t, s.State().Follow)
		require.Equal(t, 4, s.State().Standby.Cue)
		var firsts []time.Time
		for _, f := range s.out.from(before) {
			if f.first {
				firsts = append(firsts, f.at)
			}
		}
		require.Equal(t, []time.Time{begin.Add(5500 * time.Millisecond)}, firsts, "to the nanosecond")
		s.pass(2 * time.Second)
		s.shows("warden")
	})
}

func TestFollowWaitsWhileHeld(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(3 * time.Second)
		require.NoError(t, s.Hold())
		s.pass(time.Minute)
		require.Equal(t, "tide", s.State().Look)
		require.NoError(t, s.Resume())
		s.pass(2 * time.Second) // the fade has ended, the follow counts
		require.NoError(t, s.Hold())
		require.True(t, s.State().Held)
		s.pass(time.Minute)
		require.Equal(t, "tide", s.State().Look)
		left := s.State().Follow.InMS
		require.NoError(t, s.Resume())
		s.pass(time.Duration(left-5) * time.Millisecond)
		require.Equal(t, "tide", s.State().Look)
		s.pass(10 * time.Millisecond)
		require.Equal(t, "warden", s.State().Look)
	})
}

func TestFollowGivesWay(t *testing.T) {
	yes := true
	for name, verb := range map[string]func(*set) error{
		"a look":     func(s *set) error { return s.Cue(look("night")) },
		"kill":       func(s *set) error { return s.Kill(true) },
		"work light": func(s *set) error { return s.WorkLight(&yes) },
		"back":       func(s *set) error { return s.Back() },
		"location":   func(s *set) error { return s.Location("diving-stage") },
	} {
		t.Run(name, func(t *testing.T) {
			play(t, func(s *set) {
				require.NoError(t, s.Cue(s.cue(2)))
				s.pass(5 * time.Second)
				require.NotNil(t, s.State().Follow)
				require.NoError(t, verb(s))
				st := s.State()
				require.Nil(t, st.Follow)
				s.pass(10 * time.Second)
				require.Equal(t, st.Look, s.State().Look)
			})
		})
	}
}

func TestSnapStartsTheFollowClock(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(time.Second)
		require.NoError(t, s.Snap())
		require.Equal(t, s.bytesOf("tide", true), s.out.last().bytes)
		s.pass(1400 * time.Millisecond)
		require.Equal(t, "tide", s.State().Look)
		s.pass(200 * time.Millisecond)
		require.Equal(t, "warden", s.State().Look)
	})
}

func TestRefusedCues(t *testing.T) {
	zero, six, five := 0, 6, 5
	high := 1.5
	for _, c := range []struct {
		name string
		r    session.CueRequest
		kind session.Kind
		code string
		mend string
	}{
		{"nothing named", session.CueRequest{}, session.Invalid, "no-target", ""},
		{"two things named", session.CueRequest{Target: session.Target{Look: "tide", Cue: &five}}, session.Invalid, "no-target", ""},
		{"an unknown look", look("tidde"), session.Unknown, cues.CodeUnknownLook, `did you mean "tide"?`},
		{"a look like no other", look("sunrise over the sea"), session.Unknown, cues.CodeUnknownLook, "the looks here are warden, tide, night, ring"},
		{"cue 0", session.CueRequest{Target: session.Target{Cue: &zero}}, session.Unknown, cues.CodeUnknownCue, "the cue sheet of deep-end has cues 1 to 5"},
		{"a cue past the end", session.CueRequest{Target: session.Target{Cue: &six}}, session.Unknown, cues.CodeUnknownCue, ""},
		{"a look that goes round in a ring", look("ring"), session.Conflict, "level-ring", "give one of them a level in %, or in lx at a mark"},
		{"a cue to it", session.CueRequest{Target: session.Target{Cue: &five}}, session.Conflict, "level-ring", ""},
		{"a negative time", session.CueRequest{Target: session.Target{Look: "tide"}, Fade: "-1 s"}, session.Invalid, cues.CodeOutOfRange, "write 0 s or more"},
		{"no unit", session.CueRequest{Target: session.Target{Look: "tide"}, Delay: "1"}, session.Invalid, cues.CodeBadTime, ""},
		{"an unknown curve", session.CueRequest{Target: session.Target{Look: "tide"}, Fade: "1 s", Curve: "sofd"}, session.Invalid, cues.CodeBadWord, `did you mean "soft"?`},
		{"an unknown path", session.CueRequest{Target: session.Target{Look: "tide"}, Path: "long way"}, session.Invalid, cues.CodeBadWord, ""},
		{"a spread along nothing", session.CueRequest{Target: session.Target{Look: "tide"}, Fade: "1 s", Spread: "1 s along edges"}, session.Invalid, cues.CodeUnknownGroup, `did you mean "edge"?`},
		{"progress past the end", session.CueRequest{Target: session.Target{Look: "tide"}, At: &high}, session.Invalid, cues.CodeOutOfRange, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			play(t, func(s *set) {
				before := s.State()
				r := refused(t, s.Cue(c.r), c.kind, c.code)
				if c.mend != "" {
					require.Equal(t, c.mend, r.Mend)
				}
				require.Equal(t, before, s.State(), "a refused verb changes nothing")
				s.shows("warden")
			})
		})
	}
}

func TestRefusalSaysWhereInTheShow(t *testing.T) {
	play(t, func(s *set) {
		r := refused(t, s.Cue(look("ring")), session.Conflict, "level-ring")
		require.Equal(t, "show.yaml:30:9", r.Where)
		require.Equal(t, "fade", refused(t, s.Cue(session.CueRequest{Target: session.Target{Look: "tide"}, Fade: "soon"}), session.Invalid, cues.CodeBadTime).Where)
	})
}
