package light_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"math"
	"os"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
	"linkboy/cues/stage"
)

// demoStages are the locations of the demo show as light sees them.
func demoStages(t testing.TB) []*stage.Stage {
	show, problems := showfile.LoadFS(os.DirFS("../../cmd/linkboy/shows/tidewater"), "tidewater")
	require.False(t, problems.HasErrors(), "%v", problems)
	var all []*stage.Stage
	for _, loc := range show.Locations {
		place, problems := compile.Location(show, loc)
		require.NotNil(t, place, "%v", problems)
		set, problems := stage.Build(place)
		require.NotNil(t, set, "%v", problems)
		all = append(all, set)
	}
	return all
}

// largest is the location that casts into most surfaces.
func largest(all []*stage.Stage) *stage.Stage {
	best := all[0]
	for _, s := range all {
		if len(s.Place.Pieces) > len(best.Place.Pieces) {
			best = s
		}
	}
	return best
}

// withCells is a place with so many cells: its own, then the same again a little aside.
func withCells(p *transport.Place, n int) *transport.Place {
	q := &transport.Place{Pieces: p.Pieces}
	for k := range n {
		s := p.Sources[k%len(p.Sources)]
		s.Centre = s.Centre.Add(solid.Vec{Z: 0.3 * float64(k/len(p.Sources))})
		q.Sources = append(q.Sources, s)
	}
	return q
}

// BenchmarkStages: the largest location of the demo, to each stage, by the clock and by
// what was used of the cores. Goals on two cores: coarse 2 s, direct 10 s, bounced 60 s,
// so 4, 20 and 120 core seconds. Also how large the map is, as it is kept and as it is
// sent.
func BenchmarkStages(b *testing.B) {
	set := largest(demoStages(b))
	for _, n := range []int{50, 200, 1000} {
		b.Run(fmt.Sprintf("cells=%d", n), func(b *testing.B) {
			p := withCells(&set.Place, n)
			clock, cores := map[transport.Stage]time.Duration{}, map[transport.Stage]time.Duration{}
			var m *transport.Map
			for b.Loop() {
				began, used := time.Now(), processorTime()
				var err error
				m, err = transport.Compute(context.Background(), p, transport.Options{Progress: func(s transport.Stage, _ *transport.Map) {
					clock[s] += time.Since(began)
					cores[s] += processorTime() - used
				}})
				require.NoError(b, err)
			}
			for s, d := range clock {
				b.ReportMetric(d.Seconds()/float64(b.N), string(s)+"-s")
				b.ReportMetric(cores[s].Seconds()/float64(b.N), string(s)+"-core-s")
			}
			kept, sent := sizes(b, m)
			b.ReportMetric(float64(kept)/1e6, "MB-kept")
			b.ReportMetric(float64(sent)/1e6, "MB-sent")
			b.ReportMetric(float64(runtime.GOMAXPROCS(0)), "cores")
		})
	}
}

// sizes are those of a map encoded, and in gzip.
func sizes(t testing.TB, m *transport.Map) (kept, sent int) {
	encoded, err := m.AppendBinary(nil)
	require.NoError(t, err)
	var out bytes.Buffer
	z := gzip.NewWriter(&out)
	_, err = z.Write(encoded)
	require.NoError(t, err)
	require.NoError(t, z.Close())
	return len(encoded), out.Len()
}

// BenchmarkSizes: the light of each location of the demo, as it is kept and sent.
func BenchmarkSizes(b *testing.B) {
	for _, set := range demoStages(b) {
		b.Run(set.Plan.Location.Name, func(b *testing.B) {
			m, err := transport.Compute(context.Background(), &set.Place, transport.Options{Rays: 32})
			require.NoError(b, err)
			var kept, sent int
			for b.Loop() {
				kept, sent = sizes(b, m)
			}
			b.ReportMetric(float64(m.Sources), "cells")
			b.ReportMetric(float64(m.Texels), "texels")
			b.ReportMetric(float64(kept)/1e3, "kB-kept")
			b.ReportMetric(float64(sent)/1e3, "kB-sent")
			b.ReportMetric(float64(sent)/1e3*50/float64(m.Sources), "kB-sent/50cells")
		})
	}
}

// BenchmarkRays: on one core, in the largest location of the demo: from every texel to
// the cells, as direct light asks, and to all around, as bounces do.
func BenchmarkRays(b *testing.B) {
	set := largest(demoStages(b))
	var surfaces []solid.Surface
	for i := range set.Place.Pieces {
		surfaces = append(surfaces, set.Place.Pieces[i].Surface)
	}
	scene := transport.NewLit(&set.Place, nil).Scene()
	at := make([]solid.Vec, 0, len(surfaces))
	normal := make([]solid.Vec, 0, len(surfaces))
	for i := range surfaces {
		if p, on := surfaces[i].At(0.4, 0.3); on {
			at, normal = append(at, p), append(normal, surfaces[i].Normal(p))
		}
	}
	perSecond := func(b *testing.B) {
		b.ReportMetric(float64(b.N)/b.Elapsed().Seconds()/1e6, "Mrays/s")
	}
	b.Run("shadow", func(b *testing.B) {
		i := 0
		for b.Loop() {
			scene.Blocked(at[i%len(at)], set.Place.Sources[i%len(set.Place.Sources)].Centre)
			i++
		}
		perSecond(b)
	})
	b.Run("hemisphere", func(b *testing.B) {
		i := 0
		for b.Loop() {
			n := normal[i%len(at)]
			s, t := n.Frame()
			sin, cos := math.Sincos(float64(i))
			r := math.Sqrt(float64(i%97) / 97)
			d := s.Scale(r * cos).Add(t.Scale(r * sin)).Add(n.Scale(math.Sqrt(1 - r*r)))
			scene.Nearest(solid.Ray{At: at[i%len(at)], Along: d}, 1e-6, math.Inf(1))
			i++
		}
		perSecond(b)
	})
}

// BenchmarkSum: the light of a look on all texels, for a small picture.
func BenchmarkSum(b *testing.B) {
	set := largest(demoStages(b))
	m, err := transport.Compute(context.Background(), &set.Place, transport.Options{Rays: 16, Bounces: 1})
	require.NoError(b, err)
	lumens, into := make([]float32, m.Sources), make([]float32, m.Texels)
	for k := range lumens {
		lumens[k] = float32(k%7) * 100
	}
	for b.Loop() {
		for c := range 3 {
			m.Sum(c, lumens, into)
		}
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "looks/s")
	b.ReportMetric(float64(m.Sources), "cells")
}
