package compile_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

// emitterFade is a place of one lamp and a fade of its first emitter alone.
func emitterFade(t *testing.T, kind, mode string, from, to float64, timing compile.Timing, camera cues.Camera) (*compile.Place, *track.Fade) {
	r := newRig(t)
	r.show.Camera = camera
	r.lamp(kind, mode, "all")
	p := r.place()
	a, b := p.Dark(), p.Dark()
	first := p.Cells[0].First
	a[first], b[first] = float32(from), float32(to)
	f, err := p.Fade(a, b, timing)
	require.NoError(t, err)
	return p, f
}

// endless is a camera with no black to speak of, so that a step is n+1 over n.
func endless(fps float64) cues.Camera { return cues.Camera{FPS: fps, Balance: 4300, Under: 60} }

// The size of a code's step, from its definition: a linear channel goes from n to
// n+1 by 1/n, so the first step is a whole stop and one of 2 % is at code 50; on
// a square law it is (1 + 1/n)^2.
func TestLargestStepOfAFade(t *testing.T) {
	for _, row := range []struct {
		name, kind, mode string
		from, want       float64
	}{
		{"linear from code 1", "puck-rgbw", "8-bit", 1.0 / 255, 1},
		{"linear from code 50", "puck-rgbw", "8-bit", 50.0 / 255, math.Log2(51.0 / 50)},
		{"square from code 101", "tube-rgb-2ft", "1-cell", math.Pow(101.0/255, 2), 2 * math.Log2(102.0/101)},
		{"linear in 16 bits from 0.15 % of the light", "puck-rgbw", "16-bit", 0.0015, math.Log2(1 + 1/(0.0015*65535))},
	} {
		for _, down := range []bool{false, true} {
			from, to := row.from, 1.0
			if down {
				from, to = to, from
			}
			p, f := emitterFade(t, row.kind, row.mode, from, to, compile.Timing{Fade: 60 * time.Second}, endless(24))
			s := p.Stepping(f, false)
			require.Len(t, s, 1)
			require.Equal(t, p.Cells[0].Lamp, s[0].Lamp)
			require.InEpsilon(t, row.want, s[0].Largest, 0.02, "%s, down %t", row.name, down)
			require.Equal(t, time.Minute, s[0].Time)
		}
	}
}

// On an even fade out of dark a linear channel holds code n from the time at
// which 255 t^3 passes n-1/2 to that at which it passes n+1/2, and code 1 the
// longest; straight in light every code is held alike, at 255/44 s for one
// frame of 44 a second.
func TestHowLongCodesAreHeld(t *testing.T) {
	p, f := emitterFade(t, "puck-rgbw", "8-bit", 0, 1, compile.Timing{Fade: 4 * time.Second}, endless(25))
	s := p.Stepping(f, false)[0]
	first := math.Cbrt(1.5/255) - math.Cbrt(0.5/255)
	require.InEpsilon(t, first*4*25, s.Held, 0.04)
	require.InEpsilon(t, 2.0/25/first, s.Longest.Seconds(), 0.04)
	require.True(t, s.TooLong())

	p, f = emitterFade(t, "puck-rgbw", "8-bit", 0, 1, compile.Timing{Fade: 255 * time.Second / 44, Path: cues.PathLight}, endless(44))
	require.InEpsilon(t, 1, p.Stepping(f, false)[0].Held, 0.3, "at most one look in four more")

	p, f = emitterFade(t, "puck-rgbw", "16-bit", 0, 1, compile.Timing{Fade: 10 * time.Minute}, cues.Camera{FPS: 24, Balance: 4300, Under: 8})
	s = p.Stepping(f, false)[0]
	require.Equal(t, 16, s.Bits)
	require.Zero(t, s.Held, "no step of 16 bits is seen")
	require.Equal(t, 24*time.Hour, s.Longest)
	require.False(t, s.TooLong())
}

// An even fade goes its way in OKLab in equal steps, so it takes as many frames
// as the way has tenths.
func TestShortestSmoothTime(t *testing.T) {
	p, f := emitterFade(t, "spot-daylight", "16-bit", 0, 1, compile.Timing{Fade: time.Second}, endless(24))
	lights := make([]colour.XYZ, len(p.Cells))
	p.Shine(f.To, lights)
	way := apart(colour.OKLab{}, labOf(lights[0], p.Cells[0].MostLumens))
	s := p.Stepping(f, false)[0]
	require.InEpsilon(t, way/0.1/24, s.Shortest.Seconds(), 0.03)
	require.False(t, s.TooShort(24))

	p, f = emitterFade(t, "spot-daylight", "16-bit", 0, 1, compile.Timing{Fade: time.Second, Curve: cues.CurveIn}, endless(24))
	require.InEpsilon(t, 2*s.Shortest.Seconds(), p.Stepping(f, false)[0].Shortest.Seconds(), 0.06, "an ease that ends at twice the speed takes twice the time")

	p, f = emitterFade(t, "spot-daylight", "16-bit", 0.5, 0.55, compile.Timing{Fade: time.Second}, endless(24))
	require.Zero(t, p.Stepping(f, false)[0].Shortest, "a change that is no jump in one frame has no shortest time")

	for _, row := range []struct {
		fade  time.Duration
		short bool
	}{{40 * time.Millisecond, false}, {200 * time.Millisecond, true}, {500 * time.Millisecond, false}} {
		p, f = emitterFade(t, "spot-daylight", "16-bit", 0, 1, compile.Timing{Fade: row.fade}, endless(24))
		s = p.Stepping(f, false)[0]
		require.Equal(t, row.short, s.TooShort(24), "%v, from %v", row.fade, s.Shortest)
	}
}

