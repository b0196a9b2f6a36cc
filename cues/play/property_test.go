package play_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
	"linkboy/cues/track"
)

// smooth draws a fade over n slots without a jump of its own: cells of three in
// moves of any ease, spread over the time, through up to three knots; some slots
// that stay. From is anything: what is on when it starts is something else.
func smooth(r *rand.Rand, n int) *track.Fade {
	f := &track.Fade{From: make(track.Still, n), To: make(track.Still, n), Total: time.Duration(1+r.IntN(4000)) * time.Millisecond}
	for i := range f.From {
		f.From[i], f.To[i] = r.Float32(), r.Float32()
	}
	for first := 0; first < n; first += 3 {
		size := min(3, n-first)
		if r.IntN(4) == 0 {
			copy(f.To[first:first+size], f.From[first:])
			continue
		}
		m := track.Move{First: int32(first), N: int32(size), Start: 0.5 * r.Float32(), Length: 0.25 + 0.25*r.Float32(),
			Curve: track.Ease(r.IntN(4)), Knots: int32(r.IntN(4)), TimeAt: int32(len(f.Times)), ValueAt: int32(len(f.Values))}
		for k := range m.Knots {
			f.Times = append(f.Times, float32(k+1)/float32(m.Knots+1))
			for range size {
				f.Values = append(f.Values, r.Float32())
			}
		}
		f.Moves = append(f.Moves, m)
	}
	return f
}

// steepest is the greatest change of a slot over a share of the fade, if the
// fade began in start.
func steepest(f *track.Fade, start track.Still, slot int) float64 {
	rest := math.Abs(float64(start[slot]) - float64(f.From[slot]))
	for _, m := range f.Moves {
		at := int32(slot) - m.First
		if at < 0 || at >= m.N {
			continue
		}
		times := append(append([]float32{0}, f.Times[m.TimeAt:m.TimeAt+m.Knots]...), 1)
		values := []float32{f.From[slot]}
		for k := range m.Knots {
			values = append(values, f.Values[m.ValueAt+k*m.N+at])
		}
		values = append(values, f.To[slot])
		slope := 0.0
		for i := 1; i < len(times); i++ {
			slope = max(slope, math.Abs(float64(values[i]-values[i-1]))/float64(times[i]-times[i-1]))
		}
		return (slope + rest) * m.Curve.Slope() / float64(m.Length)
	}
	return rest
}

// TestNothingJumps starts fades at random times, most of them while another one
// runs and none of them made for what is on, with holds, rides and resumes in
// between: from each frame to the next no slot moves further than the slope of
// its fade allows in that time, and the first frame of a fade not at all.
func TestNothingJumps(t *testing.T) { synctest.Test(t, nothingJumps) }

func nothingJumps(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	const n = 12
	e := play.New(play.Config{})
	e.Begin(time.Now())
	require.NoError(t, e.Load(flat(n), all(n, 0.5)))
	e.Turn(time.Now())
	moved, ended := 0, 0
	var s, last play.Snapshot
	e.Snapshot(&last)
	for range 400 {
		f := smooth(r, n)
		begun := slices.Clone(last.Still)
		_, err := e.Start(f, play.StartOptions{Dark: r.IntN(2) == 0})
		require.NoError(t, err)
		for k := range 1 + r.IntN(120) {
			time.Sleep(time.Until(e.Turn(time.Now())))
			e.Snapshot(&s)
			dp := math.Abs(s.Progress - last.Progress)
			if k == 0 {
				dp = 0
				require.Equal(t, begun, s.Still, "the first frame is what was on")
			}
			for i, v := range s.Still {
				require.True(t, v >= 0 && v <= 1, "slot %d is at %v", i, v)
				if v != last.Still[i] {
					moved++
				}
				bound := steepest(f, begun, i)*dp + 1e-6
				require.LessOrEqual(t, math.Abs(float64(v)-float64(last.Still[i])), bound, "slot %d, frame %d of %+v", i, k, f)
			}
			if s, last = last, s; !last.Running {
				ended++
			}
			switch r.IntN(40) {
			case 0:
				require.NoError(t, e.Hold())
			case 1, 2:
				require.NoError(t, e.Resume())
			}
		}
		time.Sleep(time.Duration(r.Int64N(int64(e.Period())))) // between two frames
	}
	require.Greater(t, moved, 50000)
	require.Greater(t, ended, 1000)
}

// TestProgressOnlyGoesForward: without a ride, from 0 to 1.
func TestProgressOnlyGoesForward(t *testing.T) { synctest.Test(t, progressOnlyGoesForward) }

func progressOnlyGoesForward(t *testing.T) {
	r := rand.New(rand.NewPCG(31, 32))
	e := play.New(play.Config{Rate: 25})
	e.Begin(time.Now())
	require.NoError(t, e.Load(flat(3), all(3, 0)))
	var s play.Snapshot
	for range 200 {
		f := smooth(r, 3)
		id, err := e.Start(f, play.StartOptions{At: r.Float64() * float64(r.IntN(2))})
		require.NoError(t, err)
		last := 0.0
		for frames := 0; ; frames++ {
			require.Less(t, frames, 1000, "it comes to its end")
			time.Sleep(time.Until(e.Turn(time.Now())) + time.Duration(r.IntN(200))*time.Millisecond) // the loop wakes late
			e.Snapshot(&s)
			require.Equal(t, id, s.FadeID)
			require.GreaterOrEqual(t, s.Progress, last)
			require.LessOrEqual(t, s.Progress, 1.0)
			require.LessOrEqual(t, s.Remaining, f.Total)
			require.GreaterOrEqual(t, s.Remaining, time.Duration(0))
			if last = s.Progress; !s.Running {
				break
			}
		}
		require.EqualValues(t, 1, last)
		require.Equal(t, f.To, s.Still)
	}
}
