package compile_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

const rate = 44

// sampled is the light of one cell at every frame of a fade, as the wire has it.
func sampled(p *compile.Place, f *track.Fade, cell int) []colour.XYZ {
	frames := int(f.Total.Seconds() * rate)
	still, bytes := p.Layout.NewStill(), p.Layout.NewFrame()
	lights := make([]colour.XYZ, len(p.Cells))
	out := make([]colour.XYZ, 0, frames+1)
	for i := range frames + 1 {
		f.At(float64(i)/float64(frames), still)
		p.Layout.Write(still, 1, false, bytes)
		p.Light(bytes, lights)
		out = append(out, lights[cell])
	}
	return out
}

func labOf(c colour.XYZ, most float64) colour.OKLab { return c.Scale(1 / most).OKLab() }

func apart(a, b colour.OKLab) float64 {
	return math.Sqrt((a.L-b.L)*(a.L-b.L) + (a.A-b.A)*(a.A-b.A) + (a.B-b.B)*(a.B-b.B))
}

func between(a, b colour.OKLab, t float64) colour.OKLab {
	return colour.OKLab{L: a.L + t*(b.L-a.L), A: a.A + t*(b.A-a.A), B: a.B + t*(b.B-a.B)}
}

// pairs are changes that would show a wrong hue on the way: opposite hues,
// whites, and colours to and from black.
var pairs = []struct {
	name   string
	a, b   colour.Form
	la, lb float64
}{
	{"blue to amber", colour.HueSat{Hue: 240, Sat: 1}, colour.HueSat{Hue: 38, Sat: 0.95}, 1, 1},
	{"blue to amber, dim", colour.HueSat{Hue: 240, Sat: 1}, colour.HueSat{Hue: 38, Sat: 0.95}, 0.3, 0.1},
	{"red to cyan", colour.HueSat{Hue: 0, Sat: 1}, colour.HueSat{Hue: 186, Sat: 1}, 1, 0.6},
	{"red to cyan, inside", colour.HueSat{Hue: 0, Sat: 0.6}, colour.HueSat{Hue: 186, Sat: 0.5}, 0.5, 0.5},
	{"green to magenta", colour.HueSat{Hue: 120, Sat: 1}, colour.HueSat{Hue: 300, Sat: 1}, 0.4, 1},
	{"red to green", colour.HueSat{Hue: 0, Sat: 1}, colour.HueSat{Hue: 120, Sat: 1}, 1, 1},
	{"red to blue", colour.HueSat{Hue: 0, Sat: 1}, colour.HueSat{Hue: 240, Sat: 1}, 0.8, 0.8},
	{"warm to cool", colour.White{CCT: colour.CCT{T: 2800}}, colour.White{CCT: colour.CCT{T: 6500}}, 0.5, 0.9},
	{"green to blue, past the edge", colour.HueSat{Hue: 150, Sat: 1}, colour.HueSat{Hue: 240, Sat: 1}, 1, 1},
	{"pale to full blue, past the most light", colour.HueSat{Hue: 210, Sat: 0.5}, colour.HueSat{Hue: 240, Sat: 1}, 1, 1},
	{"dark to blue", colour.HueSat{Hue: 240, Sat: 1}, colour.HueSat{Hue: 240, Sat: 1}, 0, 1},
	{"amber to dark", colour.HueSat{Hue: 38, Sat: 0.95}, colour.HueSat{Hue: 240, Sat: 1}, 1, 0},
	{"amber to nearly dark blue", colour.HueSat{Hue: 38, Sat: 0.95}, colour.HueSat{Hue: 240, Sat: 1}, 1, 0.01},
	{"one white, two levels", colour.White{CCT: colour.CCT{T: 4300}}, colour.White{CCT: colour.CCT{T: 4300}}, 0.05, 0.9},
}

// one makes a place of one lamp and the stills of a pair of colours.
func one(t *testing.T, kind, mode string, a, b colour.Form, la, lb float64) (*compile.Place, track.Still, track.Still) {
	r := newRig(t)
	r.lamp(kind, mode, "all")
	from, to := r.look("from", solid("all", a, la)), r.look("to", solid("all", b, lb))
	p := r.place()
	return p, r.still(p, from), r.still(p, to)
}

