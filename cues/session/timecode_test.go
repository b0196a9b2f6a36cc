package session_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues"
	"linkboy/cues/session"
	"linkboy/cues/timecode"
)

// coded is a set whose cue sheet has times of code.
func coded(t *testing.T, sheet []*cues.Cue, body func(*set), change ...func(*session.Config)) {
	synctest.Test(t, func(t *testing.T) {
		show := testShow(t)
		for i, c := range sheet {
			c.Number = i + 1
		}
		show.Locations[0].Cues = sheet
		s := begin(t, show, change...)
		defer s.stop()
		s.pass(time.Second)
		body(s)
	})
}

func label(t *testing.T, text string) timecode.Code {
	t.Helper()
	c, err := timecode.Parse(text, timecode.Film)
	require.NoError(t, err)
	return c
}

func timed(t *testing.T, look, at string) *cues.Cue {
	return &cues.Cue{Look: look, Timecode: label(t, at)}
}

// runs sends n labels from a code on, each when it is due, and calls each after
// every one; keep says which are sent, nil all.
func (s *set) runs(from timecode.Code, n int64, keep func(i int64) bool, each func(c timecode.Code)) {
	begun := time.Now()
	for i := range n {
		time.Sleep(time.Until(begun.Add(from.Rate.Span(i))))
		if keep == nil || keep(i) {
			s.TakeTimecode("192.168.1.9", from.Add(i))
		}
		synctest.Wait()
		if each != nil {
			each(from.Add(i))
		}
	}
}

// TestTimecodeRunsCuesOnTheFrame: an hour of drop-frame and a few minutes of the
// other rates; every cue's first frame goes out in the frame of code that it names.
func TestTimecodeRunsCuesOnTheFrame(t *testing.T) {
	for _, r := range []timecode.Rate{timecode.Film, timecode.EBU, timecode.DropFrame, timecode.SMPTE} {
		start := timecode.At(r, r.Day()/24) // an hour of frames: 01:00:00:00
		sheet := []*cues.Cue{{Look: "night"}}
		minutes := int64(4)
		if r == timecode.DropFrame {
			minutes = 60
		}
		for i := range minutes { // once in every minute, at another frame of it
			sheet = append(sheet, &cues.Cue{Look: []string{"tide", "warden"}[i%2], Timecode: start.Add(i*60*r.Labels() + 31*i)})
		}
		coded(t, sheet, func(s *set) {
			next, before := 1, s.out.count()
			s.runs(start.Add(-5), minutes*60*r.Labels()+2000, nil, func(c timecode.Code) {
				if next == len(sheet) || c != sheet[next].Timecode {
					return
				}
				require.Equal(t, sheet[next].Look, s.State().Look, "cue %d at %v", next+1, c)
				frames := s.out.from(before)
				require.True(t, frames[len(frames)-1].first)
				// Labels begin at whole nanoseconds, so one may be that much late.
				require.WithinDuration(t, time.Now(), frames[len(frames)-1].at, 1, "its first frame goes out as the label comes")
				next, before = next+1, s.out.count()
			})
			require.Equal(t, len(sheet), next)
		}, func(c *session.Config) { c.Rate = 1 }) // a cue's first frame waits for no other
	}
}

func TestTimecodeBridgesLostLabels(t *testing.T) {
	sheet := []*cues.Cue{timed(t, "warden", "01:00:00:00"), timed(t, "tide", "01:00:01:00")}
	coded(t, sheet, func(s *set) {
		s.runs(label(t, "01:00:00:02"), 22+1, func(i int64) bool { return i < 19 }, func(c timecode.Code) {
			want := "warden"
			if c == sheet[1].Timecode {
				want = "tide"
				s.pass(time.Microsecond) // labels begin at whole nanoseconds
			}
			require.Equal(t, want, s.State().Look, "at %v: the labels from 01:00:00:21 on are lost", c)
		})
	})
}

