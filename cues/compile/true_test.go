package compile_test

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/difference"
	"linkboy/colour/recipe"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

// trueWay is the way that a fade is meant to take, drawn by the test itself in
// OKLab as a share of the cell's most light, and shown by the cell as it can be.
type trueWay struct {
	cell     *compile.Cell
	a, b     colour.OKLab
	path     cues.Path
	grey     func(l float64) colour.OKLab
	from, to colour.XYZ
	balance  colour.XY
}

func newTrueWay(p *compile.Place, from, to track.Still, path cues.Path) *trueWay {
	cell := &p.Cells[0]
	ends := make([]colour.XYZ, len(p.Cells))
	w := &trueWay{cell: cell, path: path, balance: p.Balance}
	p.Shine(from, ends)
	w.from = ends[0]
	p.Shine(to, ends)
	w.to = ends[0]
	w.a, w.b = labOf(w.from, cell.MostLumens), labOf(w.to, cell.MostLumens)
	white := p.Balance.XYZ(1).OKLab()
	w.grey = func(l float64) colour.OKLab {
		return colour.OKLab{L: l, A: white.A * l / white.L, B: white.B * l / white.L}
	}
	return w
}

// drawn is the point at t before the cell's reach.
func (w *trueWay) drawn(t float64) colour.OKLab {
	short := between(w.a, w.b, t)
	if w.a.L == 0 || w.b.L == 0 || w.from.XY().UV().Distance(w.to.XY().UV()) < 1e-6 && w.path != cues.PathDark {
		return short
	}
	switch w.path {
	case cues.PathWhite, cues.PathDark:
		middle := colour.OKLab{}
		if w.path == cues.PathWhite {
			middle = w.grey((w.a.L + w.b.L) / 2)
		}
		bent := between(middle, w.b, 2*t-1)
		if t < 0.5 {
			bent = between(w.a, middle, 2*t)
		}
		if w.path == cues.PathWhite && w.cell.N > 2 {
			return w.held(t, bent)
		}
		return bent
	case cues.PathMired:
		a, err := w.from.XY().CCT()
		b, also := w.to.XY().CCT()
		if err != nil || also != nil {
			return short
		}
		mired := 1e6/float64(a.T)*(1-t) + 1e6/float64(b.T)*t
		xy, err := colour.CCT{T: colour.Kelvin(1e6 / mired), Duv: a.Duv*colour.Duv(1-t) + b.Duv*colour.Duv(t)}.XY()
		if err != nil {
			return short
		}
		lab := xy.XYZ(1).OKLab()
		return colour.OKLab{L: short.L, A: lab.A * short.L / lab.L, B: lab.B * short.L / lab.L}
	case cues.PathRound, cues.PathOther:
		if w.cell.N > 2 {
			return w.round(t, short)
		}
	}
	return short
}

// polar gives chroma and hue, in degrees, round the balance white.
func (w *trueWay) polar(c colour.OKLab) (chroma, hue float64) {
	g := w.grey(c.L)
	return math.Hypot(c.A-g.A, c.B-g.B), math.Atan2(c.B-g.B, c.A-g.A) * 180 / math.Pi
}

// turn is how far the way goes round from one hue to another, in degrees.
func (w *trueWay) turn(from, to float64) float64 {
	turn := math.Mod(to-from+720, 360) // anticlockwise
	if (turn > 180) != (w.path == cues.PathOther) {
		turn -= 360
	}
	return turn
}

// round is the point at t of the way round.
func (w *trueWay) round(t float64, short colour.OKLab) colour.OKLab {
	ca, ha := w.polar(w.a)
	cb, hb := w.polar(w.b)
	if ca < 0.02*w.a.L || cb < 0.02*w.b.L {
		return short
	}
	turn := w.turn(ha, hb)
	h := (ha + t*turn) * math.Pi / 180
	c := ca + t*(cb-ca)
	g := w.grey(short.L)
	return w.held(t, colour.OKLab{L: g.L, A: g.A + c*math.Cos(h), B: g.B + c*math.Sin(h)})
}

// held is the light shown for goal, at t of the way, with its lightness and
// hue: where the cell cannot be so light in the balance white, toward the
// cross-fade.
func (w *trueWay) held(t float64, goal colour.OKLab) colour.OKLab {
	g := w.grey(goal.L)
	if w.shows(goal) {
		return goal
	}
	if !w.shows(g) {
		c := labOf(mean(w.from, w.to, t), w.cell.MostLumens)
		c = between(colour.OKLab{}, c, g.L/c.L)
		k := w.last(c, g)
		g = between(c, g, k*k)
	}
	return between(g, goal, w.last(g, goal))
}

func mean(a, b colour.XYZ, t float64) colour.XYZ {
	return colour.XYZ{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y), Z: a.Z + t*(b.Z-a.Z)}
}

