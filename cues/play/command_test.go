package play_test

import (
	"context"
	"errors"
	"math"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
	"linkboy/cues/track"
)

func TestOverall(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		require.NoError(t, e.Load(flat(1), all(1, 0.8)))
		require.EqualValues(t, 1, now(t, e).Overall)
		for _, row := range []struct{ set, want float64 }{{0.5, 0.5}, {0, 0}, {2, 1}, {-1, 0}} {
			require.NoError(t, e.Overall(row.set))
			time.Sleep(23 * time.Millisecond)
			s := now(t, e)
			require.Equal(t, row.want, s.Overall)
			require.InDelta(t, 0.8*row.want, r.last().values[0], step)
			require.Equal(t, track.Still{0.8}, s.Still, "what is on underneath stays")
		}
	})
}

// safe is a location of one emitter, one parameter whose safe value is 0.25,
// and floor light of a tenth.
func safe() *track.Layout {
	l := flat(2)
	l.Slots[1].Param, l.Slots[1].Safe = true, 0.25
	l.Floor = []track.FloorCell{{First: 0, N: 1, Least: 10, Weight: [8]float32{100}, Drive: [8]float32{0.1}}}
	return l
}

func TestKill(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		require.NoError(t, e.Load(safe(), track.Still{0.6, 1}))
		time.Sleep(10 * time.Millisecond)
		given := time.Now()
		require.NoError(t, e.Kill(true))
		s := now(t, e)
		require.True(t, s.Killed)
		require.Equal(t, track.Still{0.6, 1}, s.Still)
		require.True(t, r.last().first)
		require.Zero(t, r.last().at.Sub(given), "at once")
		require.InDeltaSlice(t, []float64{0, 0.25}, r.last().values, step, "no floor light, parameters safe")

		require.NoError(t, e.Overall(0.5))
		time.Sleep(time.Second)
		synctest.Wait()
		require.Zero(t, r.last().values[0])
		require.NoError(t, e.Load(safe(), track.Still{0.4, 1}))
		require.True(t, now(t, e).Killed, "a switch of location lights nothing")
		require.Zero(t, r.last().values[0])

		require.NoError(t, e.Kill(false))
		require.False(t, now(t, e).Killed)
		require.InDeltaSlice(t, []float64{0.2, 1}, r.last().values, step)
	})
}

// TestStartEndsAKill: the fade begins in the dark, with no flash of what was on.
func TestStartEndsAKill(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		require.NoError(t, e.Load(safe(), track.Still{0.6, 1}))
		require.NoError(t, e.Kill(true))
		now(t, e)
		before := len(r.all())
		f := straight(2, 0.6, 0.8, time.Second)
		f.From[1], f.To[1] = 1, 1
		start(t, e, f, play.StartOptions{})
		require.False(t, now(t, e).Killed)
		require.Equal(t, 0.0, r.last().values[0])
		time.Sleep(2 * time.Second)
		synctest.Wait()
		last := 0.0
		for k, f := range r.all()[before:] {
			require.InDelta(t, last, f.values[0], 0.03, "frame %d", k)
			require.GreaterOrEqual(t, f.values[0], last, "frame %d", k)
			last = f.values[0]
		}
		require.InDelta(t, 0.8, last, step)
	})
}

// TestDarkGoesUnderFloorLight: floor light leaves over the fade, stays out, and
// comes back over the next one; nothing pops.
func TestDarkGoesUnderFloorLight(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		require.NoError(t, e.Load(safe(), track.Still{0, 0}))
		now(t, e)
		before := len(r.all())
		require.InDelta(t, 0.1, r.last().values[0], step, "floor light")
		start(t, e, straight(2, 0, 0, time.Second), play.StartOptions{Dark: true})
		time.Sleep(500 * time.Millisecond)
		require.True(t, now(t, e).Dark)
		require.InDelta(t, 0.05, r.last().values[0], 0.003)
		time.Sleep(time.Second)
		synctest.Wait()
		require.Zero(t, r.last().values[0])
		time.Sleep(time.Minute)
		synctest.Wait()
		require.Zero(t, r.last().values[0])
		start(t, e, straight(2, 0, 0, time.Second), play.StartOptions{})
		require.False(t, now(t, e).Dark)
		time.Sleep(2 * time.Second)
		synctest.Wait()
		require.InDelta(t, 0.1, r.last().values[0], step)
		for k := before + 1; k < len(r.all()); k++ {
			require.InDelta(t, r.all()[k-1].values[0], r.all()[k].values[0], 0.1/44+2*step, "frame %d", k)
		}
		start(t, e, straight(2, 0, 0, 0), play.StartOptions{Dark: true})
		now(t, e)
		require.Zero(t, r.last().values[0], "a snap into the dark is one")
		require.NoError(t, e.Load(safe(), track.Still{0, 0}))
		require.False(t, now(t, e).Dark)
		require.InDelta(t, 0.1, r.last().values[0], step)
	})
}

