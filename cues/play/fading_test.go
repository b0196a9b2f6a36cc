package play_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
	"linkboy/cues/track"
)

// TestFirstFrameAtOnce: the first frame of a cue goes out in the same
// nanosecond as the command, wherever between two frames that is, and the grid
// goes on from there.
func TestFirstFrameAtOnce(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		for i := range 50 {
			time.Sleep(time.Duration(i) * 1234567)
			synctest.Wait()
			before, given := len(r.all()), time.Now()
			start(t, e, straight(1, 0, 1, time.Second), play.StartOptions{})
			synctest.Wait()
			require.Len(t, r.all(), before+1)
			require.True(t, r.last().first)
			require.Zero(t, r.last().at.Sub(given))

			time.Sleep(play.Span(10, 44))
			synctest.Wait()
			require.Len(t, r.all(), before+11)
			for k, f := range r.all()[before:] {
				require.Equal(t, play.Span(int64(k), 44), f.at.Sub(given))
				require.Equal(t, k == 0, f.first)
			}
		}
	})
}

func TestFadeRuns(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		const total = 1700 * time.Millisecond
		given, before := time.Now(), len(r.all())
		id := start(t, e, straight(1, 0, 1, total), play.StartOptions{})
		time.Sleep(time.Second)
		s := now(t, e)
		require.True(t, s.Running)
		require.False(t, s.Held)
		require.Equal(t, id, s.FadeID)
		require.Equal(t, total, s.Total)
		require.Equal(t, total-s.At.Sub(given), s.Remaining)
		require.InDelta(t, float64(s.At.Sub(given))/float64(total), s.Progress, 1e-12)
		require.InDelta(t, s.Progress, s.Still[0], 1e-7)

		time.Sleep(time.Second)
		s = now(t, e)
		require.False(t, s.Running)
		require.EqualValues(t, 1, s.Progress)
		require.Zero(t, s.Remaining)
		require.Equal(t, track.Still{1}, s.Still)
		for k, f := range r.all()[before:] {
			require.InDelta(t, min(1, float64(play.Span(int64(k), 44))/float64(total)), f.values[0], step, "frame %d", k)
		}
		require.Equal(t, []play.Event{
			{Kind: play.Started, FadeID: id, At: given},
			{Kind: play.Done, FadeID: id, At: given.Add(total)},
		}, events(e))
	})
}

func TestFadeInNoTime(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		given := time.Now()
		id := start(t, e, &track.Fade{From: all(1, 0.5), To: all(1, 0.25)}, play.StartOptions{})
		s := now(t, e)
		require.False(t, s.Running)
		require.InDelta(t, 0.25, r.last().values[0], step)
		require.True(t, r.last().first)
		require.Equal(t, []play.Event{{Kind: play.Started, FadeID: id, At: given}, {Kind: play.Done, FadeID: id, At: given}}, events(e))
	})
}

// TestHoldAndResume: time stands still while held, to the nanosecond, and what
// was seen when hold was given is what stays.
func TestHoldAndResume(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		const total = 2 * time.Second
		given := time.Now()
		id := start(t, e, straight(1, 0, 1, total), play.StartOptions{})
		time.Sleep(700 * time.Millisecond)
		synctest.Wait()
		seen, at := r.last().values[0], r.last().at
		require.NoError(t, e.Hold())
		s := now(t, e)
		require.True(t, s.Running && s.Held)
		require.Equal(t, total-at.Sub(given), s.Remaining)
		before := len(r.all())
		time.Sleep(10 * time.Second)
		synctest.Wait()
		require.Greater(t, len(r.all()), before+430, "frames go on while held")
		for _, f := range r.all()[before:] {
			require.Equal(t, seen, f.values[0])
		}
		require.NoError(t, e.Hold(), "twice is once")

		resumed := time.Now()
		require.NoError(t, e.Resume())
		require.NoError(t, e.Resume())
		require.False(t, now(t, e).Held)
		time.Sleep(500 * time.Millisecond)
		synctest.Wait()
		elapsed := at.Sub(given) + r.last().at.Sub(resumed)
		require.InDelta(t, float64(elapsed)/float64(total), r.last().values[0], step)
		time.Sleep(2 * time.Second)
		evs := events(e)
		require.Equal(t, play.Event{Kind: play.Done, FadeID: id, At: resumed.Add(total - at.Sub(given))}, evs[len(evs)-1])
		require.NoError(t, e.Hold())
		require.NoError(t, e.Resume())
		require.False(t, now(t, e).Held, "there is nothing to hold")
	})
}

func TestStartHeld(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		start(t, e, straight(1, 0, 1, 4*time.Second), play.StartOptions{At: 0.25, Hold: true})
		synctest.Wait()
		require.InDelta(t, 0.25, r.last().values[0], step, "its first frame is at At")
		time.Sleep(time.Minute)
		s := now(t, e)
		require.True(t, s.Held)
		require.Equal(t, 0.25, s.Progress)
		require.Equal(t, 3*time.Second, s.Remaining)
		require.NoError(t, e.Resume())
		time.Sleep(3*time.Second + 30*time.Millisecond)
		require.False(t, now(t, e).Running)
	})
}

func TestStartRunningFromAProgress(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		given := time.Now()
		id := start(t, e, straight(1, 0, 1, 4*time.Second), play.StartOptions{At: 0.75})
		time.Sleep(2 * time.Second)
		evs := events(e)
		require.Equal(t, play.Event{Kind: play.Done, FadeID: id, At: given.Add(time.Second)}, evs[1])
	})
}

