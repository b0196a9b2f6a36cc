package session_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/session"
)

// cellsOf gives the light of a lamp's cells as shares of the most they give.
func (s *set) cellsOf(lamp string) (shares []float64) {
	lights := s.Cells(nil)
	for _, l := range s.Plan().Lamps {
		if l.ID == lamp {
			for i, c := range l.Cells {
				shares = append(shares, lights[l.FirstCell+i].Y/c.MostLumens)
			}
		}
	}
	return shares
}

// Shares of light that nobody is blinded by, and the first cell in another state
// than the rest: common practice, no source.
func TestPointShowsWhichLampAndWhichEnd(t *testing.T) {
	play(t, func(s *set) {
		s.pass(100 * time.Millisecond)
		was := s.Cells(nil)
		require.NoError(t, s.Point("lane-1", false))
		st := s.State()
		require.Equal(t, &session.Pointing{Lamp: "lane-1", LeftMS: 120_000}, st.Pointing)
		require.EqualValues(t, 500, st.Fade.TotalMS)
		s.pass(600 * time.Millisecond)
		is := s.Cells(nil)
		for i := range is {
			if i == 1 || i == 2 {
				continue
			}
			require.Equal(t, was[i], is[i], "cell %d keeps what it has", i)
		}
		require.InEpsilon(t, 4, is[1].Y/is[2].Y, 0.01, "the first cell is two stops over the rest")
		for i, share := range s.cellsOf("lane-1") {
			require.LessOrEqual(t, share, 0.41, "cell %d is far from full", i)
			require.Greater(t, share, 0.02, "cell %d is seen", i)
		}
		white, balance := is[1].XY().UV(), colour.XY(s.place().Balance).UV()
		require.InDelta(t, balance.U, white.U, 2e-3)
		require.InDelta(t, balance.V, white.V, 2e-3)

		require.NoError(t, s.Point("", false))
		require.Nil(t, s.State().Pointing)
		require.EqualValues(t, 1000, s.State().Fade.TotalMS)
		s.pass(1100 * time.Millisecond)
		s.shows("warden")
		require.NoError(t, s.Point("", false), "nothing to end is no error")
	})
}

func TestPointDimsTheOthersButNotUnderFloorLight(t *testing.T) {
	play(t, func(s *set) {
		s.pass(100 * time.Millisecond)
		was := s.Cells(nil)
		require.NoError(t, s.Point("lane-2", true))
		s.pass(600 * time.Millisecond)
		is := s.Cells(nil)
		for _, i := range []int{0, 1, 2} {
			require.InEpsilon(t, was[i].Y/10, is[i].Y, 0.02, "cell %d is down", i)
		}
		require.InEpsilon(t, was[5].Y, is[5].Y, 1e-6, "floor light is what it was")
		require.NoError(t, s.Point("lane-1", true))
		s.pass(600 * time.Millisecond)
		is = s.Cells(nil)
		require.InEpsilon(t, was[3].Y/10, is[3].Y, 0.02, "the lamp before goes down with the others")
		require.NoError(t, s.Back())
		s.pass(1100 * time.Millisecond)
		s.shows("warden")
	})
}

// No lamp jumps: between two frames no cell changes by more than what half a second
// spreads over its frames.
func TestPointFadesIn(t *testing.T) {
	play(t, func(s *set) {
		s.pass(100 * time.Millisecond)
		n := s.out.count()
		require.NoError(t, s.Point("lane-1", true))
		s.pass(600 * time.Millisecond)
		require.NoError(t, s.Point("lane-2", true))
		s.pass(600 * time.Millisecond)
		frames := s.out.from(n - 1)
		p := s.place()
		was, is := make([]colour.XYZ, len(p.Cells)), make([]colour.XYZ, len(p.Cells))
		for k := 1; k < len(frames); k++ {
			p.Light(frames[k-1].bytes, was)
			p.Light(frames[k].bytes, is)
			for i, c := range p.Cells {
				require.InDelta(t, was[i].Y, is[i].Y, 0.05*c.MostLumens, "frame %d, cell %d", k, i)
			}
		}
	})
}

// WCAG 2.2 success criterion 2.3.1: no more than three flashes in a second, so
// no more than three times on in one, however fast a button is pressed.
func TestPointCannotFlash(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		begun := 0
		for range 20 {
			if s.Point("lane-1", true) == nil {
				begun++
			}
			s.pass(25 * time.Millisecond)
			require.NoError(t, s.Point("", false))
			s.pass(25 * time.Millisecond)
		}
		require.LessOrEqual(t, begun, 3, "in one second")
		require.NoError(t, s.Cue(look("warden")))
		s.shows("warden")
	})
}

func TestPointEndsByItself(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Point("k1", true))
		s.pass(119 * time.Second)
		require.NotNil(t, s.State().Pointing)
		s.pass(2200 * time.Millisecond)
		require.Nil(t, s.State().Pointing)
		s.shows("warden")
	})
}

