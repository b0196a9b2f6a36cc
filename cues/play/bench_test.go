package play_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"linkboy/cues/play"
	"linkboy/cues/track"
)

// full is a layout of n whole universes of 8-bit emitters on square-law
// dimmers, and a fade that moves them all, in cells of five through nine knots.
func full(n int, total time.Duration) (*track.Layout, *track.Fade) {
	const knots = 9
	l := &track.Layout{Curves: []track.Curve{track.NewCurve(math.Sqrt)}}
	for u := range n {
		l.Universes = append(l.Universes, track.Universe{Address: uint16(u), Base: make([]byte, 512)})
		for at := range int32(512) {
			l.Slots = append(l.Slots, track.Slot{Universe: int32(u), Offset: at})
		}
	}
	r := rand.New(rand.NewPCG(1, 2))
	f := &track.Fade{From: l.NewStill(), To: l.NewStill(), Total: total}
	for k := range knots {
		f.Times = append(f.Times, float32(k)/(knots-1))
	}
	for first := int32(0); int(first) < len(l.Slots); first += 5 {
		m := track.Move{First: first, N: min(5, int32(len(l.Slots))-first), Length: 1, Knots: knots, ValueAt: int32(len(f.Values))}
		for range knots * m.N {
			f.Values = append(f.Values, r.Float32())
		}
		f.Moves = append(f.Moves, m)
	}
	return l, f
}

// BenchmarkEngineFrame is one turn of the loop: render, hand over, publish, with
// a fade on all slots; copies/op is how many times as long as copying the bytes.
func BenchmarkEngineFrame(b *testing.B) {
	for _, n := range []int{4, 64, 512} {
		for _, kind := range []string{"fade", "fade from elsewhere", "still", "movement on all cells"} {
			b.Run(fmt.Sprintf("%d universes %s", n, kind), func(b *testing.B) {
				l, f := full(n, time.Hour) // long, and yet every value moves with every frame
				s := l.NewStill()
				if kind == "fade from elsewhere" {
					for i := range s {
						s[i] = 0.5 * f.Values[i]
					}
				}
				e := play.New(play.Config{Output: discard{}})
				at := time.Now()
				e.Begin(at)
				var m *track.Motion
				if kind == "movement on all cells" {
					s, m = dimmed(f), dimming(len(s), 1, 0.5, 3*time.Second)
					m.Values, m.Cells = m.Values[:0], m.Cells[:0]
					for _, move := range f.Moves {
						m.Cells = append(m.Cells, track.Moving{First: move.First, N: move.N, Phase: uint32(move.First) << 16, ValueAt: int32(len(m.Values))})
						m.Values = append(m.Values, s[move.First:move.First+move.N]...)
						m.Values = append(m.Values, make([]float32, move.N)...)
					}
				}
				if err := e.LoadMoving(l, s, m); err != nil {
					b.Fatal(err)
				}
				if kind != "still" && m == nil {
					if _, err := e.Start(f, play.StartOptions{At: 0.4}); err != nil {
						b.Fatal(err)
					}
				}
				e.Turn(at)
				baseline := copying(l)
				b.ReportAllocs()
				for b.Loop() {
					at = at.Add(e.Period() + 1)
					e.Turn(at)
				}
				b.ReportMetric(float64(b.Elapsed())/float64(b.N)/baseline, "copies/op")
			})
		}
	}
}

// dimmed is a state with something in every slot.
func dimmed(f *track.Fade) track.Still {
	s := make(track.Still, len(f.From))
	for i := range s {
		s[i] = f.Values[i]
	}
	return s
}

// copying is how many nanoseconds it takes to copy a frame.
func copying(l *track.Layout) float64 {
	from, to := l.NewFrame(), l.NewFrame()
	begun, n := time.Now(), 0
	for time.Since(begun) < 20*time.Millisecond {
		for i := range from {
			copy(to[i], from[i])
		}
		n++
	}
	return float64(time.Since(begun)) / float64(n)
}

// BenchmarkCommandToFrame is the time from the call of Start until the output
// has its first frame, with the loop running.
func BenchmarkCommandToFrame(b *testing.B) {
	for _, n := range []int{4, 64} {
		b.Run(fmt.Sprintf("%d universes", n), func(b *testing.B) {
			l, f := full(n, time.Hour)
			got := make(chan time.Time, 64)
			e := play.New(play.Config{Output: outputFunc(func(addresses []uint16, _ [][]byte, first bool) error {
				if first && len(addresses) > 0 {
					got <- time.Now()
				}
				return nil
			})})
			ctx, cancel := context.WithCancel(b.Context())
			ended := make(chan error)
			go func() { ended <- e.Run(ctx) }()
			if err := e.Load(l, l.NewStill()); err != nil {
				b.Fatal(err)
			}
			<-got
			var took []time.Duration
			b.ReportAllocs()
			for b.Loop() {
				given := time.Now()
				if _, err := e.Start(f, play.StartOptions{}); err != nil {
					b.Fatal(err)
				}
				took = append(took, (<-got).Sub(given))
			}
			cancel()
			<-ended
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)/2])/1000, "p50-us")
			b.ReportMetric(float64(took[len(took)*99/100])/1000, "p99-us")
		})
	}
}

// BenchmarkLoopLateness runs the loop in real time, one frame an op, and tells
// how late its frames are with the machine as busy as it is.
func BenchmarkLoopLateness(b *testing.B) {
	l, f := full(4, time.Hour)
	frames := make(chan struct{}, 64)
	e := play.New(play.Config{Output: outputFunc(func([]uint16, [][]byte, bool) error {
		frames <- struct{}{}
		return nil
	})})
	ctx, cancel := context.WithCancel(b.Context())
	ended := make(chan error)
	go func() { ended <- e.Run(ctx) }()
	if err := e.Load(l, l.NewStill()); err != nil {
		b.Fatal(err)
	}
	if _, err := e.Start(f, play.StartOptions{}); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		<-frames
	}
	cancel()
	<-ended
	var s play.Snapshot
	e.Snapshot(&s)
	b.ReportMetric(float64(s.Late.Frames.P99)/1000, "late-p99-us")
	b.ReportMetric(float64(s.Late.Skipped), "skipped")
}
