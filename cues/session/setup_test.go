package session_test

import (
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/session"
)

// reversed adds set-ups that turn the looks of the deep end round.
func reversed(c *session.Config) {
	deep := c.Show.Location("deep-end")
	deep.Setups = append(deep.Setups,
		&cues.Setup{Name: "reverse", MirrorAll: true, Trims: []cues.Trim{{Group: "key", Stops: -1}}},
		&cues.Setup{Name: "other", Swaps: []cues.Swap{{{Group: "edge"}, {Group: "floor"}}}},
		&cues.Setup{Name: "slow", Own: cues.Camera{FPS: 96}},
	)
	deep.Cues[1].Fade.OnScreen = true
}

// bytesBy gives what the wire carries of a settled look as a set-up shoots it.
func (s *set) bytesBy(look, setup string) [][]byte {
	p := s.place()
	p = p.WithSetup(p.Location.Setup(setup))
	still, _, problems := p.Still(s.show.Look(p.Location, look))
	require.False(s.t, problems.HasErrors())
	return p.Frame(still, true)
}

func (s *set) shoots(setup, look string) {
	s.t.Helper()
	s.pass(time.Second / 10)
	require.Equal(s.t, s.bytesBy(look, setup), s.out.last().bytes, "the wire does not show %q by %q", look, setup)
	require.Equal(s.t, look, s.State().Look)
	require.Equal(s.t, setup, s.State().Setup)
	require.NotContains(s.t, codes(s.State().Warnings), "look-outdated")
}

func choose(setup string) session.SetupRequest { return session.SetupRequest{Setup: setup} }

// A set-up chosen between takes has the set fade there, without a jump, and what stands
// by come as it is trimmed.
func TestSetUpTakesTheSetWithIt(t *testing.T) {
	play(t, func(s *set) {
		s.shoots("wide", "warden")
		key := s.keyLumens()
		before, frames := s.State().Revision, s.out.count()
		require.NoError(t, s.Setup(choose("reverse")))
		require.Equal(t, &session.Fade{From: "warden", To: "warden", RemainingMS: 1000, TotalMS: 1000}, s.State().Fade)
		require.NotEqual(t, before, s.State().Revision, "the looks are to be drawn anew")
		s.pass(500 * time.Millisecond)
		require.Greater(t, s.keyLumens(), key/2)
		require.Less(t, s.keyLumens(), key)
		s.pass(600 * time.Millisecond)
		s.shoots("reverse", "warden")
		require.InEpsilon(t, key/2, s.keyLumens(), 0.001, "a stop is half")
		require.Greater(t, len(s.out.from(frames)), 40)
		require.NotEqual(t, s.bytesBy("warden", "wide"), s.bytesBy("warden", "reverse"))

		require.NoError(t, s.Cue(look("tide")))
		s.shoots("reverse", "tide")
		require.NoError(t, s.Setup(session.SetupRequest{Setup: "other", Fade: "0 s"}))
		s.shoots("other", "tide")
		require.NoError(t, s.Back())
		s.pass(5 * time.Second)
		s.shoots("other", "warden")
		require.NoError(t, s.Setup(session.SetupRequest{}), "nothing said is the first")
		s.pass(2 * time.Second)
		s.shoots("wide", "warden")
	}, reversed)
}

// Under work light and a kill the choice waits for what covers the look.
func TestSetUpUnderWorkLight(t *testing.T) {
	play(t, func(s *set) {
		on, off := true, false
		require.NoError(t, s.WorkLight(&on))
		s.pass(time.Second)
		lit := s.out.last().bytes
		require.NoError(t, s.Setup(choose("reverse")))
		s.pass(2 * time.Second)
		require.Equal(t, lit, s.out.last().bytes)
		require.NoError(t, s.WorkLight(&off))
		s.pass(2 * time.Second)
		s.shoots("reverse", "warden")
		require.NoError(t, s.Kill(true))
		require.NoError(t, s.Setup(choose("wide")))
		s.pass(2 * time.Second)
		require.Zero(t, s.lumens())
		require.NoError(t, s.Kill(false))
		s.pass(2 * time.Second)
		s.shoots("wide", "warden")
	}, reversed)
}