func TestWhatEndsPointing(t *testing.T) {
	for what, c := range map[string]struct {
		do    func(*set) error
		after func(*set)
	}{
		"a cue": {func(s *set) error { return s.Cue(s.cue(2)) }, func(s *set) {
			s.pass(4100 * time.Millisecond)
			s.shows("tide")
		}},
		"work light": {func(s *set) error { return s.WorkLight(nil) }, func(s *set) {
			s.pass(600 * time.Millisecond)
			p := s.place()
			require.Equal(s.t, p.Frame(p.Work(), true), s.out.last().bytes)
			refused(s.t, s.Point("lane-1", false), session.Conflict, "work-light-on")
			require.NoError(s.t, s.WorkLight(nil))
			s.pass(1100 * time.Millisecond)
			s.shows("warden")
		}},
		"a kill": {func(s *set) error { return s.Kill(true) }, func(s *set) {
			s.tick()
			p := s.place()
			require.Equal(s.t, p.Frame(p.Dark(), false), s.out.last().bytes)
			refused(s.t, s.Point("lane-1", false), session.Conflict, "killed")
			require.NoError(s.t, s.Kill(false))
			s.pass(1100 * time.Millisecond)
			s.shows("warden")
		}},
		"another place": {func(s *set) error { return s.Location("diving-stage") }, func(s *set) { s.shows("tide") }},
		"back": {func(s *set) error { return s.Back() }, func(s *set) {
			s.pass(1100 * time.Millisecond)
			s.shows("warden")
		}},
	} {
		t.Run(what, func(t *testing.T) {
			play(t, func(s *set) {
				require.NoError(t, s.Point("lane-1", true))
				s.pass(time.Second)
				require.NoError(t, c.do(s))
				require.Nil(t, s.State().Pointing)
				c.after(s)
			})
		})
	}
}

func TestPointGivesBackAHeldFade(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(time.Second)
		require.NoError(t, s.Hold())
		held := s.out.last().bytes
		require.NoError(t, s.Point("lane-1", true))
		s.pass(time.Second)
		require.NoError(t, s.Point("k1", true))
		s.pass(time.Second)
		require.NoError(t, s.Point("", false))
		s.pass(1100 * time.Millisecond)
		require.Equal(t, held, s.out.last().bytes)
	})
}

func TestPointIsRefused(t *testing.T) {
	play(t, func(s *set) {
		r := refused(t, s.Point("lane-9", true), session.Unknown, cues.CodeUnknownLamp)
		require.Contains(t, r.Mend, "lane-1")
		require.NoError(t, s.Overall("5%"))
		refused(t, s.Point("lane-1", true), session.Conflict, "overall-too-low")
		require.NoError(t, s.Overall("100%"))
		require.NoError(t, s.Point("lane-1", true))
		refused(t, s.Point("lane-2", true), session.Conflict, "too-soon")
		require.Equal(t, "lane-1", s.State().Pointing.Lamp)
		refused(t, s.Hold(), session.Conflict, "nothing-runs")
	})
}

func TestPointInADryRun(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Dry(true))
		sent := s.out.count()
		require.NoError(t, s.Point("lane-1", true))
		s.pass(time.Second)
		require.Equal(t, sent, s.out.count(), "nothing goes out")
		shares := s.cellsOf("lane-1")
		require.Greater(t, shares[0], 0.05, "the picture shows it")
		require.InEpsilon(t, 4, shares[0]/shares[1], 0.01)
	})
}

// Turning a tube round while it is pointed at: the plan is that of the edit, and
// the lamp goes on standing out.
func TestPointOutlastsAnEdit(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Point("lane-1", true))
		s.pass(time.Second)
		lit := s.out.last().bytes
		changed := testShow(t)
		lane := changed.Locations[0].Lamp("lane-1")
		lane.Along = cues.Point{-1, 0, 0}
		waits, err := s.Replace(changed, true)
		require.NoError(t, err)
		require.False(t, waits)
		s.pass(400 * time.Millisecond)
		require.Equal(t, lit, s.out.last().bytes)
		require.Equal(t, "lane-1", s.State().Pointing.Lamp)

		moved := testShow(t)
		moved.Locations[0].Lamp("lane-1").Address = cues.Address{Port: 1, Slot: 200}
		_, err = s.Replace(moved, true)
		require.NoError(t, err)
		s.pass(400 * time.Millisecond)
		require.InEpsilon(t, 4, s.cellsOf("lane-1")[0]/s.cellsOf("lane-1")[1], 0.01)

		gone := testShow(t)
		loc := gone.Locations[0]
		loc.Rig = append(loc.Rig[:1:1], loc.Rig[2:]...)
		loc.Group("edge").Members = loc.Group("edge").Members[1:]
		_, err = s.Replace(gone, true)
		require.NoError(t, err)
		require.Nil(t, s.State().Pointing)
	})
}

func TestRollEndsPointing(t *testing.T) {
	book := newLogbook()
	play(t, func(s *set) {
		require.NoError(t, s.Point("lane-1", true))
		s.pass(time.Second)
		require.NoError(t, s.Take(roll("12", "A")))
		require.Nil(t, s.State().Pointing)
		s.pass(1100 * time.Millisecond)
		s.shows("warden")
		refused(t, s.Point("lane-1", true), session.Conflict, "hot-set")
	}, func(c *session.Config) { c.Journal = book })
}