// The way of the wire is compared with the straight line in OKLab that the
// test draws itself and has solved point by point by colour/emitters. What the
// eye needs of a fade: no step that can be seen, no lightness that turns back,
// no hue that strays (the step sizes: common practice, no source).
func TestShortWay(t *testing.T) {
	for kind, mode := range wideModes() {
		for _, pair := range pairs {
			t.Run(kind+"/"+pair.name, func(t *testing.T) {
				p, from, to := one(t, kind, mode, pair.a, pair.b, pair.la, pair.lb)
				f, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second})
				require.NoError(t, err)
				require.NoError(t, f.Validate(len(p.Layout.Slots)))
				checkEnds(t, f, from, to)
				checkWay(t, p, f)
			})
		}
	}
}

func checkEnds(t *testing.T, f *track.Fade, from, to track.Still) {
	t.Helper()
	got := make(track.Still, len(from))
	f.At(0, got)
	require.Equal(t, from, got)
	f.At(1, got)
	require.Equal(t, to, got)
}

func checkWay(t *testing.T, p *compile.Place, f *track.Fade) {
	t.Helper()
	cell := &p.Cells[0]
	lights := sampled(p, f, 0)
	ends := make([]colour.XYZ, len(p.Cells))
	p.Shine(f.From, ends)
	a := labOf(ends[0], cell.MostLumens)
	p.Shine(f.To, ends)
	b := labOf(ends[0], cell.MostLumens)
	length := apart(a, b)
	frames := float64(len(lights) - 1)
	for i, light := range lights {
		at := float64(i) / frames
		want := between(a, b, at)
		asked := want.XYZ().Scale(cell.MostLumens)
		lab := labOf(light, cell.MostLumens)
		where := fmt.Sprintf("frame %d of %g: %+v, on the line %+v", i, frames, lab, want)

		// 16-bit channels have steps of 1/65535 of an emitter's light or finer.
		deep := 0.05 // OKLab lightness under which one such step is a visible part of the light
		s := cell.Mix().Solve(asked.XY(), 1, p.Balance)
		if want.L > deep {
			l := want.L
			if most := s.Reached.XYZ(s.Most); asked.Y > 0 { // where the lamp cannot be so light, it is as light as it can
				l = min(l, labOf(most, cell.MostLumens).L)
			}
			require.InDelta(t, l, lab.L, 0.004, "lightness: %s", where)
		}
		if asked.Y > 0 && asked.Y >= 0.2*s.Most {
			u, v := light.XY().UV(), s.Reached.UV()
			require.LessOrEqual(t, math.Hypot(u.U-v.U, u.V-v.V), 0.0005, "chromaticity: %s", where)
		}
		if i == 0 {
			continue
		}
		before := labOf(lights[i-1], cell.MostLumens)
		if min(lab.L, before.L) > deep {
			// The line has equal steps; where the lamp's reach bends it they grow.
			require.LessOrEqual(t, apart(lab, before), 3*length/frames+0.002, "step: %s", where)
			up := b.L - a.L
			require.GreaterOrEqual(t, (lab.L-before.L)*math.Copysign(1, up), -0.0006, "lightness turns back: %s", where)
		}
	}
}

// Equal steps in time look equal: CIE 1976 L* (CIE 15:2018 eq. 8.5), which the
// compiler does not use, grows evenly over a fade from black to full white.
func TestEvenIsEvenInLightness(t *testing.T) {
	p, dark, lit := one(t, "panel-rgbww", "16-bit", colour.White{CCT: colour.CCT{T: 4300}}, colour.White{CCT: colour.CCT{T: 4300}}, 0, 1)
	f, err := p.Fade(dark, lit, compile.Timing{Fade: 4 * time.Second})
	require.NoError(t, err)
	lights := sampled(p, f, 0)
	full := lights[len(lights)-1].Y
	lstar := func(y float64) float64 {
		if y > 216.0/24389 {
			return 116*math.Cbrt(y) - 16
		}
		return y * 24389 / 27
	}
	for i := len(lights) / 5; i < len(lights); i++ {
		step := lstar(lights[i].Y/full) - lstar(lights[i-1].Y/full)
		require.InDelta(t, 116.0/float64(len(lights)-1), step, 0.15, "frame %d", i)
	}
}