// The report is compared with the whole rig's frames at 44 a second, rendered
// by the layout and read back by colour/lamp: in a slow fade no frame in which
// one code went on by one has a larger step than is told, and one has it.
func TestSteppingIsThatOfTheWire(t *testing.T) {
	for _, kind := range []struct{ kind, mode string }{{"puck-rgbw", "8-bit"}, {"tube-rgb-2ft", "1-cell"}, {"panel-rgbww", "8-bit"}} {
		for _, pair := range pairs {
			p, from, to := one(t, kind.kind, kind.mode, pair.a, pair.b, pair.la, pair.lb)
			f, err := p.Fade(from, to, compile.Timing{Fade: 300 * time.Second})
			require.NoError(t, err)
			want := largestOnTheWire(p, f)
			require.Greater(t, want, 0.0)
			require.InEpsilon(t, want, p.Stepping(f, false)[0].Largest, 0.1, "%s, %s", kind.kind, pair.name)
		}
	}
}

// oneStep tells whether one code has gone on by one, or several that were equal.
func oneStep(before, after []byte) bool {
	seen := map[[2]byte]bool{}
	for i, b := range after {
		if b != before[i] {
			seen[[2]byte{before[i], b}] = true
		}
	}
	for pair := range seen {
		return len(seen) == 1 && (pair[1]-pair[0] == 1 || pair[0]-pair[1] == 1)
	}
	return false
}

func largestOnTheWire(p *compile.Place, f *track.Fade) float64 {
	black := math.Exp2(-10) * p.Cells[0].MostLumens // 8 stops under a grey that is 2 under full
	frames := int(f.Total.Seconds() * rate)
	still, now, last := p.Layout.NewStill(), p.Layout.NewFrame(), p.Layout.NewFrame()
	lights := make([]colour.XYZ, len(p.Cells))
	before, largest := 0.0, 0.0
	for i := range frames + 1 {
		f.At(float64(i)/float64(frames), still)
		p.Layout.Write(still, 1, false, now)
		p.Light(now, lights)
		if i > 0 && oneStep(last[0], now[0]) {
			largest = max(largest, math.Abs(math.Log2((lights[0].Y+black)/(before+black))))
		}
		before = lights[0].Y
		copy(last[0], now[0])
	}
	return largest
}

// A lamp is told once, by its worst cell, and only lamps that move are told.
func TestSteppingTellsLamps(t *testing.T) {
	r := newRig(t)
	tube := r.lamp("tube-rgb-2ft", "8-cell", "moves")
	r.lamp("puck-rgbw", "8-bit", "stays")
	fine := r.lamp("puck-rgbw", "16-bit", "moves")
	gradient := cues.Paint{On: "moves", Pattern: cues.Gradient, Colours: []cues.Colour{{Form: amber}, {Form: aqua}}, Level: share(0.5)}
	p := r.place()
	from := r.still(p, r.look("from", gradient, solid("stays", amber, 0.5)))
	to := r.still(p, r.look("to", solid("moves", aqua, 0.01), solid("stays", amber, 0.5)))
	f, err := p.Fade(from, to, compile.Timing{Fade: 8 * time.Second, Delay: time.Second})
	require.NoError(t, err)
	s := p.Stepping(f, false)
	require.Len(t, s, 2)
	require.Equal(t, tube, s[0].Lamp)
	require.Equal(t, fine, s[1].Lamp)
	require.Equal(t, 8, s[0].Bits)
	require.InDelta(t, 8, s[0].Time.Seconds(), 1e-3)
	require.Greater(t, s[0].Largest, s[1].Largest)

	snap, err := p.Fade(from, to, compile.Timing{})
	require.NoError(t, err)
	require.Empty(t, p.Stepping(snap, false), "a snap has no steps")
}

// Floor light fills up what a floor cell lacks, so the coarse steps near black
// are not seen under it.
func TestFloorLightHidesSteps(t *testing.T) {
	r := newRig(t)
	r.show.Safety.Floor = cues.FloorLight{On: "way", Level: 0.1}
	r.lamp("puck-rgbw", "8-bit", "way")
	p := r.place()
	white := colour.White{CCT: colour.CCT{T: 4300}}
	f, err := p.Fade(p.Dark(), r.still(p, r.look("to", solid("way", white, 0.5))), compile.Timing{Fade: 4 * time.Second})
	require.NoError(t, err)
	open, dark := p.Stepping(f, true)[0], p.Stepping(f, false)[0]
	require.Greater(t, dark.Largest, 1.0, "the first step out of black")
	require.Less(t, open.Largest, 0.1)
	require.Greater(t, open.Longest, dark.Longest)
}
