package session_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/session"
)

func TestOverallScalesLight(t *testing.T) {
	play(t, func(s *set) {
		s.pass(100 * time.Millisecond)
		full := s.Cells(nil)
		require.NoError(t, s.Overall("50%"))
		s.pass(100 * time.Millisecond)
		require.Equal(t, 0.5, s.State().Overall)
		half := s.Cells(nil)
		for i := range full[:5] { // the last one is kept lit by floor light
			require.InEpsilon(t, full[i].Y/2, half[i].Y, 2e-3, "cell %d", i)
		}
		require.InEpsilon(t, full[5].Y, half[5].Y, 1e-6, "floor light is not scaled")
		require.NoError(t, s.Overall("-2 stops"))
		require.Equal(t, 0.25, s.State().Overall)
		refused(t, s.Overall("120%"), session.Invalid, cues.CodeOutOfRange)
		refused(t, s.Overall("bright"), session.Invalid, cues.CodeBadLevel)
		refused(t, s.Overall("120 lx at a"), session.Invalid, cues.CodeBadLevel)
		require.NoError(t, s.Overall("100%"))
		s.shows("warden")
	})
}

func TestWorkLight(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.WorkLight(nil))
		st := s.State()
		require.True(t, st.Work)
		require.Equal(t, "warden", st.Look)
		require.Equal(t, "work light", st.Fade.To)
		require.EqualValues(t, 500, st.Fade.TotalMS)
		s.pass(600 * time.Millisecond)
		p := s.place()
		require.Equal(t, p.Frame(p.Work(), true), s.out.last().bytes)
		yes, no := true, false
		require.NoError(t, s.WorkLight(&yes))
		require.Nil(t, s.State().Fade, "on is on")
		require.NoError(t, s.WorkLight(nil))
		require.EqualValues(t, 1000, s.State().Fade.TotalMS)
		s.pass(1100 * time.Millisecond)
		s.shows("warden")
		require.NoError(t, s.WorkLight(&no))
		require.False(t, s.State().Work)
	})
}

// Work light is bright whatever overall says, and overall is back afterwards.
func TestWorkLightIsBrightUnderOverall(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Overall("0%"))
		s.pass(100 * time.Millisecond)
		require.NoError(t, s.WorkLight(nil))
		s.pass(600 * time.Millisecond)
		p := s.place()
		require.Equal(t, p.Frame(p.Work(), true), s.out.last().bytes)
		require.Equal(t, 0.0, s.State().Overall, "overall is what a person has set")
		require.NoError(t, s.WorkLight(nil))
		s.pass(1100 * time.Millisecond)
		lights := s.Cells(nil)
		require.Zero(t, lights[0].Y)
		require.Positive(t, lights[5].Y, "but the floor light")
	})
}

// Work light comes whatever a thumb does.
func TestWorkLightCannotBeHeld(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.WorkLight(nil))
		refused(t, s.Hold(), session.Conflict, "nothing-runs")
		refused(t, s.Ride(0), session.Conflict, "nothing-runs")
		require.NoError(t, s.Snap(), "but it may come at once")
		p := s.place()
		require.Equal(t, p.Frame(p.Work(), true), s.out.last().bytes)
	})
}

func TestWorkLightGivesBackAHeldFade(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(time.Second)
		require.NoError(t, s.Hold())
		held := s.out.last().bytes
		require.NoError(t, s.WorkLight(nil))
		s.pass(time.Second)
		require.NotEqual(t, held, s.out.last().bytes)
		require.NoError(t, s.WorkLight(nil))
		s.pass(1100 * time.Millisecond)
		require.Equal(t, held, s.out.last().bytes)
	})
}

func TestCueEndsWorkLight(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.WorkLight(nil))
		s.pass(time.Second)
		require.NoError(t, s.Cue(s.cue(2)))
		require.False(t, s.State().Work)
		require.Equal(t, "work light", s.State().Fade.From)
		s.pass(4100 * time.Millisecond)
		s.shows("tide")
	})
}

func TestDryRun(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Dry(true))
		sent := s.out.count()
		require.NoError(t, s.Cue(look("tide")))
		s.pass(time.Second)
		require.Equal(t, sent, s.out.count(), "nothing goes out")
		_, slots := s.Frames()
		require.Equal(t, s.bytesOf("tide", true), slots, "but everything runs")
		require.True(t, s.State().Dry)
		require.NoError(t, s.Dry(false))
		s.shows("tide")
	})
}

