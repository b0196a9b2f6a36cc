package compile_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
)

// hueRound gives the hue of a light round the balance white, in degrees.
func hueRound(p *compile.Place, c colour.OKLab) float64 {
	white := p.Balance.XYZ(1).OKLab()
	k := c.L / white.L
	return math.Atan2(c.B-k*white.B, c.A-k*white.A) * 180 / math.Pi
}

// Half-way round the hue circle the hue is half-way, at the lightness half-way;
// the other way it is the opposite one.
func TestWayRoundTheCircle(t *testing.T) {
	p, from, to := one(t, "panel-rgbacl", "16-bit", colour.HueSat{Hue: 200, Sat: 0.5}, colour.HueSat{Hue: 320, Sat: 0.5}, 0.3, 0.3)
	var middle [2]colour.OKLab
	for i, path := range []cues.Path{cues.PathRound, cues.PathOther} {
		f, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second, Path: path})
		require.NoError(t, err)
		checkEnds(t, f, from, to)
		lights := sampled(p, f, 0)
		a, b := labOf(lights[0], p.Cells[0].MostLumens), labOf(lights[len(lights)-1], p.Cells[0].MostLumens)
		m := labOf(lights[len(lights)/2], p.Cells[0].MostLumens)
		half := math.Remainder(hueRound(p, b)-hueRound(p, a), 360) / 2
		want := hueRound(p, a) + half + 180*float64(i)
		require.InDelta(t, 0, math.Remainder(hueRound(p, m)-want, 360), 1, path)
		require.InDelta(t, (a.L+b.L)/2, m.L, 0.002)
		middle[i] = m
	}
	require.Greater(t, apart(middle[0], middle[1]), 0.1)
}

// White has no hue to start from, so the way from it is the short one.
func TestWayRoundFromWhiteIsShort(t *testing.T) {
	p, from, to := one(t, "panel-rgbww", "16-bit", colour.White{CCT: colour.CCT{T: 4300}}, colour.HueSat{Hue: 240, Sat: 0.9}, 0.6, 0.6)
	short, err := p.Fade(from, to, compile.Timing{Fade: time.Second})
	require.NoError(t, err)
	for _, path := range []cues.Path{cues.PathRound, cues.PathOther} {
		round, err := p.Fade(from, to, compile.Timing{Fade: time.Second, Path: path})
		require.NoError(t, err)
		require.Equal(t, short.Values, round.Values)
	}
}

// Through dark every channel is at 0 half-way, and each half keeps the mix of
// its own end.
func TestWayThroughDark(t *testing.T) {
	p, from, to := one(t, "tube-rgbww-4ft", "1-cell-16-bit", colour.HueSat{Hue: 240, Sat: 0.9}, colour.HueSat{Hue: 32, Sat: 0.9}, 0.6, 0.9)
	f, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second, Path: cues.PathDark})
	require.NoError(t, err)
	checkEnds(t, f, from, to)
	s := p.Layout.NewStill()
	f.At(0.5, s)
	require.Equal(t, p.Dark(), s)
	for at, end := range map[float64][]float32{0.2: from, 0.4: from, 0.7: to, 0.9: to} {
		f.At(at, s)
		k := math.Pow(math.Abs(1-2*at), 3) // the lightness goes straight, and light with its cube
		for slot := p.Cells[0].First; slot < p.Cells[0].First+p.Cells[0].N; slot++ {
			require.InDelta(t, k*float64(end[slot]), s[slot], 0.003, "at %g", at)
		}
	}
}

// From 3200 K to 5600 K the middle in mired is at 4072.7 K: 312.5 and 178.6
// mired, half of their sum 245.5. In kelvin it would be at 4400 K.
func TestWayInMired(t *testing.T) {
	white := func(k float64, duv float64) colour.Form {
		return colour.White{CCT: colour.CCT{T: colour.Kelvin(k), Duv: colour.Duv(duv)}}
	}
	p, from, to := one(t, "panel-rgbww", "16-bit", white(3200, 0.004), white(5600, -0.002), 0.6, 0.6)
	f, err := p.Fade(from, to, compile.Timing{Fade: 4 * time.Second, Path: cues.PathMired})
	require.NoError(t, err)
	checkEnds(t, f, from, to)
	lights := sampled(p, f, 0)
	for i, light := range lights {
		at := float64(i) / float64(len(lights)-1)
		c, err := light.XY().CCT()
		require.NoError(t, err)
		require.InDelta(t, 1e6/3200*(1-at)+1e6/5600*at, 1e6/float64(c.T), 0.6, "mired at %g", at)
		require.InDelta(t, 0.004*(1-at)-0.002*at, float64(c.Duv), 0.0003, "Duv at %g", at)
	}
	c, err := lights[len(lights)/2].XY().CCT()
	require.NoError(t, err)
	require.InDelta(t, 4072.7, float64(c.T), 10)
}

// A colour is no white, so the way in mired from or to one is the short one.
func TestWayInMiredOfAColourIsShort(t *testing.T) {
	p, from, to := one(t, "panel-rgbww", "16-bit", colour.White{CCT: colour.CCT{T: 3200}}, colour.HueSat{Hue: 150, Sat: 1}, 0.6, 0.6)
	short, err := p.Fade(from, to, compile.Timing{Fade: time.Second})
	require.NoError(t, err)
	mired, err := p.Fade(from, to, compile.Timing{Fade: time.Second, Path: cues.PathMired})
	require.NoError(t, err)
	require.Equal(t, short, mired)
}

func TestPathBack(t *testing.T) {
	timing := compile.Timing{Fade: 4 * time.Second, Delay: time.Second, Spread: 5 * time.Second}
	for _, row := range []struct {
		path         cues.Path
		curve        cues.Curve
		early, after cues.Path
	}{
		{cues.PathShort, "", cues.PathShort, cues.PathShort},
		{cues.PathMired, "", cues.PathMired, cues.PathMired},
		{cues.PathRound, "", cues.PathRound, cues.PathRound},
		{cues.PathOther, "", cues.PathRound, cues.PathOther},
		{cues.PathWhite, cues.CurveSoft, cues.PathShort, cues.PathWhite},
		{cues.PathDark, "", cues.PathShort, cues.PathDark},
	} {
		timing.Path, timing.Curve = row.path, row.curve
		require.Equal(t, row.early, timing.PathBack(0.29), row.path) // after 2.9 of 10 s
		require.Equal(t, row.after, timing.PathBack(0.31), row.path)
	}
	timing.Curve, timing.Path = cues.CurveIn, cues.PathDark // half of the way at 0.71 of its time
	require.Equal(t, cues.PathShort, timing.PathBack(0.37))
	require.Equal(t, cues.PathDark, timing.PathBack(0.39))
	require.Equal(t, cues.PathDark, compile.Timing{Path: cues.PathDark}.PathBack(0))
}
