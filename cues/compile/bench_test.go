package compile_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

// benchPlace is a rig of n cells, tubes of 16 cells in 16 bits, with two looks:
// plain ones in two colours, or gradients in which no cell is like another.
func benchPlace(tb testing.TB, n int, gradient bool) (p *compile.Place, from, to track.Still, look *cues.Look) {
	r := newRig(tb)
	for range (n + 15) / 16 {
		r.lamp("tube-rgbww-4ft", "16-cell-16-bit", "all")
	}
	pattern := cues.Alternate
	if gradient {
		pattern = cues.Gradient
	}
	paint := cues.Paint{On: "all", Pattern: pattern, Colours: named("lead", "second"), Level: share(0.6)}
	a, b := r.look("a", paint), r.look("b", paint)
	a.Wears, b.Wears = "warden", "tide"
	p = r.place()
	return p, r.still(p, a), r.still(p, b), b
}

// BenchmarkFade compiles the flip from one character to the other. Beside it,
// in the same run, what it saves: solving every cell at every frame of 44 Hz.
func BenchmarkFade(b *testing.B) {
	timing := compile.Timing{Fade: 4 * time.Second}
	for _, n := range []int{200, 20_000} {
		for _, gradient := range []bool{false, true} {
			kind := "alternate"
			if gradient {
				kind = "gradient"
			}
			p, from, to, _ := benchPlace(b, n, gradient)
			b.Run(fmt.Sprintf("cells=%d/%s/compiled", n, kind), func(b *testing.B) {
				b.ReportAllocs()
				for b.Loop() {
					if _, err := p.Fade(from, to, timing); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
	p, from, to, _ := benchPlace(b, 200, true)
	b.Run("cells=200/gradient/every-frame", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			everyFrame(p, from, to, int(timing.Fade.Seconds()*rate))
		}
	})
}

// everyFrame is the plain way: the same line in OKLab, solved for every cell and frame.
func everyFrame(p *compile.Place, from, to track.Still, frames int) [][]emitters.Drives {
	out := make([][]emitters.Drives, len(p.Cells))
	a, b := make([]colour.XYZ, len(p.Cells)), make([]colour.XYZ, len(p.Cells))
	p.Shine(from, a)
	p.Shine(to, b)
	for i := range p.Cells {
		mix := p.Cells[i].Mix()
		la, lb := a[i].OKLab(), b[i].OKLab()
		rows := make([]emitters.Drives, frames+1)
		for k := range rows {
			light := between(la, lb, float64(k)/float64(frames)).XYZ()
			s := mix.Solve(light.XY(), 1, p.Balance)
			rows[k] = s.Drives.Scale(min(light.Y/s.Most, 1))
		}
		out[i] = rows
	}
	return out
}

func BenchmarkLook(b *testing.B) {
	for _, n := range []int{200, 20_000} {
		p, _, _, look := benchPlace(b, n, true)
		b.Run(fmt.Sprintf("cells=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if s, _, _ := p.Still(look); s == nil {
					b.Fatal("no still")
				}
			}
		})
	}
}

func BenchmarkLight(b *testing.B) {
	p, from, _, _ := benchPlace(b, 200, true)
	frame := p.Frame(from, true)
	lights := make([]colour.XYZ, len(p.Cells))
	b.ReportAllocs()
	for b.Loop() {
		p.Light(frame, lights)
	}
}

// mixedPlace is a rig of 1000 cells of every built-in type that gives light, in
// gradients in which no cell of a type is like another.
func mixedPlace(tb testing.TB) (p *compile.Place, from, to track.Still) {
	r := newRig(tb)
	var a, b []cues.Paint
	for _, part := range []struct {
		kind, mode string
		n          int
	}{
		{"tube-rgbww-4ft", "16-cell-16-bit", 20}, {"tube-rgb-2ft", "8-cell-16-bit", 40}, {"panel-rgbww", "16-bit", 100},
		{"panel-rgbacl", "16-bit", 80}, {"puck-rgbw", "16-bit", 120}, {"key-bicolour", "16-bit", 40}, {"spot-daylight", "16-bit", 20},
	} {
		for range part.n {
			r.lamp(part.kind, part.mode, part.kind)
		}
		paint := cues.Paint{On: part.kind, Pattern: cues.Gradient, Colours: named("lead", "second"), Level: share(0.6)}
		a, b = append(a, paint), append(b, paint)
	}
	one, two := r.look("a", a...), r.look("b", b...)
	one.Wears, two.Wears = "warden", "tide"
	p = r.place()
	require.Len(tb, p.Cells, 1000)
	return p, r.still(p, one), r.still(p, two)
}

// BenchmarkMixedFade compiles a fade of 1000 cells of mixed lamp types along
// each path, with what it saves in the same run.
func BenchmarkMixedFade(b *testing.B) {
	p, from, to := mixedPlace(b)
	for _, path := range cues.PathNames() {
		b.Run("path="+path, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second, Path: cues.Path(path)}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("every-frame", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			everyFrame(p, from, to, 4*rate)
		}
	})
}

// BenchmarkStepping tells the steps of that fade.
func BenchmarkStepping(b *testing.B) {
	p, from, to := mixedPlace(b)
	f, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second})
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		p.Stepping(f, false)
	}
}

// TestFadeAllocatesNothingPerSolve: the long way round takes many times the
// solves of the short way, and what is allocated for a cell is the same: the
// times and the values that its way leaves behind.
func TestFadeAllocatesNothingPerSolve(t *testing.T) {
	p, from, to, _ := benchPlace(t, 64, true)
	allocs := func(path cues.Path) float64 {
		return testing.AllocsPerRun(3, func() {
			if _, err := p.Fade(from, to, compile.Timing{Fade: time.Second, Path: path}); err != nil {
				t.Fatal(err)
			}
		})
	}
	short := allocs(cues.PathShort)
	require.LessOrEqual(t, short, 5.0*float64(len(p.Cells)))
	require.LessOrEqual(t, allocs(cues.PathOther), 1.2*short+20)
}