func TestRide(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		id := start(t, e, straight(1, 0, 1, 10*time.Second), play.StartOptions{At: 0.5, Hold: true})
		for _, p := range []float64{0.1, 0.9, 0.333333333333, 0, 1} {
			require.NoError(t, e.Ride(p))
			time.Sleep(23 * time.Millisecond)
			s := now(t, e)
			require.Equal(t, p, s.Progress)
			require.True(t, s.Running && s.Held, "also at the end, so that the thumb can go back")
			require.InDelta(t, p, r.last().values[0], step)
			require.False(t, r.last().first, "no frame out of turn: a thumb moves more often than frames go out")
			time.Sleep(time.Minute)
			require.Equal(t, p, now(t, e).Progress)
		}
		require.NoError(t, e.Ride(0.4))
		resumed := time.Now()
		require.NoError(t, e.Resume())
		time.Sleep(7 * time.Second)
		evs := events(e)
		require.Equal(t, play.Event{Kind: play.Done, FadeID: id, At: resumed.Add(6 * time.Second)}, evs[len(evs)-1])

		require.NoError(t, e.Ride(0.5))
		s := now(t, e)
		require.False(t, s.Running, "a fade that is done cannot be ridden")
		require.EqualValues(t, 1, s.Progress)
	})
}

func TestRideOnly(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		start(t, e, straight(1, 0, 1, time.Second), play.StartOptions{RideOnly: true})
		require.NoError(t, e.Resume())
		time.Sleep(time.Minute)
		s := now(t, e)
		require.True(t, s.Running && s.Held)
		require.Zero(t, s.Progress)
		require.NoError(t, e.Ride(0.7))
		time.Sleep(23 * time.Millisecond)
		synctest.Wait()
		require.InDelta(t, 0.7, r.last().values[0], step)
	})
}

func TestSnap(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		id := start(t, e, straight(1, 0, 0.5, time.Minute), play.StartOptions{})
		time.Sleep(time.Second)
		given := time.Now()
		require.NoError(t, e.Snap())
		s := now(t, e)
		require.False(t, s.Running)
		require.True(t, r.last().first)
		require.Zero(t, r.last().at.Sub(given), "at once")
		require.InDelta(t, 0.5, r.last().values[0], step)
		evs := events(e)
		require.Equal(t, play.Event{Kind: play.Done, FadeID: id, At: given}, evs[len(evs)-1])

		before := len(r.all())
		require.NoError(t, e.Snap())
		synctest.Wait()
		require.Len(t, r.all(), before, "with no fade running it does nothing")
		require.Empty(t, events(e))
	})
}

// TestBackToBack: a fade takes over from one that runs, from what is on, and
// the one it replaces is never done.
func TestBackToBack(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		before := len(r.all())
		a := start(t, e, straight(1, 0, 1, time.Second), play.StartOptions{})
		time.Sleep(500 * time.Millisecond)
		synctest.Wait()
		seen := r.last().values[0]
		b := start(t, e, straight(1, 1, 0, time.Second), play.StartOptions{}) // made for 1, but half is on
		synctest.Wait()
		require.Equal(t, seen, r.last().values[0], "the first frame is what was on")
		time.Sleep(500 * time.Millisecond)
		synctest.Wait()
		require.InDelta(t, seen/2, r.last().values[0], 0.02, "half way from there")
		time.Sleep(time.Second)
		for k := before + 1; k < len(r.all()); k++ {
			require.InDelta(t, r.all()[k-1].values[0], r.all()[k].values[0], 1.0/44+2*step, "frame %d", k)
		}
		kinds := map[uint64][]play.EventKind{}
		for _, ev := range events(e) {
			kinds[ev.FadeID] = append(kinds[ev.FadeID], ev.Kind)
		}
		require.Equal(t, map[uint64][]play.EventKind{a: {play.Started}, b: {play.Started, play.Done}}, kinds)
	})
}

// TestParametersHaveNoWayBetween: a parameter that is not in a move takes its
// new value at once even if the fade was made for another one; in a move it
// goes the way of the move.
func TestParametersHaveNoWayBetween(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		l := flat(2)
		l.Slots[0].Param, l.Slots[1].Param = true, true
		require.NoError(t, e.Load(l, all(2, 1)))
		f := &track.Fade{From: all(2, 0), To: all(2, 0), Total: time.Second, Moves: []track.Move{{First: 1, N: 1, Length: 1}}}
		start(t, e, f, play.StartOptions{})
		synctest.Wait()
		require.Equal(t, []float64{0, 1}, r.last().values)
		time.Sleep(500 * time.Millisecond)
		synctest.Wait()
		require.Zero(t, r.last().values[0])
		require.InDelta(t, 0.5, r.last().values[1], 0.03)
	})
}

// TestLoopWakesLate: a fade begins when its first frame goes out, not when it
// was asked for; and a resume that the loop finds behind a frame that is overdue
// does not take time back.
func TestLoopWakesLate(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		e := play.New(play.Config{})
		e.Begin(time.Now())
		require.NoError(t, e.Load(flat(1), all(1, 0)))
		id := start(t, e, straight(1, 0, 1, time.Second), play.StartOptions{})
		time.Sleep(15 * time.Millisecond)
		begun := time.Now()
		e.Turn(begun)
		var s play.Snapshot
		e.Snapshot(&s)
		require.Zero(t, s.Progress)
		require.Equal(t, []play.Event{{Kind: play.Started, FadeID: id, At: begun}}, events(e))
		require.Equal(t, 15*time.Millisecond, s.Late.Frames.P99.Round(time.Millisecond), "the lateness counts from the command")

		time.Sleep(e.Period() + 10*time.Millisecond)
		require.NoError(t, e.Hold())
		require.NoError(t, e.Resume())
		e.Turn(time.Now())
		e.Snapshot(&s)
		require.EqualValues(t, 2, s.Frame)
		require.Zero(t, s.Progress)
		require.Equal(t, time.Second, s.Remaining)
	})
}
