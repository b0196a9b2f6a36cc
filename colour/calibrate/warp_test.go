package calibrate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/calibrate"
	"linkboy/colour/spectra"
)

// apart is the share of power that two spectra do not have in common, 0 to 1.
func apart(a, b spectra.Spectrum) float64 {
	var sum float64
	pa, pb := a.Power(), b.Power()
	for i := range a {
		sum += math.Abs(a[i]/pa-b[i]/pb) / 2
	}
	return sum
}

// The peak and the width of another bin of the same LED are found from its xy
// alone, where the observer tells them apart: 1 % of the power lies elsewhere,
// against up to 28 % before. Amber lies where the locus is straight, so that its
// width hardly shows.
func TestWarpFindsTheBin(t *testing.T) {
	for _, c := range []struct {
		name        string
		made, unit  spectra.Spectrum
		most, least float64 // apart after, and before
	}{
		{"green up", led(525, 33), led(531, 35), 0.01, 0.14},
		{"green down", led(525, 33), led(518, 30), 0.01, 0.18},
		{"cyan up", led(500, 28), led(506, 30), 0.01, 0.16},
		{"blue down", led(465, 23), led(459, 21), 0.01, 0.22},
		{"blue up", led(465, 23), led(470, 25), 0.01, 0.17},
		{"royal up", led(450, 20), led(455, 22), 0.01, 0.19},
		{"red down", led(630, 18), led(624, 19), 0.01, 0.26},
		{"red up", led(630, 18), led(636, 17), 0.01, 0.27},
		{"amber up", led(592, 16), led(597, 18), 0.06, 0.23},
		{"lime down", led(555, 105), led(550, 100), 0.02, 0.04},
	} {
		xy := c.unit.XYZ().XY()
		warped, reached := calibrate.Warp(c.made, xy)
		require.InDelta(t, xy.X, reached.X, 1e-6, c.name)
		require.InDelta(t, xy.Y, reached.Y, 1e-6, c.name)
		require.Equal(t, reached, warped.XYZ().XY(), c.name)
		require.Greater(t, apart(c.made, c.unit), c.least, c.name)
		require.Less(t, apart(warped, c.unit), c.most, c.name)
	}
}

// Any chromaticity that light can have is met, from any emitter: a grid of xy
// with 0.003 to the spectral locus. Powers stay finite and never fall below 0,
// and their sum is kept.
func TestWarpMeetsAnyColour(t *testing.T) {
	warm := tube().Emitters[3].Spectrum
	for _, s := range []spectra.Spectrum{led(630, 18), led(465, 23), warm} {
		for x := 0.02; x < 0.75; x += 0.06 {
			for y := 0.02; y < 0.85; y += 0.06 {
				xy, out := colour.XY{X: x, Y: y}, colour.XY{X: x + 0.03*(x-1./3), Y: y + 0.03*(y-1./3)}
				if !xy.Valid() || !out.Valid() {
					continue
				}
				warped, reached := calibrate.Warp(s, xy)
				require.InDelta(t, 0, math.Hypot(reached.X-x, reached.Y-y), 1.1e-6, "%v", xy)
				require.InEpsilon(t, s.Power(), warped.Power(), 1e-9)
				for _, p := range warped {
					require.True(t, p >= 0 && !math.IsInf(p, 0))
				}
			}
		}
	}
}

// Of a red, meters often show a little less than the locus has; and a reading
// can lie past it by its last digit. What is reached then is next to it.
func TestWarpAtTheEdge(t *testing.T) {
	for _, xy := range []colour.XY{{X: 0.69, Y: 0.30}, {X: 0.70, Y: 0.2995}, {X: 0.70, Y: 0.3003}, {X: 0.71, Y: 0.29}, {X: 0.1370, Y: 0.0440}} {
		s := led(630, 18)
		if xy.X < 0.5 {
			s = led(465, 23)
		}
		warped, reached := calibrate.Warp(s, xy)
		require.Less(t, reached.UV().Distance(xy.UV()), 0.002, "%v", xy)
		require.Less(t, apart(s, warped), 0.6, "%v: still a light of that kind", xy)
	}
	s := led(630, 18)
	same, reached := calibrate.Warp(s, s.XYZ().XY())
	require.Equal(t, s, same, "what is there already is left alone")
	require.Equal(t, s.XYZ().XY(), reached)
	dark, _ := calibrate.Warp(spectra.Spectrum{}, colour.D65)
	require.Equal(t, spectra.Spectrum{}, dark)
}

