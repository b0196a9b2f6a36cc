package session_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/session"
)

func TestHoldAndResume(t *testing.T) {
	play(t, func(s *set) {
		refused(t, s.Hold(), session.Conflict, "nothing-runs")
		refused(t, s.Resume(), session.Conflict, "not-held")
		require.NoError(t, s.Cue(s.cue(2)))
		refused(t, s.Resume(), session.Conflict, "not-held")
		s.pass(time.Second)
		require.NoError(t, s.Hold())
		require.True(t, s.State().Held)
		bytes := s.out.last().bytes
		s.pass(time.Minute)
		require.Equal(t, bytes, s.out.last().bytes)
		require.NoError(t, s.Resume())
		require.False(t, s.State().Held)
		s.pass(2900 * time.Millisecond)
		require.NotNil(t, s.State().Fade)
		s.pass(200 * time.Millisecond)
		s.shows("tide")
	})
}

// Turned round before it is dark, a fade through dark comes back without it.
func TestBackThroughDarkTurnsRound(t *testing.T) {
	play(t, func(s *set) {
		r := s.cue(2)
		r.Path, r.Spread = "dark", "0 s"
		require.NoError(t, s.Cue(r))
		full := s.lumens()
		s.pass(time.Second)
		turned := s.lumens()
		require.Less(t, turned, 0.95*full)
		require.NoError(t, s.Back())
		for range 10 {
			s.pass(time.Second / 10)
			now := s.lumens()
			require.GreaterOrEqual(t, now, 0.999*turned, "most of the light is a lamp that stays")
			turned = now
		}
		s.shows("warden")
	})
}

func TestEveryPathArrives(t *testing.T) {
	play(t, func(s *set) {
		for i, path := range cues.PathNames() {
			r := s.cue(2 - i%2)
			r.Path, r.Fade, r.Spread = path, "2 s", "0 s"
			require.NoError(t, s.Cue(r), path)
			s.pass(2100 * time.Millisecond)
			s.shows([]string{"tide", "warden"}[i%2])
		}
	})
}

func TestRide(t *testing.T) {
	play(t, func(s *set) {
		refused(t, s.Ride(0.5), session.Conflict, "nothing-runs")
		require.NoError(t, s.Cue(s.cue(2)))
		refused(t, s.Ride(-0.1), session.Invalid, cues.CodeOutOfRange)
		refused(t, s.Ride(1.1), session.Invalid, cues.CodeOutOfRange)
		require.NoError(t, s.Ride(0.8))
		s.tick()
		high := s.out.last().bytes
		require.NoError(t, s.Ride(0.2))
		s.tick()
		require.NotEqual(t, high, s.out.last().bytes)
		require.NoError(t, s.Ride(0.8))
		s.tick()
		require.Equal(t, high, s.out.last().bytes, "the same progress is the same light")
		require.True(t, s.State().Held)
	})
}

func TestSnap(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(time.Second)
		require.NoError(t, s.Snap())
		require.Equal(t, s.bytesOf("tide", true), s.out.last().bytes)
		require.Nil(t, s.State().Fade)
		s.pass(100 * time.Millisecond)
		require.NoError(t, s.Snap(), "idle, it runs the stand-by in no time")
		require.Equal(t, s.bytesOf("warden", true), s.out.last().bytes)
		require.Equal(t, 4, s.State().Standby.Cue)
	})
}

func TestSnapToAStandbyThatCannotRun(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(4)))
		s.pass(2 * time.Second)
		require.Equal(t, 5, s.State().Standby.Cue)
		refused(t, s.Snap(), session.Conflict, "no-stand-by")
	})
}

func TestBackSettled(t *testing.T) {
	play(t, func(s *set) {
		refused(t, s.Back(), session.Conflict, "no-way-back")
		r := s.cue(2)
		r.Fade = "3 s"
		require.NoError(t, s.Cue(r))
		s.pass(3100 * time.Millisecond)
		require.NoError(t, s.Back())
		st := s.State()
		require.Equal(t, "warden", st.Look)
		require.EqualValues(t, 3000, st.Fade.TotalMS, "in the time of the cue that left it")
		require.Equal(t, 2, st.Standby.Cue, "ready to go again")
		require.Equal(t, "tide", *st.CanBack)
		s.pass(3100 * time.Millisecond)
		s.shows("warden")
		require.NoError(t, s.Back())
		s.pass(3100 * time.Millisecond)
		s.shows("tide")
		require.Equal(t, 3, s.State().Standby.Cue)
	})
}

