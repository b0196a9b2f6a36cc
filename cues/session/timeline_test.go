package session_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/session"
)

// TestTimeline: by hand from the cue sheet of the test show, then in slow motion and
// another tempo.
func TestTimeline(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		show := testShow(t)
		show.Camera.FPS = 60 // for 24: a second is 2.5 on screen
		sheet := []*cues.Cue{
			{Number: 1, Look: "warden", Note: "start"},
			{Number: 2, Look: "tide", Delay: cues.Duration{Amount: 500, Unit: cues.Milliseconds}, Fade: cues.Duration{Amount: 4, Unit: cues.Seconds, OnScreen: true},
				Spread: &cues.Spread{Over: cues.Duration{Amount: 1, Unit: cues.Seconds}, Along: "edge"}},
			{Number: 3, Look: "warden", Fade: cues.Duration{Amount: 8, Unit: cues.Beats}, After: &cues.Duration{Amount: 1, Unit: cues.Bars}},
			{Number: 4, Look: "night", Fade: cues.Duration{Amount: 60, Unit: cues.Frames}, Timecode: label(t, "01:00:10:00"), Dark: true},
			{Number: 5, Look: "tide", Timecode: label(t, "01:00:12:12")},
			{Number: 6, Look: "ring", Fade: cues.Duration{Amount: 1, Unit: cues.Seconds}},
		}
		show.Locations[0].Cues = sheet
		show.Locations[0].Marks = append(show.Locations[0].Marks, cues.Mark{Name: "walk", Points: []cues.Point{{1, 0, 0}, {4, 0, 0}}})
		show.Locations[0].StandIns = []cues.StandIn{
			{Name: "dancer", HeightM: 1.7, Walk: &cues.Walk{Mark: "walk", Cue: 3, Takes: cues.Duration{Amount: 4, Unit: cues.Beats}}}, {Name: "watcher"},
		}
		s := begin(t, show)
		defer s.stop()
		laid := func(gap string) session.Timeline {
			tl, err := s.Timeline(gap)
			require.NoError(t, err)
			return tl
		}
		got := laid("2 s")
		require.Equal(t, "deep-end", got.Location)
		type row struct {
			waits             string
			start, end        float64
			startOn, endOn    float64
			frame, lastFrames int64
		}
		rows := func(tl session.Timeline) (out []row) {
			for _, c := range tl.Cues {
				out = append(out, row{c.Waits, c.Start, c.End, c.StartOn, c.EndOn, c.Frame, c.EndFrame})
			}
			return out
		}
		require.Equal(t, []row{
			{"start", 0, 0, 0, 0, 0, 0},
			{"person", 2000, 5100, 5000, 12750, 120, 306},      // 0.5 + 1 + 4*24/60 s
			{"follow", 7100, 11100, 17750, 27750, 426, 666},    // a bar of 2 s later
			{"timecode", 13100, 14100, 32750, 35250, 786, 846}, // no code before: as by hand
			{"timecode", 15600, 15600, 39000, 39000, 936, 936}, // 2.5 s of code after cue 4 began
			{"person", 17600, 18600, 44000, 46500, 1056, 1116},
		}, rows(got))
		require.Equal(t, 18600.0, got.End)
		require.Equal(t, []session.TimelineWalk{{Name: "dancer", Height: 1.7, Points: [][3]float64{{1, 0, 0}, {4, 0, 0}}, Cue: 3, Start: 7100, End: 9100}}, got.Walks)
		require.Equal(t, 46500.0, got.OnScreen)
		require.Equal(t, "", got.Cues[0].From)
		require.Equal(t, "warden", got.Cues[1].From)
		require.Equal(t, []float64{500, 1000, 1600}, []float64{got.Cues[1].Delay, got.Cues[1].Spread, got.Cues[1].Fade})
		require.Empty(t, got.Cues[1].Problem)
		require.Contains(t, got.Cues[5].Problem, "ring", "this look cannot run here")
		require.NoError(t, s.Tempo(session.TempoRequest{BPM: new(60.0)}))
		require.Equal(t, 4000.0, laid("").Cues[2].After)
		require.Equal(t, 8000.0, laid("").Cues[2].Fade)
		require.Equal(t, 3000.0, laid("3 beats").Cues[1].Start)
		_, err := s.Timeline("soon")
		refused(t, err, session.Invalid, cues.CodeBadTime)
	})
}

// TestScrubIsWhatWouldRun: what a scrub shows at a share is what the wire carries when
// the same cue is ridden there, and nothing on the wire moves for it.
func TestScrubIsWhatWouldRun(t *testing.T) {
	play(t, func(s *set) {
		s.pass(time.Second)
		before := s.out.last().bytes
		for _, at := range []float64{0, 0.1, 0.5, 0.97, 1} {
			seen, err := s.CueSeen(2, at)
			require.NoError(t, err)
			cells, err := s.CueCells(2, at)
			require.NoError(t, err)
			s.tick()
			require.Equal(t, before, s.out.last().bytes)
			require.NoError(t, s.Cue(look("warden")))
			r := s.cue(2)
			r.At = &at
			require.NoError(t, s.Cue(r))
			s.tick()
			require.Equal(t, s.Seen(nil), seen, "at %g", at)
			require.Equal(t, s.Cells(nil), cells, "at %g", at)
			require.NoError(t, s.Cue(look("warden")))
			s.tick()
		}
		warden, err := s.LookSeen("warden")
		require.NoError(t, err)
		first, err := s.CueSeen(1, 1)
		require.NoError(t, err)
		require.Equal(t, warden, first)
		dark, err := s.CueSeen(1, 0)
		require.NoError(t, err)
		require.NotEqual(t, warden, dark)

		// Another tempo times it anew; it stays right.
		require.NoError(t, s.Tempo(session.TempoRequest{BPM: new(90.0)}))
		again, err := s.CueSeen(2, 1)
		require.NoError(t, err)
		tide, err := s.LookSeen("tide")
		require.NoError(t, err)
		require.Equal(t, tide, again)

		_, err = s.CueSeen(9, 0)
		refused(t, err, session.Unknown, cues.CodeUnknownCue)
		_, err = s.CueSeen(5, 0)
		refused(t, err, session.Conflict, "level-ring")
		_, err = s.CueCells(2, 1.5)
		refused(t, err, session.Invalid, cues.CodeOutOfRange)
	})
}