// TestTimecodeJumpsWithoutRunning: the rule of a jump, forward and back.
func TestTimecodeJumpsWithoutRunning(t *testing.T) {
	sheet := []*cues.Cue{
		timed(t, "warden", "01:00:00:00"), timed(t, "tide", "01:00:10:00"), {Look: "night"},
		timed(t, "warden", "01:00:20:00"), timed(t, "tide", "01:00:30:00"),
	}
	coded(t, sheet, func(s *set) {
		s.runs(label(t, "01:00:00:00"), 10, nil, nil)
		st := s.State()
		require.Equal(t, "warden", st.Look)
		require.Equal(t, 2, st.Standby.Cue, "cue 1 is on, and the next of the sheet stands by")
		require.Equal(t, &session.TimecodeCue{Cue: 2, At: "01:00:10:00", InMS: new(int64(9625))}, st.Timecode.Next)

		s.runs(label(t, "01:00:25:00"), 24, nil, func(timecode.Code) {
			require.Equal(t, "warden", s.State().Look, "what was jumped over does not run")
		})
		st = s.State()
		require.Equal(t, 4, st.Standby.Cue, "the newest before the point stands by")
		require.Equal(t, 5, st.Timecode.Next.Cue)

		s.runs(label(t, "01:00:09:12"), 24, nil, nil)
		require.Equal(t, "tide", s.State().Look, "back, and its time comes again")
		require.Equal(t, 4, s.State().Timecode.Next.Cue)

		s.runs(label(t, "00:30:00:00"), 24, nil, nil)
		require.Equal(t, 1, s.State().Standby.Cue, "before the first of them it stands by")
		require.Equal(t, "tide", s.State().Look)
	})
}

func TestTimecodeOneLabelMovesNothing(t *testing.T) {
	coded(t, []*cues.Cue{timed(t, "warden", "01:00:00:00"), timed(t, "tide", "01:00:10:00")}, func(s *set) {
		at := label(t, "01:00:10:00")
		for range 100 { // a machine that waits at the cue
			s.TakeTimecode("192.168.1.9", at)
			s.pass(40 * time.Millisecond)
		}
		require.Equal(t, "warden", s.State().Look)
		require.Equal(t, session.Timecode{Source: "192.168.1.9", At: "01:00:10:00", Next: &session.TimecodeCue{Cue: 2, At: "01:00:10:00"}}, s.State().Timecode)
		s.runs(at.Add(1), 2, nil, nil)
		require.Equal(t, "tide", s.State().Look, "it goes on from there")
	})
}

func TestTimecodeThatStopsHoldsNothing(t *testing.T) {
	sheet := []*cues.Cue{timed(t, "warden", "01:00:00:00"), timed(t, "tide", "01:00:01:00"), timed(t, "warden", "01:00:02:00")}
	sheet[1].Fade = cues.Duration{Amount: 4, Unit: cues.Seconds}
	coded(t, sheet, func(s *set) {
		s.runs(label(t, "01:00:00:00"), 26, nil, nil)
		require.True(t, s.State().Timecode.Running)
		s.pass(5 * time.Second)
		st := s.State()
		require.False(t, st.Timecode.Running)
		require.Equal(t, "01:00:01:01", st.Timecode.At)
		require.Nil(t, st.Timecode.Next.InMS)
		require.Nil(t, st.Fade, "the fade went on to its end")
		s.shows("tide")
	})
}

// TestHandsComeBeforeTimecode: code brings no light back that a person has taken
// away, nor takes a fade out of the hand that holds it.
func TestHandsComeBeforeTimecode(t *testing.T) {
	for name, grip := range map[string]func(s *set){
		"kill":      func(s *set) { require.NoError(s.t, s.Kill(true)) },
		"worklight": func(s *set) { require.NoError(s.t, s.WorkLight(new(true))) },
		"hold": func(s *set) {
			r := look("night")
			r.At, r.Fade = new(0.5), "10 s"
			require.NoError(s.t, s.Cue(r))
		},
	} {
		t.Run(name, func(t *testing.T) {
			coded(t, []*cues.Cue{timed(t, "warden", "01:00:00:00"), timed(t, "tide", "01:00:01:00")}, func(s *set) {
				grip(s)
				before := s.State()
				s.runs(label(t, "01:00:00:12"), 24, nil, nil)
				st := s.State()
				require.Equal(t, before.Look, st.Look)
				require.Equal(t, []bool{before.Killed, before.Work, before.Held}, []bool{st.Killed, st.Work, st.Held})
				require.Equal(t, 2, st.Standby.Cue, "what code would have run stands by")
			})
		})
	}
}