// The change of a white is the least by relative entropy: moving on from it in
// any direction that keeps the chromaticity makes the entropy larger. Directions
// are random bumps of light, made blind to x and y by the others.
func TestWarpIsTheLeastChange(t *testing.T) {
	s := tube().Emitters[3].Spectrum
	xy := colour.XY{X: 0.47, Y: 0.39}
	warped, reached := calibrate.Warp(s, xy)
	least := entropy(warped, s)
	noise := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		other := warped
		d := blind(noise, reached)
		for i := range other {
			other[i] *= 1 + 0.02*d[i]
		}
		got := other.XYZ().XY()
		require.InDelta(t, reached.X, got.X, 2e-5)
		require.InDelta(t, reached.Y, got.Y, 2e-5)
		require.Greater(t, entropy(other.Scale(s.Power()/other.Power()), s), least)
	}
	require.Greater(t, least, 1e-3, "the test must have something to do")
}

// entropy is Σ s' ln(s'/s) of two spectra of the same power.
func entropy(after, before spectra.Spectrum) float64 {
	var sum float64
	for i, p := range after {
		if p > 0 && before[i] > 0 {
			sum += p * math.Log(p/before[i])
		}
	}
	return sum
}

// blind returns a change of the warm white's powers, as a share of each and at
// most about 1, that adds up to no change of chromaticity xy.
func blind(noise *rand.Rand, xy colour.XY) [spectra.Samples]float64 {
	warped, _ := calibrate.Warp(tube().Emitters[3].Spectrum, xy)
	var bumps [3]spectra.Spectrum
	var off [3][2]float64 // of X - x S and Y - y S
	for k := range bumps {
		bumps[k] = spectra.Ohno(440+200*noise.Float64(), 20+40*noise.Float64())
		light := warped
		for i := range light {
			light[i] *= bumps[k][i]
		}
		c := light.XYZ()
		sum := c.X + c.Y + c.Z
		off[k] = [2]float64{c.X - xy.X*sum, c.Y - xy.Y*sum}
	}
	// The cross product of the two rows mixes the three bumps to nothing.
	mix := [3]float64{
		off[1][0]*off[2][1] - off[2][0]*off[1][1],
		off[2][0]*off[0][1] - off[0][0]*off[2][1],
		off[0][0]*off[1][1] - off[1][0]*off[0][1],
	}
	most := max(math.Abs(mix[0]), math.Abs(mix[1]), math.Abs(mix[2]))
	var d [spectra.Samples]float64
	for i := range d {
		for k := range mix {
			d[i] += mix[k] / most * bumps[k][i]
		}
	}
	return d
}

func ExampleWarp() {
	green := spectra.Ohno(525, 33/0.9218)
	warped, reached := calibrate.Warp(green, colour.XY{X: 0.17, Y: 0.74})
	peak := 0
	for i, p := range warped {
		if p > warped[peak] {
			peak = i
		}
	}
	fmt.Printf("peak %d nm, xy %.4f %.4f\n", spectra.FirstNM+peak, reached.X, reached.Y)
	// Output: peak 527 nm, xy 0.1700 0.7400
}

func BenchmarkWarp(b *testing.B) {
	s, xy := led(525, 33), led(531, 35).XYZ().XY()
	b.ReportAllocs()
	for b.Loop() {
		calibrate.Warp(s, xy)
	}
}
