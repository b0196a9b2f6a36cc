package play_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
	"linkboy/cues/track"
)

// tri goes to the far end in half a period and back, straight.
func tri(period time.Duration) track.Source {
	return track.Source{Period: period, Table: []uint16{0, track.Whole}}
}

// dimming is a motion of n slots, each a cell that rests at v and goes down to a
// share of that.
func dimming(n int, v, share float32, period time.Duration) *track.Motion {
	m := &track.Motion{Sources: []track.Source{tri(period)}, Values: []float32{v, v * share}}
	for i := range n {
		m.Cells = append(m.Cells, track.Moving{First: int32(i), N: 1, Phase: uint32(i) << 26})
	}
	return m
}

// frame is the time of one frame.
const frame = time.Second / 44

// goes sleeps for n frames.
func goes(n int) {
	time.Sleep(time.Duration(n) * frame)
	synctest.Wait()
}

// wave is the share of light of a dimming cell so long after it began.
func wave(elapsed, period time.Duration, share float64) float64 {
	t := math.Mod(elapsed.Seconds()/period.Seconds(), 1)
	return 1 - (1-share)*(1-math.Abs(1-2*t))
}

func TestMovementBeginsWithItsCue(t *testing.T) {
	for _, total := range []time.Duration{0, time.Second} {
		bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
			first := len(r.all())
			start(t, e, straight(1, 0, 0.8, total), play.StartOptions{Motion: dimming(1, 0.8, 0.25, 2*time.Second)})
			goes(200)
			for k, f := range r.all()[first:] {
				elapsed := time.Duration(k) * time.Second / 44 // from the first frame of the cue, whenever it was asked for
				want := 0.8 * wave(elapsed, 2*time.Second, 0.25)
				if elapsed < total { // it comes in with the light: of what is there, and of what is to come
					want *= elapsed.Seconds() / total.Seconds()
				}
				require.InDelta(t, want, f.values[0], 1e-4, "frame %d", k)
			}
			s := now(t, e)
			require.True(t, s.Moving)
			require.Equal(t, track.Still{0.8}, s.Still, "the state is that at rest")
		})
	}
}

// TestEveryTakeIsTheSame: the same cue makes the same frames, whatever was on,
// whenever it is asked for and however often.
func TestEveryTakeIsTheSame(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		m := dimming(1, 0.8, 0.1, 777*time.Millisecond)
		var takes [3][]float64
		for i := range takes {
			start(t, e, straight(1, 0, 0.3, 0), play.StartOptions{})
			time.Sleep(time.Duration(1234567*(i+3)) * time.Microsecond)
			synctest.Wait()
			first := len(r.all())
			start(t, e, straight(1, 0.3, 0.8, time.Second), play.StartOptions{Motion: m})
			goes(150)
			for _, f := range r.all()[first:][:150] {
				takes[i] = append(takes[i], f.values[0])
			}
		}
		require.Equal(t, takes[0], takes[1])
		require.Equal(t, takes[0], takes[2])
	})
}

// Movement goes on while it fades out, and is gone at the end.
func TestMovementFadesOut(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		start(t, e, straight(1, 0, 0.8, 0), play.StartOptions{Motion: dimming(1, 0.8, 0.5, 2*time.Second)})
		goes(44)
		first := len(r.all())
		start(t, e, straight(1, 0.8, 0.4, time.Second), play.StartOptions{})
		goes(88)
		frames := r.all()[first:]
		turned := 0
		for k := range frames[:44] {
			d := frames[k+1].values[0] - frames[k].values[0]
			if d > step {
				turned++
			}
			require.Less(t, math.Abs(d), 0.035, "no jump: the movement's step and the fade's")
		}
		require.Positive(t, turned, "it still moves up at times, on its way down")
		require.InDelta(t, 0.4, frames[45].values[0], step)
		require.False(t, now(t, e).Moving)
	})
}

func TestHoldStopsMovement(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		start(t, e, straight(1, 0, 0.8, 4*time.Second), play.StartOptions{Motion: dimming(1, 0.8, 0.5, 2*time.Second)})
		goes(30)
		require.NoError(t, e.Hold())
		goes(1)
		held := r.last().values[0]
		goes(100)
		require.Equal(t, held, r.last().values[0], "in a fade")
		require.True(t, now(t, e).Frozen)
		require.NoError(t, e.Resume())
		goes(300)
		require.False(t, now(t, e).Frozen)
		require.False(t, now(t, e).Running)
		require.NoError(t, e.Hold())
		goes(1)
		held = r.last().values[0]
		goes(70)
		require.Equal(t, held, r.last().values[0], "and when none runs")
		require.NoError(t, e.Resume())
		goes(1)
		require.InDelta(t, held, r.last().values[0], 0.03, "it goes on from there")
		goes(20)
		require.Greater(t, math.Abs(held-r.last().values[0]), 0.05)
	})
}

// A thumb moves the fade, the water goes on.
func TestRideLetsMovementGoOn(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		start(t, e, straight(1, 0, 0.8, 4*time.Second), play.StartOptions{Motion: dimming(1, 0.8, 0.5, 2*time.Second)})
		require.NoError(t, e.Hold())
		goes(5)
		require.NoError(t, e.Ride(0.5))
		goes(5)
		low, high := 1.0, 0.0
		first := len(r.all())
		goes(100)
		for _, f := range r.all()[first:] {
			low, high = min(low, f.values[0]), max(high, f.values[0])
		}
		require.InDelta(t, 0.4, high, 0.01)
		require.InDelta(t, 0.2, low, 0.01, "half in, half as bright")
	})
}

