package session_test

import (
	"context"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/artnet/outside"
	"linkboy/colour"
	"linkboy/cues/session"
)

// Kill is dark on every slot that gives light, at once, floor light too, with
// every parameter at its safe value.
func TestKill(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second + time.Millisecond)
		before := s.out.count()
		require.NoError(t, s.Kill(true))
		frames := s.out.from(before)
		require.Len(t, frames, 1)
		require.Equal(t, time.Now(), frames[0].at)
		p := s.place()
		require.Equal(t, p.Frame(p.Dark(), false), frames[0].bytes)
		require.Zero(t, s.lumens())
		require.True(t, s.State().Killed)
		require.NoError(t, s.Kill(true))
		s.pass(10 * time.Second)
		require.Zero(t, s.lumens())
		require.NoError(t, s.Kill(false))
		require.False(t, s.State().Killed)
		require.Zero(t, s.lumens(), "light comes back from the dark")
		s.pass(500 * time.Millisecond)
		require.NotNil(t, s.State().Fade)
		s.pass(600 * time.Millisecond)
		s.shows("warden")
	})
}

// Kill goes before a verb that still compiles, and counts after it. The clock
// is real, as fake time stands still while a verb waits for another.
func TestKillDoesNotWait(t *testing.T) {
	out := &recorder{}
	s, _, err := session.Open(session.Config{Show: testShow(t), Output: out})
	require.NoError(t, err)
	ended := make(chan error, 1)
	ctx, stop := context.WithCancel(t.Context())
	go func() { ended <- s.Run(ctx) }()
	dark := func() bool {
		return slices.IndexFunc(s.Cells(nil), func(c colour.XYZ) bool { return c.Y > 0 }) < 0
	}
	outside.Await(t, "light", func() bool { return !dark() })
	free := s.Occupy()
	done := make(chan error, 1)
	go func() { done <- s.Kill(true) }()
	outside.Await(t, "dark", dark)
	free()
	require.NoError(t, <-done)
	require.True(t, s.State().Killed)
	require.True(t, dark())
	stop()
	require.NoError(t, <-ended)
}

// What a kill covers cannot be held or resumed: it comes back as it was.
func TestKillCoversAHeldFade(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(time.Second)
		require.NoError(t, s.Hold())
		s.tick()
		on := s.out.last().bytes
		require.NoError(t, s.Kill(true))
		st := s.State()
		require.Nil(t, st.Fade)
		require.False(t, st.Held)
		refused(t, s.Hold(), session.Conflict, "nothing-runs")
		refused(t, s.Resume(), session.Conflict, "not-held")
		require.NoError(t, s.Kill(false))
		s.pass(1100 * time.Millisecond)
		require.Equal(t, on, s.out.last().bytes)
	})
}

func TestWhatEndsAKill(t *testing.T) {
	for name, c := range map[string]struct {
		verb func(*set) error
		look string
		wait time.Duration
	}{
		"a cue":      {func(s *set) error { return s.Cue(s.cue(2)) }, "tide", 5 * time.Second},
		"a look":     {func(s *set) error { return s.Cue(look("tide")) }, "tide", time.Second},
		"back":       {func(s *set) error { return s.Back() }, "warden", 2 * time.Second},
		"work light": {func(s *set) error { return s.WorkLight(nil) }, "", time.Second},
	} {
		t.Run(name, func(t *testing.T) {
			play(t, func(s *set) {
				require.NoError(t, s.Kill(true))
				s.pass(time.Second)
				require.NoError(t, c.verb(s))
				require.False(t, s.State().Killed)
				s.pass(c.wait)
				if c.look == "" {
					p := s.place()
					require.Equal(t, p.Frame(p.Work(), true), s.out.last().bytes)
					return
				}
				require.Equal(t, s.bytesOf(c.look, true), s.out.last().bytes)
			})
		})
	}
}

// A stand-by at full in no time is no way out of the dark.
func TestSnapIsRefusedUnderAKill(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Kill(true))
		refused(t, s.Snap(), session.Conflict, "nothing-runs")
		s.pass(time.Second)
		require.True(t, s.State().Killed)
		require.Zero(t, s.lumens())
	})
}

// Whoever killed a dark cue, or lit it for work, has moved since: the floor
// light comes back with what was on.
func TestFloorLightComesBackAfterADarkCue(t *testing.T) {
	for name, away := range map[string]func(*set){
		"kill": func(s *set) {
			require.NoError(t, s.Kill(true))
			s.pass(time.Second)
			require.NoError(t, s.Kill(false))
		},
		"work light": func(s *set) {
			require.NoError(t, s.WorkLight(nil))
			s.pass(time.Second)
			require.NoError(t, s.WorkLight(nil))
		},
	} {
		t.Run(name, func(t *testing.T) {
			play(t, func(s *set) {
				require.NoError(t, s.Cue(s.cue(4)))
				s.pass(2 * time.Second)
				require.Equal(t, s.bytesOf("night", false), s.out.last().bytes, "dark, as the cue says")
				away(s)
				s.pass(2 * time.Second)
				require.Equal(t, s.bytesOf("night", true), s.out.last().bytes, "the look, and the floor light under it")
			})
		})
	}
}

func TestWorkLightComesBackAfterAKill(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.WorkLight(nil))
		s.pass(time.Second)
		require.NoError(t, s.Kill(true))
		require.NoError(t, s.Kill(false))
		s.pass(1100 * time.Millisecond)
		p := s.place()
		require.Equal(t, p.Frame(p.Work(), true), s.out.last().bytes)
		require.True(t, s.State().Work)
		require.NoError(t, s.WorkLight(nil))
		s.pass(1100 * time.Millisecond)
		s.shows("warden")
	})
}
