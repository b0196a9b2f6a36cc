package session_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/session"
)

// counted is a request to count a cue in.
func (s *set) counted(n int, in string) session.CueRequest {
	r := s.cue(n)
	r.CountIn = in
	return r
}

// TestCountInRunsOnTheDot: beats of the tempo (60/BPM, by the definition of beats
// per minute), bars, seconds, frames of the camera; the first frame of the cue goes out
// when the count is over, wherever the loop's own frames are.
func TestCountInRunsOnTheDot(t *testing.T) {
	for _, row := range []struct {
		in    string
		want  time.Duration
		beat  float64
		beats bool
	}{
		{"4 beats", 2 * time.Second, 500, true}, // the show has 120 BPM
		{"2 bars", 4 * time.Second, 500, true},
		{"3 beats on screen", 600 * time.Millisecond, 200, true}, // 60 frames a second for 24
		{"5 s", 5 * time.Second, 1000, false},
		{"90 frames", 1500 * time.Millisecond, 1000, false},
		{"0 s", 0, 1000, false},
	} {
		t.Run(row.in, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				show := testShow(t)
				show.Camera.FPS = 60
				s := begin(t, show)
				defer s.stop()
				s.pass(time.Second + 7*time.Millisecond)
				given, before := time.Now(), s.out.count()
				require.NoError(t, s.Cue(s.counted(2, row.in)))
				if row.want > 0 {
					st := s.State()
					require.Equal(t, &session.Counting{Cue: 2, Look: "tide", Remaining: ms(row.want), Total: ms(row.want), Beat: row.beat, Beats: row.beats}, st.Counting)
					require.Equal(t, 2, st.Standby.Cue)
					require.Equal(t, "warden", st.Look)
					s.pass(row.want - 1)
					require.Equal(t, "warden", s.State().Look, "a nanosecond before")
				}
				s.pass(1)
				st := s.State()
				require.Equal(t, "tide", st.Look)
				require.Nil(t, st.Counting)
				require.Equal(t, "count-in", st.Last.Source)
				require.Equal(t, "cue 2", st.Last.Command)
				require.True(t, st.Last.OK)
				require.Equal(t, 3, st.Standby.Cue)
				var first []time.Time
				for _, f := range s.out.from(before) {
					if f.first {
						first = append(first, f.at)
					}
				}
				require.Equal(t, []time.Time{given.Add(row.want)}, first)
			})
		})
	}
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }

// A count keeps what else was asked of the cue.
func TestCountInKeepsTheRequest(t *testing.T) {
	play(t, func(s *set) {
		r := s.counted(2, "1 s")
		r.Fade = "3 s"
		require.NoError(t, s.Cue(r))
		require.EqualValues(t, 3000, s.State().Standby.FadeMS)
		s.pass(time.Second)
		require.EqualValues(t, 3000, s.State().Fade.TotalMS)
		byName := look("night")
		byName.CountIn = "2 s"
		require.NoError(t, s.Cue(byName))
		require.Equal(t, "night", s.State().Counting.Look)
		s.pass(2 * time.Second)
		require.Equal(t, "night", s.State().Look)
	})
}

func TestHandsEndACount(t *testing.T) {
	for name, hand := range map[string]func(*set) error{
		"hold":            func(s *set) error { return s.Hold() },
		"back":            func(s *set) error { return s.Back() },
		"kill":            func(s *set) error { return s.Kill(true) },
		"work light":      func(s *set) error { return s.WorkLight(nil) },
		"another cue":     func(s *set) error { return s.Cue(look("warden")) },
		"another standby": func(s *set) error { return s.Standby(session.Target{Look: "night"}) },
		"location": func(s *set) error {
			if err := s.Location("diving-stage"); err != nil {
				return err
			}
			require.Nil(s.t, s.State().Counting)
			return s.Location("deep-end")
		},
	} {
		t.Run(name, func(t *testing.T) {
			play(t, func(s *set) {
				require.NoError(t, s.Cue(look("night")))
				require.NoError(t, s.Cue(look("warden")))
				require.NoError(t, s.Cue(s.counted(2, "4 beats")))
				s.pass(time.Second)
				require.NoError(t, hand(s))
				require.Nil(t, s.State().Counting)
				s.pass(5 * time.Second)
				require.Equal(t, "warden", s.State().Look)
			})
		})
	}
	play(t, func(s *set) {
		require.NoError(t, s.Cue(s.counted(2, "4 beats")))
		require.NoError(t, s.Cue(s.counted(4, "8 beats")))
		s.pass(3 * time.Second)
		require.Equal(t, "warden", s.State().Look, "the newer count takes the place of the other")
		s.pass(time.Second)
		require.Equal(t, "night", s.State().Look)
	})
}

func TestCountInRefuses(t *testing.T) {
	play(t, func(s *set) {
		half := 0.5
		ridden := s.counted(2, "4 beats")
		ridden.At = &half
		refused(t, s.Cue(ridden), session.Invalid, "no-target")
		refused(t, s.Cue(s.counted(2, "four")), session.Invalid, cues.CodeBadTime)
		refused(t, s.Cue(s.counted(2, "2 days")), session.Invalid, cues.CodeBadTime)
		refused(t, s.Cue(s.counted(5, "1 s")), session.Conflict, "level-ring")
		refused(t, s.Cue(s.counted(9, "1 s")), session.Unknown, cues.CodeUnknownCue)
		require.Nil(t, s.State().Counting)
	})
}