func TestKillStopsMovement(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		start(t, e, straight(1, 0, 0.8, 0), play.StartOptions{Motion: dimming(1, 0.8, 0.5, 2*time.Second)})
		goes(20)
		require.NoError(t, e.Kill(true))
		goes(1)
		for range 50 {
			require.Zero(t, r.last().values[0])
			goes(1)
		}
		require.NoError(t, e.Kill(false))
		goes(2)
		require.Greater(t, r.last().values[0], 0.35)
		require.NoError(t, e.Kill(true))
		goes(2)
		start(t, e, straight(1, 0, 0.2, time.Second), play.StartOptions{})
		goes(60)
		require.InDelta(t, 0.2, r.last().values[0], step)
		require.False(t, now(t, e).Moving)
	})
}

func TestOverallDimsMovement(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		start(t, e, straight(1, 0, 0.8, 0), play.StartOptions{Motion: dimming(1, 0.8, 0.5, 2*time.Second)})
		require.NoError(t, e.Overall(0.5))
		goes(3)
		first := len(r.all())
		goes(90)
		low, high := 1.0, 0.0
		for _, f := range r.all()[first:] {
			low, high = min(low, f.values[0]), max(high, f.values[0])
		}
		require.InDelta(t, 0.4, high, 0.01)
		require.InDelta(t, 0.2, low, 0.01)
	})
}

// Movement never takes the floor under its light, unless the cue is dark.
func TestFloorLightHoldsUnderMovement(t *testing.T) {
	for _, dark := range []bool{false, true} {
		bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
			l := flat(1)
			l.Floor = []track.FloorCell{{N: 1, Weight: [8]float32{100}, Drive: [8]float32{0.1}, Least: 10}}
			require.NoError(t, e.Load(l, all(1, 0)))
			goes(2)
			first := len(r.all())
			start(t, e, straight(1, 0, 0.8, time.Second), play.StartOptions{Dark: dark, Motion: dimming(1, 0.8, 0, 2*time.Second)})
			goes(200)
			low := 1.0
			for _, f := range r.all()[first:] {
				low = min(low, f.values[0])
			}
			if dark {
				require.Less(t, low, 0.03)
			} else {
				require.InDelta(t, 0.1, low, 2*step)
			}
		})
	}
}

// GoOn keeps a movement that is still on; without it begins anew.
func TestMovementGoesOn(t *testing.T) {
	for _, goOn := range []bool{true, false} {
		bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
			m := dimming(1, 0.8, 0.5, 2*time.Second)
			start(t, e, straight(1, 0, 0.8, 0), play.StartOptions{Motion: m})
			goes(33) // three quarters of a second
			start(t, e, straight(1, 0.8, 0.6, time.Second), play.StartOptions{})
			goes(11)
			start(t, e, straight(1, now(t, e).Still[0], 0.8, time.Second), play.StartOptions{Motion: m, GoOn: goOn})
			goes(88) // one second after the end
			since := 3 * time.Second
			if !goOn {
				since = 2 * time.Second
			}
			require.InDelta(t, 0.8*wave(since, 2*time.Second, 0.5), r.last().values[0], 0.02)
		})
	}
}

func TestLoadMoving(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		require.NoError(t, e.LoadMoving(flat(2), all(2, 0.8), dimming(2, 0.8, 0.5, 2*time.Second)))
		first := len(r.all())
		goes(60)
		for k, f := range r.all()[first:][:50] {
			require.InDelta(t, 0.8*wave(time.Duration(k)*time.Second/44, 2*time.Second, 0.5), f.values[0], 1e-4)
		}
		require.ErrorContains(t, e.LoadMoving(flat(1), all(1, 0), dimming(2, 0.8, 0.5, time.Second)), "moving cell 1: slots 1+1 of 1")
		_, err := e.Start(straight(1, 0, 1, 0), play.StartOptions{Motion: dimming(2, 0.8, 0.5, time.Second)})
		require.ErrorContains(t, err, "slots 1+1 of 1")
	})
}

// TestFadesOfMovementNeverJump runs fades to and fro between looks that move,
// also in the middle of each other, of any length: no step is larger than those
// of the fade and of the movements.
func TestFadesOfMovementNeverJump(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 40 {
		bubble(t, func(t *testing.T, e *play.Engine, rec *recorder) {
			motions := []*track.Motion{nil, dimming(1, 0.8, 0.2, 2*time.Second), dimming(1, 0.5, 0, 3*time.Second), dimming(1, 1, 0.6, time.Second), dimming(1, 0.7, 0.1, 2500*time.Millisecond)}
			rest := []float32{0.3, 0.8, 0.5, 1, 0.7}
			first := len(rec.all())
			for range 12 {
				k := r.IntN(len(motions))
				f := straight(1, now(t, e).Still[0], rest[k], time.Second+time.Duration(r.Int64N(int64(time.Second))))
				start(t, e, f, play.StartOptions{Motion: motions[k], GoOn: r.IntN(2) == 0})
				if r.IntN(3) == 0 {
					require.NoError(t, e.Hold())
					goes(3)
					require.NoError(t, e.Resume())
				}
				goes(r.IntN(80))
			}
			// A frame of the fastest fade with all of its way, and of the fastest movement of
			// each of three layers: 2 x 0.8 in a second is the most.
			const most = (1 + 3*1.6) / 44.0
			frames := rec.all()[first:]
			for i := range frames[1:] {
				d := frames[i+1].values[0] - frames[i].values[0]
				require.LessOrEqual(t, math.Abs(d), most, "frame %d", i)
			}
		})
	}
}