func TestBackTurnsAFadeRound(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(time.Second)
		gone := s.State().Fade.Progress * 4000
		require.NoError(t, s.Back())
		st := s.State()
		require.Equal(t, "warden", st.Look)
		require.InDelta(t, gone, st.Fade.TotalMS, 1, "in the time that has gone")
		s.pass(time.Duration(gone)*time.Millisecond + 30*time.Millisecond)
		require.Nil(t, s.State().Fade)
		s.shows("warden")
		require.NoError(t, s.Back())
		require.EqualValues(t, 4000, s.State().Fade.TotalMS, "forward again in the time of its cue")
	})
}

func TestSameLookTwiceKeepsTheWayBack(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(look("tide")))
		require.NoError(t, s.Cue(look("tide")))
		require.Equal(t, "warden", *s.State().CanBack)
	})
}

// steps gives the greatest change of a cell from one frame to the next, as a
// share of its most, in light or in lightness, whichever is less: near black a
// little light is much lightness, and the other way round near the most. The
// cube root of light goes with CIE 1976 L*.
func (s *set) steps(frames []frame) float64 {
	p := s.place()
	before, after := make([]colour.XYZ, len(p.Cells)), make([]colour.XYZ, len(p.Cells))
	most := 0.0
	for i := 1; i < len(frames); i++ {
		p.Light(frames[i-1].bytes, before)
		p.Light(frames[i].bytes, after)
		for k, c := range p.Cells {
			b, a := before[k].Y/c.MostLumens, after[k].Y/c.MostLumens
			most = max(most, min(math.Abs(a-b), math.Abs(math.Cbrt(a)-math.Cbrt(b))))
		}
	}
	return most
}

// However often and from wherever people go back, the set turns round at the
// pace of the fades that led there: none of these takes less than half a second.
func TestBackNeverJumps(t *testing.T) {
	blink := 50 * time.Millisecond
	ways := map[string]func(*set) error{
		"back twice": func(s *set) error {
			s.pass(2 * time.Second)
			if err := s.Back(); err != nil {
				return err
			}
			s.pass(blink)
			return s.Back()
		},
		"back from a cue in the middle of a fade": func(s *set) error {
			s.pass(time.Second)
			r := look("night")
			r.Fade = "4 s"
			if err := s.Cue(r); err != nil {
				return err
			}
			s.pass(blink)
			return s.Back()
		},
		"the same cue again": func(s *set) error {
			s.pass(3 * time.Second)
			if err := s.Cue(s.cue(2)); err != nil {
				return err
			}
			s.pass(blink)
			return s.Back()
		},
		"the same cue again, settled": func(s *set) error {
			s.pass(5 * time.Second)
			if err := s.Cue(s.cue(2)); err != nil {
				return err
			}
			s.pass(blink)
			return s.Back()
		},
		"from work light": func(s *set) error {
			s.pass(5 * time.Second)
			if err := errors.Join(s.WorkLight(nil), s.again(600*time.Millisecond), s.WorkLight(nil)); err != nil {
				return err
			}
			s.pass(blink)
			return s.Back()
		},
		"from a cue out of a held fade that work light covered": func(s *set) error {
			s.pass(time.Second)
			r := look("night")
			r.Fade = "4 s"
			err := errors.Join(s.Hold(), s.WorkLight(nil), s.again(600*time.Millisecond), s.WorkLight(nil), s.again(1100*time.Millisecond), s.Cue(r))
			if err != nil {
				return err
			}
			s.pass(blink)
			return s.Back()
		},
		"from a cue out of work light": func(s *set) error {
			s.pass(5 * time.Second)
			r := look("night")
			r.Fade = "4 s"
			if err := errors.Join(s.WorkLight(nil), s.again(600*time.Millisecond), s.Cue(r)); err != nil {
				return err
			}
			s.pass(blink)
			return s.Back()
		},
	}
	for name, way := range ways {
		t.Run(name, func(t *testing.T) {
			play(t, func(s *set) {
				n := s.out.count() - 1
				require.NoError(t, s.Cue(s.cue(2)))
				require.NoError(t, way(s))
				s.pass(6 * time.Second)
				require.Nil(t, s.State().Fade)
				// The widest way, from dark to full in half a second, has 22 frames.
				require.Less(t, s.steps(s.out.from(n)), 1.0/20)
				s.shows(s.State().Look)
			})
		})
	}
}

// again lets time go by between two verbs.
func (s *set) again(d time.Duration) error {
	s.pass(d)
	return nil
}

// Turned round twice, a fade takes in all what it would have taken, and the
// time that it went the wrong way twice.
func TestBackTwiceKeepsThePace(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(2 * time.Second)
		require.NoError(t, s.Back())
		s.pass(100 * time.Millisecond)
		require.NoError(t, s.Back())
		st := s.State()
		require.Equal(t, "tide", st.Look)
		require.InDelta(t, 2100, st.Fade.TotalMS, 50)
		require.Equal(t, "warden", *st.CanBack)
	})
}