// TestTempo: what stands by and what follows is timed anew.
func TestTempo(t *testing.T) {
	beats := func(v float64) *cues.Duration { return &cues.Duration{Amount: v, Unit: cues.Beats} }
	sheet := []*cues.Cue{{Look: "warden"}, {Look: "tide", Fade: *beats(4)}, {Look: "night", After: beats(8)}}
	coded(t, sheet, func(s *set) {
		require.Equal(t, &session.Tempo{BPM: 120, BeatsPerBar: 4, Source: "show"}, s.State().Tempo)
		require.EqualValues(t, 2000, s.State().Standby.FadeMS)
		require.NoError(t, s.Tempo(session.TempoRequest{BPM: new(60.0)}))
		require.Equal(t, &session.Tempo{BPM: 60, BeatsPerBar: 4, Source: "set"}, s.State().Tempo)
		require.EqualValues(t, 4000, s.State().Standby.FadeMS)
		require.EqualValues(t, 4000, s.Plan().Cues[1].FadeMS)
		require.NoError(t, s.Tempo(session.TempoRequest{BeatsPerBar: new(3)}))
		require.Equal(t, 60.0, s.State().Tempo.BPM)
		require.Equal(t, 3, s.State().Tempo.BeatsPerBar)

		require.NoError(t, s.Cue(s.cue(2)))
		s.pass(time.Second)
		require.NoError(t, s.Tempo(session.TempoRequest{Taps: []float64{100, 600, 1100, 1600, 2100}}))
		require.Equal(t, &session.Tempo{BPM: 120, BeatsPerBar: 3, Source: "taps"}, s.State().Tempo)
		st := s.State()
		require.EqualValues(t, 4000, st.Fade.TotalMS, "a fade that runs goes on as it began")
		require.EqualValues(t, 3000+4000, st.Follow.InMS)
		s.pass(4 * time.Second) // a second into the wait
		require.NoError(t, s.Tempo(session.TempoRequest{AsWritten: true}))
		require.Equal(t, "show", s.State().Tempo.Source)
		require.NoError(t, s.Tempo(session.TempoRequest{BPM: new(240.0)}))
		require.EqualValues(t, 1000, s.State().Follow.InMS, "eight beats are two seconds, and one has gone")
		s.pass(time.Second)
		require.Equal(t, "night", s.State().Look)
		require.NoError(t, s.Location("diving-stage"))
		require.Equal(t, "show", s.State().Tempo.Source, "each cue sheet has its own")

		refused(t, s.Tempo(session.TempoRequest{}), session.Invalid, "no-target")
		refused(t, s.Tempo(session.TempoRequest{BPM: new(19.0)}), session.Invalid, cues.CodeOutOfRange)
		refused(t, s.Tempo(session.TempoRequest{BeatsPerBar: new(0)}), session.Invalid, cues.CodeOutOfRange)
		refused(t, s.Tempo(session.TempoRequest{BPM: new(60.0), Taps: []float64{1}}), session.Invalid, "no-target")
		refused(t, s.Tempo(session.TempoRequest{BPM: new(60.0), AsWritten: true}), session.Invalid, "no-target")
		refused(t, s.Tempo(session.TempoRequest{Taps: []float64{0, 500, 400}}), session.Invalid, cues.CodeOutOfRange)
		refused(t, s.Tempo(session.TempoRequest{Taps: []float64{0, 500, 1000}}), session.Conflict, "bad-taps")
	})
}

func TestTriggers(t *testing.T) {
	play(t, func(s *set) {
		require.Nil(t, s.State().Last)
		key := session.Trigger{Source: "key", From: "10.0.0.2", Command: "cue 2", Bounces: true}
		press := func(tr session.Trigger) error {
			return s.Do(tr, func() error { return s.Cue(s.cue(2)) })
		}
		require.NoError(t, press(key))
		s.pass(40 * time.Millisecond)
		require.Equal(t, &session.Command{Source: "key", From: "10.0.0.2", Command: "cue 2", OK: true, AgoMS: 40}, s.State().Last)
		s.pass(109 * time.Millisecond)
		refused(t, press(key), session.Conflict, "bounce")
		last := s.State().Last
		require.False(t, last.OK)
		require.Contains(t, last.Message, "twice within 150ms")
		other := key
		other.From = "10.0.0.3"
		require.NoError(t, press(other), "another hand")
		s.pass(time.Millisecond)
		require.NoError(t, press(key), "150 ms after the press that counted")
		thumb := session.Trigger{Source: "page", Command: "overall"}
		for range 3 {
			require.NoError(t, s.Do(thumb, func() error { return s.Overall("50%") }))
		}
		err := s.Do(session.Trigger{Source: "http", Command: "resume"}, s.Resume)
		refused(t, err, session.Conflict, "not-held")
		require.Contains(t, s.State().Last.Message, "nothing is held")

		require.NoError(t, s.Snap())
		s.pass(1500 * time.Millisecond)
		last = s.State().Last
		require.Equal(t, "follow", last.Source)
		require.Equal(t, "cue 3", last.Command)
	})
}