func TestDry(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		require.NoError(t, e.Dry(true))
		s := now(t, e)
		require.True(t, s.Dry)
		before, frames := len(r.all()), s.Frame
		start(t, e, straight(1, 0, 1, time.Second), play.StartOptions{})
		time.Sleep(2 * time.Second)
		s = now(t, e)
		require.Len(t, r.all(), before, "nothing goes out")
		require.Greater(t, s.Frame, frames+80, "everything runs")
		require.Equal(t, []byte{255, 255}, s.Slots[0])
		require.Len(t, events(e), 2)
		require.NoError(t, e.Dry(false))
		time.Sleep(23 * time.Millisecond)
		synctest.Wait()
		require.True(t, r.all()[before].first, "the lamps are told the whole state")
		require.InDelta(t, 1, r.all()[before].values[0], step)

		require.NoError(t, e.Dry(true))
		time.Sleep(time.Second)
		synctest.Wait()
		before = len(r.all())
		require.NoError(t, e.Dry(false))
		time.Sleep(23 * time.Millisecond)
		synctest.Wait()
		require.True(t, r.all()[before].first, "also when nothing has changed meanwhile")
	})
}

func TestLoadAtAnyMoment(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		start(t, e, straight(1, 0, 1, time.Minute), play.StartOptions{})
		time.Sleep(time.Second)
		require.Len(t, events(e), 1)
		given := time.Now()
		require.NoError(t, e.Load(flat(3), track.Still{1, 0.5, 0}))
		s := now(t, e)
		require.False(t, s.Running)
		require.Equal(t, []uint16{7}, s.Addresses)
		require.Equal(t, track.Still{1, 0.5, 0}, s.Still)
		require.Equal(t, []byte{255, 255, 128, 0, 0, 0}, s.Slots[0])
		require.True(t, r.last().first)
		require.Zero(t, r.last().at.Sub(given))
		require.InDeltaSlice(t, []float64{1, 0.5, 0}, r.last().values, step)
		time.Sleep(2 * time.Minute)
		require.Empty(t, events(e), "the fade that was running is never done")

		stale := start(t, e, straight(1, 0, 1, time.Second), play.StartOptions{})
		require.Equal(t, play.Refused, events(e)[0].Kind, "a fade for the location before")
		require.NotEqual(t, stale, now(t, e).FadeID)
		require.NoError(t, e.Load(&track.Layout{}, nil))
		require.Empty(t, now(t, e).Slots)
		require.Zero(t, r.last().slots, "a location without lamps")
	})
}

func TestSetOutput(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		other := &recorder{err: errors.New("no route")}
		require.NoError(t, e.SetOutput(other))
		time.Sleep(time.Second)
		s := now(t, e)
		before := len(r.all())
		require.True(t, other.all()[0].first)
		require.False(t, other.all()[1].first)
		require.EqualValues(t, len(other.all()), s.SendErrors)
		require.ErrorIs(t, s.SendError, other.err)
		require.NoError(t, e.SetOutput(nil))
		time.Sleep(time.Second)
		require.EqualValues(t, len(other.all()), now(t, e).SendErrors)
		require.NoError(t, e.SetOutput(r))
		time.Sleep(time.Second)
		require.NoError(t, now(t, e).SendError)
		require.True(t, r.all()[before].first)
		require.InDelta(t, before+44, len(r.all()), 1)
	})
}

func TestRefusedArguments(t *testing.T) {
	e := play.New(play.Config{})
	require.ErrorContains(t, e.Load(&track.Layout{Slots: make([]track.Slot, 1)}, all(1, 0)), "play: load a location: slot 0: universe 0 of 0")
	require.ErrorContains(t, e.Load(flat(2), all(1, 0)), "a state of 1 values on a layout of 2 slots")
	require.ErrorContains(t, e.Overall(math.NaN()), "overall to NaN")
	require.ErrorContains(t, e.Ride(math.NaN()), "ride to NaN")
	_, err := e.Start(straight(1, 0, 2, 1), play.StartOptions{})
	require.ErrorContains(t, err, "play: start a fade: to slot 0 is 2")
	for _, at := range []float64{-0.1, 1.1, math.NaN()} {
		_, err = e.Start(straight(1, 0, 1, 1), play.StartOptions{At: at})
		require.ErrorContains(t, err, "want 0..1")
	}
}