func TestTimecodeClock(t *testing.T) {
	coded(t, []*cues.Cue{timed(t, "warden", "01:00:00:00"), timed(t, "tide", "01:00:10:12")}, func(s *set) {
		refused(t, s.Timecode(session.TimecodeRequest{}), session.Invalid, "no-target")
		refused(t, s.Timecode(session.TimecodeRequest{Run: new(true)}), session.Conflict, "no-target")
		refused(t, s.Timecode(session.TimecodeRequest{At: "01:00:00:24"}), session.Invalid, "bad-timecode")

		require.NoError(t, s.Timecode(session.TimecodeRequest{Run: new(true), At: "01:00:09:00"}))
		begun := time.Now()
		s.TakeTimecode("192.168.1.9", label(t, "05:00:00:00"))
		s.TakeTimecode("192.168.1.9", label(t, "05:00:00:01"))
		synctest.Wait()
		require.Equal(t, session.Timecode{
			Running: true, Source: "clock", At: "01:00:09:00",
			Next: &session.TimecodeCue{Cue: 2, At: "01:00:10:12", InMS: new(int64(1500))},
		}, s.State().Timecode, "its own clock comes before code that comes in")
		before := s.out.count()
		time.Sleep(1500*time.Millisecond - 1)
		synctest.Wait()
		require.Equal(t, "warden", s.State().Look)
		time.Sleep(time.Nanosecond)
		synctest.Wait()
		require.Equal(t, "tide", s.State().Look)
		frames := s.out.from(before)
		require.Equal(t, begun.Add(1500*time.Millisecond), frames[len(frames)-1].at)
		require.True(t, frames[len(frames)-1].first)

		require.NoError(t, s.Timecode(session.TimecodeRequest{Run: new(false)}))
		s.pass(time.Minute)
		require.Equal(t, "01:00:10:12", s.State().Timecode.At)
		s.runs(label(t, "05:00:00:00"), 3, nil, nil)
		require.Equal(t, "192.168.1.9", s.State().Timecode.Source, "a halted clock gives way")
	})
}

func TestTimecodeOfOneSource(t *testing.T) {
	coded(t, []*cues.Cue{timed(t, "warden", "01:00:00:00"), timed(t, "tide", "01:00:01:00")}, func(s *set) {
		s.runs(label(t, "01:00:00:00"), 30, nil, func(timecode.Code) {
			s.TakeTimecode("192.168.1.77", label(t, "09:00:00:00"))
		})
		require.Equal(t, "192.168.1.9", s.State().Timecode.Source)
		require.Equal(t, "tide", s.State().Look)
		s.pass(time.Second)
		s.TakeTimecode("192.168.1.77", label(t, "09:00:00:00"))
		synctest.Wait()
		require.Equal(t, "192.168.1.77", s.State().Timecode.Source, "once it has stopped another may speak")
	})
}

// TestTimecodeFarAway: a cue of the evening does not run in the morning, and
// midnight is no jump.
func TestTimecodeFarAway(t *testing.T) {
	sheet := []*cues.Cue{timed(t, "night", "00:00:00:00"), timed(t, "tide", "20:00:00:00"), timed(t, "warden", "23:59:59:00")}
	coded(t, sheet, func(s *set) {
		require.NoError(t, s.Timecode(session.TimecodeRequest{Run: new(true), At: "01:00:00:00"}))
		s.pass(18 * time.Hour)
		require.Equal(t, "night", s.State().Look)
		s.pass(time.Hour)
		require.Equal(t, "tide", s.State().Look)
		s.pass(4*time.Hour - time.Second)
		require.Equal(t, "warden", s.State().Look)
		s.pass(time.Second)
		require.Equal(t, "night", s.State().Look)
		s.pass(20 * time.Hour)
		require.Equal(t, "tide", s.State().Look)
	}, func(c *session.Config) { c.Rate = 1 })
}

