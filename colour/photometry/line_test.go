package photometry_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/photometry"
)

// TestTubeNearField checks the 1.15 m strip of 1867 lm, computed independently: 594 cd
// (a laboratory has 491 to 608 cd for four tubes of 1840 to 1940 lm).
func TestTubeNearField(t *testing.T) {
	strip := newStrip(t, 1867, 1.15)
	require.InDelta(t, 594, float64(strip.Candela()), 0.5)
	for d, want := range map[float64]float64{0.25: 3155, 0.5: 1395, 1: 493, 2: 141, 3: 64.5} {
		within(t, want, float64(strip.Facing(d, 0)), 0.002, "lux")
	}
	require.InDelta(t, 594, float64(photometry.InverseSquare(strip.Candela(), 1, 1)), 0.5, "plain inverse square at 1 m")
}

// TestTubeAgainstInverseSquare checks the table of E/(I0/d²) by d/l: inverse
// square errs under 4 % past 2 l and under 1 % past about 4 l.
func TestTubeAgainstInverseSquare(t *testing.T) {
	const length = 0.7
	strip := newStrip(t, 1000, length)
	share := func(lengths float64) float64 {
		d := lengths * length
		return float64(strip.Facing(d, 0) / photometry.InverseSquare(strip.Candela(), 1, d))
	}
	for lengths, want := range map[float64]float64{0.5: 0.643, 1: 0.864, 1.5: 0.933, 2: 0.960, 3: 0.982, 5: 0.993} {
		require.InDelta(t, want, share(lengths), 0.0006, "%v lengths", lengths)
	}
	last := 0.0
	for lengths := 0.05; lengths < 100; lengths *= 1.1 {
		now := share(lengths)
		require.Greater(t, now, last, "nearer to inverse square with every step")
		require.Less(t, now, 1.0)
		last = now
	}
	require.Greater(t, share(2.05), 0.96)
	require.Greater(t, share(4.1), 0.99)
	require.InDelta(t, 1, share(1e4), 1e-7)
}

// TestTubeAllRound: Φ = π² I of the handbook, and close to a long one E = π I'/(2d).
func TestTubeAllRound(t *testing.T) {
	tube := newTube(t, 1867, 1.15)
	require.InDelta(t, 1867/(math.Pi*math.Pi), float64(tube.Candela()), 1e-9)
	require.InDelta(t, math.Pi, float64(newStrip(t, 1867, 1.15).PerMetre/tube.PerMetre), 1e-12)
	within(t, math.Pi*float64(tube.PerMetre)/(2*0.01), float64(tube.Facing(0.01, 0)), 1e-5, "long line")
	within(t, 2*float64(tube.Facing(0.3, 0)), float64(tube.Scale(2).Facing(0.3, 0)), 1e-12, "twice the light")
}

// TestLineGivesItsLumens adds up what falls on a wide cylinder, and its ends
// left open, round the line: that is what the line gives.
func TestLineGivesItsLumens(t *testing.T) {
	tube, strip := newTube(t, 1000, 1), newStrip(t, 1000, 1)
	const radius, reach = 0.5, 400
	around := func(l photometry.Line) float64 { // per radian round the line
		return integral(func(u float64) float64 {
			x := math.Sinh(u)
			return float64(l.Facing(radius, x)) * radius * math.Cosh(u)
		}, -math.Asinh(reach), math.Asinh(reach))
	}
	within(t, 1000, around(tube)*2*math.Pi, 1e-5, "all round")
	front := integral(func(a float64) float64 { return around(strip.Scale(math.Cos(a))) }, -math.Pi/2, math.Pi/2)
	within(t, 1000, front, 1e-5, "in front")
}

// TestLineOn checks every receiver against the plain sum over the line.
func TestLineOn(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for i := range 500 {
		l := newTube(t, photometry.Lumens(100+2000*rng.Float64()), 0.1+2*rng.Float64())
		d, x := 0.05+3*rng.Float64(), 3*(rng.Float64()-0.5)
		turn := 2 * math.Pi * rng.Float64()
		across, along := math.Cos(turn), math.Sin(turn)
		if i%5 == 0 {
			across, along = 1, 0
		}
		want := integral(func(s float64) float64 {
			r := math.Hypot(d, s-x)
			cos := (across*d + along*(s-x)) / r
			return float64(photometry.InverseSquare(l.PerMetre*photometry.Candela(d/r), cos, r))
		}, -l.Length/2, l.Length/2)
		got := float64(l.On(d, x, across, along))
		require.InDelta(t, want, got, 1e-6+0.002*want, "%v at %v, %v looking %v, %v", l, d, x, across, along)
		require.InDelta(t, got, float64(l.On(d, -x, across, -along)), 1e-9*got+1e-12, "mirrored")
	}
	l := newStrip(t, 1000, 1.2)
	require.InDelta(t, float64(l.Facing(0.4, 0.3)), float64(l.On(0.4, 0.3, 1, 0)), 1e-12)
	require.Zero(t, l.On(0.4, 0, -1, 0), "turned away")
	require.Zero(t, l.On(0.4, 1, 0, 1), "past the end, looking on")
	require.Zero(t, l.On(0.4, -1, 0, -1), "before the start, looking back")
}

// TestLineIsTheSumOfItsPixels: per-pixel looks add up the pixels as short strips.
func TestLineIsTheSumOfItsPixels(t *testing.T) {
	whole := newStrip(t, 1600, 1.15)
	const pixels = 16
	for _, at := range [][2]float64{{0.2, 0}, {1, 0.5}, {3, -2}} {
		var sum float64
		for i := range pixels {
			pixel := newStrip(t, 1600.0/pixels, 1.15/pixels)
			middle := (float64(i) + 0.5 - pixels/2) * 1.15 / pixels
			sum += float64(pixel.On(at[0], at[1]-middle, 0.6, 0.8))
		}
		within(t, float64(whole.On(at[0], at[1], 0.6, 0.8)), sum, 1e-9, "sum of pixels")
	}
}

func TestLineErrors(t *testing.T) {
	for _, bad := range [][2]float64{{-1, 1}, {100, 0}, {100, -1}, {math.NaN(), 1}, {100, math.NaN()}, {math.Inf(1), 1}, {1, math.Inf(1)}} {
		_, err := photometry.NewStrip(photometry.Lumens(bad[0]), bad[1])
		require.Error(t, err)
		_, err = photometry.NewTube(photometry.Lumens(bad[0]), bad[1])
		require.Error(t, err)
	}
	_, err := photometry.NewTube(1000, 0)
	require.EqualError(t, err, "a tube of 1000 lm and 0 m: it has a length and some light or none; give a length above 0 in metres and lumens of 0 and up")
	require.Zero(t, photometry.Line{}.Facing(1, 0), "the zero line is dark")
}