// last is the share of the way from a to b that the cell can show.
func (w *trueWay) last(a, b colour.OKLab) float64 {
	low, high := 0.0, 1.0
	for range 40 {
		if k := (low + high) / 2; w.shows(between(a, b, k)) {
			low = k
		} else {
			high = k
		}
	}
	return low
}

func (w *trueWay) shows(c colour.OKLab) bool {
	light := c.XYZ().Scale(w.cell.MostLumens)
	if light.X < 0 || light.Y <= 0 || light.Z < 0 {
		return false
	}
	s := w.cell.Mix().Solve(light.XY(), 1, w.balance)
	return !s.Clipped && light.Y <= s.Most*(1+1e-6)
}

// at is the light at t, in lumens, as the cell can show it.
func (w *trueWay) at(t float64) colour.XYZ {
	if w.path == cues.PathLight {
		return colour.XYZ{X: w.from.X + t*(w.to.X-w.from.X), Y: w.from.Y + t*(w.to.Y-w.from.Y), Z: w.from.Z + t*(w.to.Z-w.from.Z)}
	}
	lab := w.drawn(t)
	light := lab.XYZ().Scale(w.cell.MostLumens)
	if lab.L <= 0 || light.Y <= 0 {
		return colour.XYZ{}
	}
	s := w.cell.Mix().Solve(light.XY(), 1, w.balance)
	y := light.Y
	if s.Clipped { // keeps its lightness
		one := s.Reached.XYZ(1).OKLab().L
		y = math.Pow(lab.L/one, 3) * w.cell.MostLumens
	}
	return s.Reached.XYZ(min(y, s.Most))
}

// randomLook asks for any colour: full ones, pale ones, whites and dark, in the
// brightest mix or in another.
func randomLook(r *rand.Rand) *cues.Look {
	var form colour.Form
	switch r.IntN(4) {
	case 0:
		form = colour.White{CCT: colour.CCT{T: colour.Kelvin(1e6 / (90 + r.Float64()*360)), Duv: colour.Duv(r.Float64()*0.02 - 0.01)}}
	case 1:
		form = colour.HueSat{Hue: r.Float64() * 360, Sat: 1}
	default:
		form = colour.HueSat{Hue: r.Float64() * 360, Sat: r.Float64()}
	}
	level := 1.0
	switch r.IntN(8) {
	case 0:
		level = 0
	case 1, 2: // full
	default:
		level = math.Exp2(-8 * r.Float64())
	}
	policy := [...]recipe.Policy{recipe.Brightest, recipe.Truest}[r.IntN(2)]
	return &cues.Look{Name: "any", Policy: policy, Paint: []cues.Paint{solid("all", form, level)}}
}

// The largest differences that a fade may have, over 4 s at 44 frames a second.
// The sizes of the steps: common practice, no source.
const (
	nearWay  = 1.0   // CIEDE2000 of the track from its true way: about the least that is seen
	turnBack = 0.004 // OKLab lightness: at most 1.2 % of the light, where 2 % is seen; between full levels
	offHue   = 2.5   // degrees of hue from the drawn way, round the circle
)

// steps are the largest steps from frame to frame: of the light in OKLab, of
// one drive and of the sum of the drives.
type steps struct{ light, drive, sum float64 }

// mostSteps bounds them. A black-to-white fade has a step of 1/176 in lightness;
// the way round the hue circle is up to ten times as long and has the corners of
// the gamut in it, where one emitter takes over from another.
func mostSteps(path cues.Path) steps {
	switch path {
	case cues.PathRound, cues.PathOther:
		return steps{0.15, 0.8, 0.4}
	case cues.PathLight:
		return steps{0.2, 0.02, 0.06} // the cube root of light: the first frame out of black
	case cues.PathDark:
		return steps{0.02, 0.05, 0.2} // there and back in the time of one way
	}
	return steps{0.03, 0.16, 0.2}
}

