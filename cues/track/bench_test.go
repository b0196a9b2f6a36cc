package track_test

import (
	"encoding/binary"
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

// BenchmarkFrame renders one frame of a fade over all slots. A channel is one
// slot of a universe, of which a 16-bit value takes two. bare/op is how many
// times as long it takes as a loop that only turns ready values into bytes, run
// beside it: nothing worked out, nothing looked up, nothing left out. least is the
// quickest frame in the middle of the fade, which is what the work itself costs on a
// machine that does other things too.
func BenchmarkFrame(b *testing.B) {
	straight, square := []track.Curve{{}}, []track.Curve{track.NewCurve(math.Sqrt)}
	for _, n := range []int{4, 64, 512, 1024} {
		for _, kind := range []struct {
			name      string
			wide      bool
			curves    []track.Curve
			spread    bool
			elsewhere bool
		}{
			{name: "16 bit", wide: true, curves: straight},
			{name: "16 bit dimmer curve", wide: true, curves: square},
			{name: "16 bit spread", wide: true, curves: straight, spread: true},
			{name: "16 bit from elsewhere", wide: true, curves: straight, elsewhere: true},
			{name: "8 bit dimmer curve", curves: square},
		} {
			b.Run(fmt.Sprintf("%d universes %s", n, kind.name), func(b *testing.B) {
				l := universes(n, kind.wide, kind.curves)
				f := knotted(rand.New(rand.NewPCG(1, 1)), len(l.Slots), kind.spread)
				s, w := l.NewStill(), track.NewWriter(l)
				baseline := bare(l, f.From)
				b.ReportAllocs()
				p, least := 0.0, time.Duration(math.MaxInt64)
				for b.Loop() {
					p = math.Mod(p+0.001, 1)
					begun := time.Now()
					if kind.elsewhere {
						f.AtFrom(p, f.To, s)
					} else {
						f.At(p, s)
					}
					w.Write(s, 0.9, 1)
					if p > 0.25 && p < 0.75 { // all of it on its way
						least = min(least, time.Since(begun))
					}
				}
				took := float64(b.Elapsed()) / float64(b.N)
				if least < math.MaxInt64 {
					b.ReportMetric(float64(least)/float64(512*n), "least-ns/channel")
				}
				b.ReportMetric(took/baseline, "bare/op")
				b.ReportMetric(took/float64(512*n), "ns/channel")
				b.ReportMetric(took/float64(len(l.Slots)), "ns/value")
			})
		}
	}
}

// bare is how many nanoseconds a loop takes that turns values into bytes.
func bare(l *track.Layout, values []float32) float64 {
	out := make([]byte, 2*len(values))
	wide := l.Slots[0].Wide
	begun, times := time.Now(), 0
	for time.Since(begun) < 20*time.Millisecond {
		if wide {
			for i, v := range values {
				binary.BigEndian.PutUint16(out[2*i:], uint16(int32(v*0xFFFF+0.5)))
			}
		} else {
			for i, v := range values {
				out[i] = byte(v*0xFF + 0.5)
			}
		}
		times++
	}
	return float64(time.Since(begun)) / float64(times)
}

// BenchmarkParts says where the time of a frame goes.
func BenchmarkParts(b *testing.B) {
	l := universes(64, true, []track.Curve{{}})
	r := rand.New(rand.NewPCG(1, 1))
	f := knotted(r, len(l.Slots), false)
	s, w := l.NewStill(), track.NewWriter(l)
	run := func(name string, do func(p float64)) {
		b.Run(name, func(b *testing.B) {
			p := 0.0
			for b.Loop() {
				p = math.Mod(p+0.001, 1)
				do(p)
			}
			b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(len(l.Slots)), "ns/value")
		})
	}
	run("At", func(p float64) { f.At(p, s) })
	run("AtFrom", func(p float64) { f.AtFrom(p, f.To, s) })
	states := [2]track.Still{randomStill(r, len(s)), randomStill(r, len(s))}
	turn := 0
	run("Write all", func(float64) { turn ^= 1; w.Write(states[turn], 0.9, 1) })
	run("Write nothing", func(float64) { w.Write(states[0], 0.9, 1) })
	run("WriteFloor", func(float64) { turn ^= 1; l.WriteFloor(states[turn], 0.9, 1, w.Frame()) })
}