func TestSetUpWaitsForCues(t *testing.T) {
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.cue(2)))
		s.tick()
		refused(t, s.Setup(choose("reverse")), session.Conflict, "cue-runs")
		s.pass(5 * time.Second) // cue 3 is to follow
		refused(t, s.Setup(choose("reverse")), session.Conflict, "cue-runs")
		require.NoError(t, s.Setup(choose("wide")), "it is chosen already")
		r := refused(t, s.Setup(choose("revers")), session.Unknown, cues.CodeUnknownSetup)
		require.Contains(t, r.Mend, "reverse")
		s.pass(10 * time.Second)
		refused(t, s.Setup(session.SetupRequest{Setup: "reverse", Fade: "soon"}), session.Invalid, cues.CodeBadTime)
		require.Equal(t, "wide", s.State().Setup)
	}, reversed)
}

// 4 s on screen at 96 frames for an edit at 24 are 1 s on set (a quarter of the speed).
func TestSetUpsCameraCountsTheTime(t *testing.T) {
	play(t, func(s *set) {
		require.Equal(t, int64(4000), s.State().Standby.FadeMS)
		require.NoError(t, s.Setup(choose("slow")))
		require.Nil(t, s.State().Fade, "nothing of the look changes")
		require.Equal(t, int64(1000), s.State().Standby.FadeMS)
		plan := s.Plan()
		require.Equal(t, int64(1000), plan.Cues[1].FadeMS)
		require.Equal(t, []session.PlanTrim{{Group: "key", Stops: -1}}, plan.Setups[1].Trims)
		require.Equal(t, []string{"key", "edge", "floor"}, plan.Setups[1].Mirrors)
		require.Equal(t, [][2]string{{"edge", "floor"}}, plan.Setups[2].Swaps)
		require.Equal(t, 96.0, plan.Setups[3].FPS)
	}, reversed)
}

func TestRestartKeepsTheSetUp(t *testing.T) {
	path := filepath.Join(t.TempDir(), "state.json")
	synctest.Test(t, func(t *testing.T) {
		s := begin(t, testShow(t), keptIn(path), reversed)
		require.NoError(t, s.Setup(choose("reverse")))
		s.pass(2 * time.Second)
		require.NoError(t, s.Location("diving-stage"))
		require.Empty(t, s.State().Setup, "it has none")
		require.NoError(t, s.Setup(session.SetupRequest{}))
		s.tick()
		s.stop()
		s = begin(t, testShow(t), keptIn(path), reversed)
		require.NoError(t, s.Location("deep-end"))
		s.shoots("reverse", "warden")
		s.stop()
		s = begin(t, testShow(t), keptIn(path)) // the set-up has gone meanwhile
		s.shoots("wide", "warden")
		require.Contains(t, codes(s.State().Warnings), "setup-gone")
		s.stop()
	})
}

// Light that comes while another set-up is chosen solves the looks of that one.
func TestLightComesToTheSetUpThatIsChosen(t *testing.T) {
	inLight(t, session.Lighting{}, func(s *set, l *lamplighter) {
		require.NoError(t, s.Setup(choose("reverse")))
		s.pass(2 * time.Second)
		require.Len(t, l.asked, 1, "the light of the place is the same from each camera")
		l.stages <- bright
		s.tick()
		require.NoError(t, s.Cue(look("tide")))
		s.tick()
		require.InEpsilon(t, 100, s.keyLumens(), 0.01, "2 lx are 200 lm, and a stop under that")
		require.NoError(t, s.Setup(choose("wide")))
		s.pass(2 * time.Second)
		require.InEpsilon(t, 200, s.keyLumens(), 0.01)
	}, reversed)
}