// Half-way through white the light is the balance white, at the lightness half-way.
func TestWayThroughWhite(t *testing.T) {
	p, from, to := one(t, "panel-rgbww", "16-bit", colour.HueSat{Hue: 240, Sat: 0.9}, colour.HueSat{Hue: 32, Sat: 0.9}, 0.6, 0.6)
	f, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second, Path: cues.PathWhite})
	require.NoError(t, err)
	checkEnds(t, f, from, to)
	lights := sampled(p, f, 0)
	middle := lights[len(lights)/2]
	require.InDelta(t, p.Balance.UV().U, middle.XY().UV().U, 0.0005)
	require.InDelta(t, p.Balance.UV().V, middle.XY().UV().V, 0.0005)
	half := (lights[0].OKLab().L + lights[len(lights)-1].OKLab().L) / 2
	require.InDelta(t, half, middle.OKLab().L, 0.002*half)
	for i := 1; i < len(lights); i++ {
		step := apart(lights[i].OKLab(), lights[i-1].OKLab())
		require.LessOrEqual(t, step, 4*half/float64(len(lights)), "frame %d", i)
	}
}

// Straight in light, the light half-way is the mean of both ends: light adds up.
func TestWayStraightInLight(t *testing.T) {
	p, from, to := one(t, "panel-rgbww", "16-bit", colour.HueSat{Hue: 240, Sat: 0.9}, colour.HueSat{Hue: 32, Sat: 0.9}, 0.6, 0.6)
	f, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second, Path: cues.PathLight})
	require.NoError(t, err)
	lights := sampled(p, f, 0)
	a, m, b := lights[0], lights[len(lights)/2], lights[len(lights)-1]
	require.InEpsilon(t, (a.X+b.X)/2, m.X, 1e-3)
	require.InEpsilon(t, (a.Y+b.Y)/2, m.Y, 1e-3)
	require.InEpsilon(t, (a.Z+b.Z)/2, m.Z, 1e-3)
}

// A start that the solver would mix otherwise, as in the middle of another
// fade, is left without a jump, and the light keeps to its way; also toward a
// light that has no room for the other mix, as it wants its emitters whole.
func TestOddMixIsBlendedAway(t *testing.T) {
	for name, c := range map[string]struct {
		from  []float32 // red, green, blue, warm, cool
		to    colour.Form
		level float64
	}{
		"white of red, green and blue alone": {[]float32{0.4, 0.35, 0.5, 0, 0}, colour.HueSat{Hue: 186, Sat: 0.6}, 0.5},
		"toward all emitters":                {[]float32{0.7, 0.6, 0.5, 0, 0.1}, colour.White{CCT: colour.CCT{T: 4400}}, 1},
		"toward full amber":                  {[]float32{0.9, 0.5, 0.6, 0, 0}, colour.HueSat{Hue: 38, Sat: 0.6}, 1},
	} {
		t.Run(name, func(t *testing.T) {
			p, _, to := one(t, "tube-rgbww-4ft", "1-cell-16-bit", c.to, c.to, 1, c.level)
			from := p.Dark()
			cell := &p.Cells[0]
			copy(from[cell.First:cell.First+cell.N], c.from)
			f, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second})
			require.NoError(t, err)
			checkEnds(t, f, from, to)
			checkWay(t, p, f)
			last, s := p.Layout.NewStill(), p.Layout.NewStill()
			f.At(0, last)
			for i := 1; i <= 4*rate; i++ {
				f.At(float64(i)/(4*rate), s)
				for k := cell.First; k < cell.First+cell.N; k++ {
					require.LessOrEqual(t, math.Abs(float64(s[k]-last[k])), 0.02, "frame %d, emitter %d", i, k-cell.First)
				}
				copy(last, s)
			}
		})
	}
}