func TestStartsDry(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		require.Zero(t, s.out.count())
		require.True(t, s.State().Dry)
	}, func(c *session.Config) { c.Dry = true })
}

func TestDarkCueGoesUnderTheFloorLightAndSaysSo(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		require.Positive(t, s.Cells(nil)[5].Y)
		require.NoError(t, s.Cue(s.cue(4)))
		require.Contains(t, codes(s.State().Warnings), "floor-light-off")
		s.pass(1100 * time.Millisecond)
		require.Equal(t, s.bytesOf("night", false), s.out.last().bytes)
		require.NoError(t, s.Cue(look("night")))
		s.pass(100 * time.Millisecond)
		require.Equal(t, s.bytesOf("night", true), s.out.last().bytes)
		require.NotContains(t, codes(s.State().Warnings), "floor-light-off")
	})
}

func TestLampsOutOfReachAreWarnedOf(t *testing.T) {
	synctestPlayWith(t, func(show *cues.Show) {
		show.Look(nil, "night").Paint[0].On = "key" // a two-colour lamp cannot be blue
	}, func(s *set) {
		require.NoError(t, s.Cue(look("night")))
		warnings := s.State().Warnings
		require.Equal(t, []string{cues.CodeColourOutOfReach}, codes(warnings))
		require.Contains(t, warnings[0].Message, "1 lamp of type key-bicolour")
		require.Contains(t, warnings[0].Message, `look "night" at deep-end`)
		require.NotEmpty(t, warnings[0].Mend)
	})
}

func TestLookOfTheWholeShowWorksWithoutItsGroups(t *testing.T) {
	play(t, func(s *set) {
		require.Contains(t, codes(s.State().Warnings), "group-not-here")
	})
}

// Two opposing flips are one flash; more than three flashes in a second break
// WCAG 2.2 success criterion 2.3.1. A flip every 0.15 s is 3.3 flashes a second
// and too fast, one every 0.17 s is 2.9.
func TestFlashing(t *testing.T) {
	for _, c := range []struct {
		every time.Duration
		warn  bool
	}{{150 * time.Millisecond, true}, {170 * time.Millisecond, false}} {
		play(t, func(s *set) {
			for i := range 20 {
				name := "night"
				if i%2 == 1 {
					name = "warden"
				}
				require.NoError(t, s.Cue(look(name)), "it is never refused")
				s.pass(c.every)
			}
			require.Equal(t, c.warn, containsCode(s.State().Warnings, "flashing"), "every %s", c.every)
			s.pass(time.Minute)
			require.NotContains(t, codes(s.State().Warnings), "flashing")
		})
	}
}

// To and from a saturated red counts at equal light too (WCAG 2.2, red flash).
func TestRedFlashing(t *testing.T) {
	synctestPlayWith(t, func(show *cues.Show) {
		paint := func(hue float64) []cues.Paint {
			return []cues.Paint{{On: "edge", Pattern: cues.Solid, Level: cues.Level{Kind: cues.Share, Value: 0.05},
				Colours: []cues.Colour{{Form: colour.HueSat{Hue: hue, Sat: 1}}}}}
		}
		show.Looks = append(show.Looks, &cues.Look{Name: "red", Paint: paint(0)}, &cues.Look{Name: "blue", Paint: paint(240)})
	}, func(s *set) {
		for i := range 20 {
			name := "red"
			if i%2 == 1 {
				name = "blue"
			}
			require.NoError(t, s.Cue(look(name)))
			s.pass(150 * time.Millisecond)
		}
		require.Contains(t, codes(s.State().Warnings), "flashing")
	})
}

// A cue sheet that would flash by itself says so before anybody runs it.
func TestFlashingCueSheet(t *testing.T) {
	sheet := func(every float64) func(*cues.Show) {
		return func(show *cues.Show) {
			after := cues.Duration{Amount: every, Unit: cues.Seconds}
			loc := show.Locations[0]
			loc.Cues = nil
			for i := range 12 {
				c := &cues.Cue{Number: i + 1, Look: []string{"warden", "night"}[i%2], At: cues.Pos{File: "locations/deep-end.yaml", Line: 10 + i, Column: 5}}
				if i > 0 {
					c.After = &after
				}
				loc.Cues = append(loc.Cues, c)
			}
		}
	}
	synctestPlayWith(t, sheet(0.15), func(s *set) {
		require.Contains(t, codes(s.State().Warnings), "flashing")
	})
	synctestPlayWith(t, sheet(0.17), func(s *set) {
		require.NotContains(t, codes(s.State().Warnings), "flashing")
	})
}
