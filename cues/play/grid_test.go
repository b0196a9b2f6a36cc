package play_test

import (
	"context"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/play"
)

// exactSpan is floor(k * 1e9 / rate) in integers of any size.
func exactSpan(k, rate int64) time.Duration {
	n := new(big.Int).Mul(big.NewInt(k), big.NewInt(int64(time.Second)))
	return time.Duration(n.Div(n, big.NewInt(rate)).Int64())
}

func TestSpanAndIndexAgainstBigIntegers(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		rate := 1 + r.Int64N(1000)
		k := r.Int64N(math.MaxInt64 / int64(time.Second) * rate) // up to 292 years
		if r.IntN(2) == 0 {
			k = r.Int64N(100000)
		}
		d := play.Span(k, rate)
		require.Equal(t, exactSpan(k, rate), d, "frame %d at %d a second", k, rate)
		require.Equal(t, k, play.Index(d, rate), "the frame due at %v", d)
		require.Equal(t, k-1, play.Index(d-1, rate), "a nanosecond before frame %d at %d a second", k, rate)
	}
}

func TestGridCatchesUp(t *testing.T) {
	begun := time.Unix(1000, 0)
	for _, row := range []struct {
		name          string
		next          int64
		late          time.Duration // after frame next was due
		skipped, then int64
	}{
		{"in time", 10, 0, 0, 10},
		{"early", 10, -time.Millisecond, 0, 10},
		{"three frames late, not more", 8, play.Span(11, 44) - play.Span(8, 44), 0, 8},
		{"a nanosecond more", 8, play.Span(11, 44) - play.Span(8, 44) + 1, 3, 11},
		{"a second", 44, time.Second, 44, 88},
		{"a day", 44, 24 * time.Hour, 44 * 86400, 44 * 86401},
	} {
		t.Run(row.name, func(t *testing.T) {
			g := play.NewGrid(begun, 44)
			g.SetNext(row.next)
			skipped, next := g.CatchUp(begun.Add(play.Span(row.next, 44) + row.late))
			require.Equal(t, row.skipped, skipped)
			require.Equal(t, row.then, next)
		})
	}
}

// TestAnHourOfFrames checks when each of 158 401 frames goes out, to the
// nanosecond, with an output that takes 2 ms for each, while a fade runs.
func TestAnHourOfFrames(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		type frame struct {
			at    time.Time
			value int
		}
		var frames []frame
		e := play.New(play.Config{Output: outputFunc(func(_ []uint16, slots [][]byte, _ bool) error {
			if len(slots) > 0 {
				frames = append(frames, frame{time.Now(), int(slots[0][0])<<8 | int(slots[0][1])})
			}
			time.Sleep(2 * time.Millisecond)
			return nil
		})})
		require.NoError(t, e.Load(flat(1), all(1, 0)))
		start(t, e, straight(1, 0, 1, time.Hour), play.StartOptions{})
		ctx, cancel := context.WithCancel(t.Context())
		begun, ended := time.Now(), make(chan error)
		go func() { ended <- e.Run(ctx) }()
		time.Sleep(time.Hour)
		synctest.Wait()
		cancel()
		require.NoError(t, <-ended)
		require.Len(t, frames, 158401)
		for k, f := range frames {
			if want := begun.Add(exactSpan(int64(k), 44)); !f.at.Equal(want) {
				t.Fatalf("frame %d went out at %v, %v after it was due", k, f.at, f.at.Sub(want))
			}
			// Half a step is the rounding to 16 bits, the rest that of a 24-bit value.
			if want := float64(k) / 158400 * 65535; math.Abs(float64(f.value)-want) > 0.5+65535.0/(1<<25)+0.0001 {
				t.Fatalf("frame %d shows %d, want %v", k, f.value, want)
			}
		}
	})
}

// outputFunc is an Output made of a function.
type outputFunc func(addresses []uint16, slots [][]byte, first bool) error

func (f outputFunc) SendFrame(addresses []uint16, slots [][]byte, first bool) error {
	return f(addresses, slots, first)
}

// TestSlowOutput: a frame up to three frames late is made up for at once, one
// later than that is left out and counted.
func TestSlowOutput(t *testing.T) {
	bubble(t, func(t *testing.T, e *play.Engine, r *recorder) {
		synctest.Wait()
		period := play.Span(1, 44)
		slow := len(r.all()) + 1
		r.slow(func(k int) {
			if k == slow {
				time.Sleep(2*period + period/2)
			}
		})
		time.Sleep(time.Second)
		synctest.Wait()
		require.Zero(t, now(t, e).Late.Skipped, "two and a half frames late is made up for")
		for k := slow; k < len(r.all()); k++ {
			if k == slow || k > slow+3 {
				require.InDelta(t, period, r.all()[k].at.Sub(r.all()[k-1].at), 1, "frame %d", k)
			}
		}

		stuck := len(r.all()) + 1
		r.slow(func(k int) {
			if k == stuck {
				time.Sleep(time.Second + period/2)
			}
		})
		before := len(r.all())
		time.Sleep(2 * time.Second)
		synctest.Wait()
		s := now(t, e)
		require.EqualValues(t, 43, s.Late.Skipped, "44 were due meanwhile, the last of them went out")
		require.Len(t, r.all(), before+88-43)
		for k := stuck + 1; k < len(r.all())-1; k++ {
			require.LessOrEqual(t, r.all()[k+1].at.Sub(r.all()[k].at), period+1, "frame %d", k)
		}
		require.GreaterOrEqual(t, r.all()[stuck+2].at.Sub(r.all()[stuck+1].at), period/3, "no burst")
		require.GreaterOrEqual(t, s.Late.Frames.P99, period/2)
	})
}
