package track_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"linkboy/cues/track"
)

// knotted is a fade over all slots in cells of five, each through nine knots,
// all of one timing: what a cue without spread compiles to.
func knotted(r *rand.Rand, n int, spread bool) *track.Fade {
	const knots = 9
	f := &track.Fade{From: randomStill(r, n), To: randomStill(r, n), Total: time.Second}
	for k := range knots {
		f.Times = append(f.Times, float32(k)/(knots-1))
	}
	for first := 0; first < n; first += 5 {
		m := track.Move{First: int32(first), N: int32(min(5, n-first)), Length: 1, Curve: track.Soft, Knots: knots, ValueAt: int32(len(f.Values))}
		if spread {
			m.Start = 0.5 * float32(first) / float32(n)
			m.Length = 0.5
		}
		f.Moves = append(f.Moves, m)
		for range knots * m.N {
			f.Values = append(f.Values, r.Float32())
		}
	}
	return f
}

// BenchmarkFrame renders one frame of a fade over all slots; copies/op is how
// many times as long it takes as copying the same bytes.
func BenchmarkFrame(b *testing.B) {
	curves := []track.Curve{{}, track.NewCurve(math.Sqrt), track.NewCurve(func(l float64) float64 { return math.Pow(l, 1/2.2) })}
	for _, n := range []int{4, 64, 512} {
		for _, kind := range []string{"8 bit", "8 bit spread", "16 bit"} {
			b.Run(fmt.Sprintf("%d universes %s", n, kind), func(b *testing.B) {
				l := universes(n, kind == "16 bit", curves)
				f := knotted(rand.New(rand.NewPCG(1, 1)), len(l.Slots), kind == "8 bit spread")
				s, frame, other := l.NewStill(), l.NewFrame(), l.NewFrame()
				copies := 0
				begun := time.Now()
				for time.Since(begun) < 20*time.Millisecond {
					for i := range frame {
						copy(other[i], frame[i])
					}
					copies++
				}
				baseline := time.Since(begun) / time.Duration(copies)
				b.ReportAllocs()
				p := 0.0
				for b.Loop() {
					p = math.Mod(p+0.001, 1)
					f.At(p, s)
					l.Write(s, 0.9, true, frame)
				}
				b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(max(baseline, 1)), "copies/op")
				b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(len(l.Slots)), "ns/slot")
			})
		}
	}
}

// BenchmarkParts says where the time of a frame goes.
func BenchmarkParts(b *testing.B) {
	l := universes(64, false, []track.Curve{{}, track.NewCurve(math.Sqrt)})
	f := knotted(rand.New(rand.NewPCG(1, 1)), len(l.Slots), false)
	s, frame := l.NewStill(), l.NewFrame()
	start := append(track.Still{}, f.To...)
	b.Run("At", func(b *testing.B) {
		for b.Loop() {
			f.At(0.4, s)
		}
	})
	b.Run("AtFrom", func(b *testing.B) {
		for b.Loop() {
			f.AtFrom(0.4, start, s)
		}
	})
	b.Run("Write", func(b *testing.B) {
		f.At(0.4, s)
		for b.Loop() {
			l.Write(s, 1, true, frame)
		}
	})
}