// TestCommandsBetweenTwoFrames: several commands that the loop finds together
// make one frame that comes of all of them in their order; only what that frame
// shows is told.
func TestCommandsBetweenTwoFrames(t *testing.T) {
	fade := straight(1, 0, 1, time.Minute)
	for _, row := range []struct {
		name string
		ask  func(e *play.Engine) error
		want []play.EventKind
		on   float32
	}{
		{"start, snap", func(e *play.Engine) error {
			_, err := e.Start(fade, play.StartOptions{})
			return errors.Join(err, e.Snap())
		}, []play.EventKind{play.Started, play.Done}, 1},
		{"snap, start", func(e *play.Engine) error {
			err := e.Snap()
			_, again := e.Start(straight(1, 1, 0, time.Minute), play.StartOptions{})
			return errors.Join(err, again)
		}, []play.EventKind{play.Started}, 1},
		{"start in no time, start", func(e *play.Engine) error {
			_, err := e.Start(straight(1, 0, 0.5, 0), play.StartOptions{})
			_, again := e.Start(straight(1, 1, 0, time.Minute), play.StartOptions{})
			return errors.Join(err, again)
		}, []play.EventKind{play.Started}, 0.5},
		{"ride, start", func(e *play.Engine) error {
			err := e.Ride(0.75)
			_, again := e.Start(straight(1, 1, 0, time.Minute), play.StartOptions{})
			return errors.Join(err, again)
		}, []play.EventKind{play.Started}, 0.75},
		{"snap, load", func(e *play.Engine) error { return errors.Join(e.Snap(), e.Load(flat(1), all(1, 0.25))) }, nil, 0.25},
		{"start, load", func(e *play.Engine) error {
			_, err := e.Start(fade, play.StartOptions{})
			return errors.Join(err, e.Load(flat(1), all(1, 0.25)))
		}, nil, 0.25},
		{"start, kill", func(e *play.Engine) error {
			_, err := e.Start(fade, play.StartOptions{})
			return errors.Join(err, e.Kill(true))
		}, []play.EventKind{play.Started}, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				r := &recorder{}
				e := play.New(play.Config{Output: r})
				e.Begin(time.Now())
				require.NoError(t, e.Load(flat(1), all(1, 0)))
				start(t, e, fade, play.StartOptions{})
				e.Turn(time.Now())
				require.Len(t, events(e), 1)
				time.Sleep(time.Millisecond)
				before := len(r.all())
				require.NoError(t, row.ask(e))
				e.Turn(time.Now())
				require.Len(t, r.all(), before+1)
				var got []play.EventKind
				for _, ev := range events(e) {
					got = append(got, ev.Kind)
				}
				require.Equal(t, row.want, got)
				var s play.Snapshot
				e.Snapshot(&s)
				require.Equal(t, track.Still{row.on}, s.Still)
			})
		})
	}
}

// TestCommandsAreNeverLost: all of a burst take effect in order; what finds no
// room is told so.
func TestCommandsAreNeverLost(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		for i := range 1000 {
			require.NoError(t, e.Overall(float64(i)/1000))
		}
		require.InDelta(t, 0.999, now(t, e).Overall, 1e-6)

		release := make(chan struct{})
		blocked := false
		synctest.Wait()
		r.slow(func(int) {
			if !blocked {
				blocked = true
				<-release
			}
		})
		time.Sleep(23 * time.Millisecond)
		synctest.Wait()
		for i := range 64 {
			require.NoError(t, e.Overall(float64(i)/64))
		}
		asked := time.Now()
		require.ErrorIs(t, e.Kill(true), play.ErrBusy)
		require.Equal(t, time.Second, time.Since(asked))
		require.ErrorIs(t, e.Wait(t.Context()), play.ErrBusy)
		close(release)
		s := now(t, e)
		require.InDelta(t, 63.0/64, s.Overall, 1e-6)
		require.False(t, s.Killed)
	})
}

func TestRunEnds(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := &recorder{}
		e := play.New(play.Config{Rate: 30, Output: r})
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- e.Run(ctx) }()
		time.Sleep(time.Second)
		synctest.Wait()
		require.Len(t, r.all(), 31, "with nothing loaded it sends frames of no universes")
		require.Error(t, e.Run(ctx), "it runs once")
		at := time.Now()
		cancel()
		require.NoError(t, <-ended)
		require.Equal(t, at, time.Now(), "it ends at once, not with the next frame")
		require.ErrorIs(t, e.Hold(), play.ErrStopped)
		require.ErrorIs(t, e.Wait(t.Context()), play.ErrStopped)
		_, err := e.Start(&track.Fade{}, play.StartOptions{})
		require.ErrorIs(t, err, play.ErrStopped)
		var s play.Snapshot
		e.Snapshot(&s)
		require.EqualValues(t, 31, s.Frame, "the last state can still be read")
		time.Sleep(time.Second)
		require.Len(t, r.all(), 31)
	})
}

func TestWaitEndsWithItsContext(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		e := play.New(play.Config{}) // never run
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		require.ErrorIs(t, e.Wait(ctx), context.DeadlineExceeded)
	})
}

func TestEventsAreCountedWhenLost(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		for range 40 {
			start(t, e, straight(1, 0, 1, 0), play.StartOptions{})
			now(t, e)
		}
		require.EqualValues(t, 80-64, now(t, e).EventsLost)
		require.Len(t, events(e), 64)
		require.Equal(t, "started done refused no event", play.Started.String()+" "+play.Done.String()+" "+play.Refused.String()+" "+play.EventKind(0).String())
	})
}