func TestTimecodeStaysWithTheLocation(t *testing.T) {
	coded(t, []*cues.Cue{timed(t, "warden", "01:00:00:00"), timed(t, "tide", "01:00:01:00")}, func(s *set) {
		require.NoError(t, s.Timecode(session.TimecodeRequest{Run: new(true), At: "01:00:00:00"}))
		require.NoError(t, s.Location("diving-stage"))
		require.Nil(t, s.State().Timecode.Next)
		s.pass(3 * time.Second)
		require.NoError(t, s.Location("deep-end"))
		require.Equal(t, "warden", s.State().Look)
		require.Nil(t, s.State().Timecode.Next, "its time has gone")
	})
}

// TestTimecodeOffset: cues are looked up by code and offset, of whatever source.
func TestTimecodeOffset(t *testing.T) {
	sheet := []*cues.Cue{timed(t, "warden", "01:00:00:00"), timed(t, "tide", "01:00:10:00"), timed(t, "night", "01:00:20:12")}
	coded(t, sheet, func(s *set) {
		require.NoError(t, s.Timecode(session.TimecodeRequest{Offset: "-09:00:00:00"}))
		s.runs(label(t, "10:00:09:00"), 25, nil, func(c timecode.Code) {
			want := "warden"
			if c.Frame() >= label(t, "10:00:10:00").Frame() {
				want = "tide"
			}
			require.Equal(t, want, s.State().Look, "%v", c)
		})
		st := s.State().Timecode
		require.Equal(t, "01:00:10:00", st.At)
		require.Equal(t, "-09:00:00:00", st.Offset)
		require.NoError(t, s.Timecode(session.TimecodeRequest{Offset: "-08:59:50:00"}))
		st = s.State().Timecode
		require.Equal(t, "01:00:20:00", st.At)
		require.Equal(t, "tide", s.State().Look, "another offset is a jump: nothing runs")
		s.runs(label(t, "10:00:10:01"), 13, nil, nil)
		require.Equal(t, "night", s.State().Look)
		refused(t, s.Timecode(session.TimecodeRequest{Offset: "soon"}), session.Invalid, cues.CodeBadTimecode)
	})
}

// TestTimecodeJam: the clock takes over where code is and goes on by itself when that stops;
// while it runs, what comes in moves nothing, and it can be jammed again.
func TestTimecodeJam(t *testing.T) {
	sheet := []*cues.Cue{timed(t, "warden", "01:00:00:00"), timed(t, "tide", "01:00:03:00"), timed(t, "night", "01:00:08:00")}
	coded(t, sheet, func(s *set) {
		refused(t, s.Timecode(session.TimecodeRequest{Jam: true}), session.Conflict, "no-target")
		s.runs(label(t, "01:00:01:00"), 25, nil, nil)
		require.NoError(t, s.Timecode(session.TimecodeRequest{Jam: true}))
		begun := time.Now()
		st := s.State()
		require.Equal(t, "clock", st.Timecode.Source)
		require.Equal(t, "01:00:02:00", st.Timecode.At)
		require.Equal(t, 2, st.Standby.Cue, "nothing has jumped")
		time.Sleep(time.Until(begun.Add(time.Second - time.Microsecond)))
		require.Equal(t, "warden", s.State().Look)
		s.pass(2 * time.Microsecond)
		require.Equal(t, "tide", s.State().Look, "code has stopped, the clock has not")

		s.runs(label(t, "01:00:06:00"), 10, nil, nil)
		require.Equal(t, "clock", s.State().Timecode.Source)
		require.Equal(t, "tide", s.State().Look)
		require.NoError(t, s.Timecode(session.TimecodeRequest{Jam: true}))
		require.Equal(t, "01:00:06:09", s.State().Timecode.At)
		s.pass(2 * time.Second)
		require.Equal(t, "night", s.State().Look)
		on := false
		require.NoError(t, s.Timecode(session.TimecodeRequest{Run: &on}))
		s.runs(label(t, "01:00:00:12"), 3, nil, nil)
		require.Equal(t, "192.168.1.9", s.State().Timecode.Source, "a clock that is halted gives the word back")
		refused(t, s.Timecode(session.TimecodeRequest{Jam: true, Run: &on}), session.Invalid, "no-target")
	})
}