// TestTracksKeepToTheWay plays a thousand fades of any colours on every
// built-in type of lamp along every path, many of them between mixes of other
// policies or out of any mix at all, as in the middle of another fade, and compares them all along with the true way.
func TestTracksKeepToTheWay(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	const fades = 1000
	r := rand.New(rand.NewPCG(3, 14))
	kinds := slices.Sorted(maps.Keys(wideModes()))
	rigs, places := map[string]*rig{}, map[string]*compile.Place{}
	for _, kind := range kinds {
		rigs[kind] = newRig(t)
		rigs[kind].lamp(kind, wideModes()[kind], "all")
		places[kind] = rigs[kind].place()
	}
	paths := cues.PathNames()
	for i := range fades {
		kind, path := kinds[i%len(kinds)], cues.Path(paths[i/len(kinds)%len(paths)])
		p, g := places[kind], rigs[kind]
		a, b := randomLook(r), randomLook(r)
		from, to := g.still(p, a), g.still(p, b)
		odd := r.IntN(4) == 0
		if odd {
			for k := range from[:p.Cells[0].N] {
				from[p.Cells[0].First+k] = r.Float32()
			}
		}
		if slices.Equal(from, to) {
			continue // nothing moves
		}
		name := fmt.Sprintf("fade %d, %s on %s, odd %t: %v %v to %v %v", i, path, kind, odd,
			a.Paint[0].Colours[0].Form, a.Paint[0].Level, b.Paint[0].Colours[0].Form, b.Paint[0].Level)
		f, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second, Path: path})
		require.NoError(t, err, name)
		require.NoError(t, f.Validate(len(p.Layout.Slots)), name)
		way := newTrueWay(p, from, to, path)
		checkNear(t, p, f, way, name)
		checkSteps(t, p, f, way, name)
	}
}

// checkNear samples the track between its knots.
func checkNear(t *testing.T, p *compile.Place, f *track.Fade, way *trueWay, name string) {
	const dense = 601
	still, lights := p.Layout.NewStill(), make([]colour.XYZ, len(p.Cells))
	most := way.cell.MostLumens
	white := way.balance.XYZ(most)
	up := math.Copysign(1, way.b.L-way.a.L)
	top := way.a.L
	for i := range dense + 1 {
		at := float64(i) / dense
		f.At(at, still)
		p.Shine(still, lights)
		want, got := way.at(at), lights[0]
		delta := difference.DE2000(difference.LabOf(got, white), difference.LabOf(want, white))
		if !(delta <= nearWay) {
			t.Fatalf("%s: at %.4f CIEDE2000 %.3f from the way: %+v, want %+v", name, at, delta, got, want)
		}
		lab := labOf(got, most)
		switch way.path {
		case cues.PathDark:
			if way.a.L > 0 && way.b.L > 0 { // down, then up
				up = -1
				if at > 0.5 {
					up = 1
				}
				if i == dense/2+1 {
					top = 0
				}
			}
		case cues.PathLight: // the sum of two lights may be lighter than both
			continue
		case cues.PathWhite:
			if way.cell.N < 3 {
				continue // it cannot be white and so light
			}
		}
		if back := (top - lab.L) * up; back > turnBack {
			t.Fatalf("%s: at %.4f lightness turns back by %.5f", name, at, back)
		}
		top = lab.L
		if hue, drawn, ok := way.hues(lab, at); ok && math.Abs(math.Remainder(hue-drawn, 360)) > offHue {
			t.Fatalf("%s: at %.4f hue %.2f, want %.2f", name, at, hue, drawn)
		}
	}
}

// hues gives the hue that is shown and the one drawn, in degrees, where the way
// goes round the circle and both have a hue.
func (w *trueWay) hues(shown colour.OKLab, t float64) (hue, drawn float64, ok bool) {
	if w.path != cues.PathRound && w.path != cues.PathOther || w.cell.N < 3 {
		return 0, 0, false
	}
	if w.a.L == 0 || w.b.L == 0 || !w.shows(w.grey(shown.L)) {
		return 0, 0, false
	}
	ca, ha := w.polar(w.a)
	cb, hb := w.polar(w.b)
	c, hue := w.polar(shown)
	if ca < 0.02*w.a.L || cb < 0.02*w.b.L || c < 0.05 || shown.L < 0.1 {
		return 0, 0, false
	}
	return hue, ha + t*w.turn(ha, hb), true
}

// checkSteps plays the track frame by frame.
func checkSteps(t *testing.T, p *compile.Place, f *track.Fade, way *trueWay, name string) {
	const frames = 4 * rate
	cell := way.cell
	still, last, lights := p.Layout.NewStill(), p.Layout.NewStill(), make([]colour.XYZ, len(p.Cells))
	f.At(0, last)
	before := labOf(way.from, cell.MostLumens)
	bound := mostSteps(way.path)
	for i := 1; i <= frames; i++ {
		f.At(float64(i)/frames, still)
		p.Shine(still, lights)
		var now steps
		sum := 0.0
		for k := cell.First; k < cell.First+cell.N; k++ {
			d := float64(still[k] - last[k])
			sum += d
			now.drive = max(now.drive, math.Abs(d))
		}
		now.sum = math.Abs(sum)
		lab := labOf(lights[0], cell.MostLumens)
		now.light = apart(lab, before)
		if now.light > bound.light || now.drive > bound.drive || now.sum > bound.sum {
			t.Fatalf("%s: frame %d steps by %+v, at most %+v", name, i, now, bound)
		}
		before = lab
		copy(last, still)
	}
}
