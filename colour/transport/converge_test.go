package transport_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/transport"
)

// slope fits a line to the logarithms of errors against those of what was spent on them, by
// least squares.
func slope(n []int, errors []float64) float64 {
	var sx, sy, sxx, sxy float64
	for i, e := range errors {
		x, y := math.Log(float64(n[i])), math.Log(e)
		sx, sy, sxx, sxy = sx+x, sy+y, sxx+x*x, sxy+x*y
	}
	k := float64(len(n))
	return (k*sxy - sx*sy) / (k*sxx - sx*sx)
}

// In the soft edge of a shadow, light that is summed over points by chance comes nearer to
// what it is as 1/√N (the law of large numbers): error against N has the slope -1/2.
func TestDirectLightConverges(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	p := &transport.Place{
		Pieces: crate(t, vec{X: -0.5, Y: -0.5, Z: 1}, vec{X: 0.5, Y: 1, Z: 0.05}, 0),
		Sources: []transport.Source{
			{Centre: vec{Z: 3}, Along: vec{X: 0.5}, Across: vec{Y: 0.5}, Facing: vec{Z: -1}, Beam: transport.Lambert{}},
		},
	}
	counts := []int{4, 16, 64, 256, 1024}
	const spots = 24
	sums := make([]float64, len(counts))
	for i := range spots {
		x := -0.1 + 0.2*float64(i)/(spots-1) // the edge is from -0.125 to 0.125 m
		exact := float64(transport.DirectBy(p, vec{X: x}, vec{Z: 1}, 1<<17, 1)[0])
		require.Positive(t, exact)
		for k, n := range counts {
			for try := range 8 {
				got := float64(transport.DirectBy(p, vec{X: x}, vec{Z: 1}, n, 100+1000*i+try)[0])
				sums[k] += (got - exact) * (got - exact)
			}
		}
	}
	errors := make([]float64, len(counts))
	for k, s := range sums {
		errors[k] = math.Sqrt(s / (spots * 8))
	}
	require.InDelta(t, -0.5, slope(counts, errors), 0.06, "%v", errors)
}

// Bounced light comes nearer as 1/√N with the rays of each texel, or somewhat faster, as
// they are spread evenly; half as fast would be a bias.
func TestBouncedLightConverges(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	p := &transport.Place{Pieces: room(t, vec{X: 4, Y: 3, Z: 2.5}, 0.5), Sources: []transport.Source{{Centre: vec{X: 1, Y: 1, Z: 1.2}, Along: vec{X: 1}}}}
	all := func(rays int) []float32 {
		return compute(t, p, transport.Options{Texels: 500, Rays: rays, Bounces: 1}).Lux[0]
	}
	exact := all(1 << 13)
	counts := []int{8, 32, 128, 512}
	errors := make([]float64, len(counts))
	for k, n := range counts {
		for i, v := range all(n) {
			errors[k] += math.Pow(float64(v-exact[i])/float64(exact[i]), 2)
		}
		errors[k] = math.Sqrt(errors[k] / float64(len(exact)))
	}
	s := slope(counts, errors)
	require.Less(t, s, -0.44, "%v", errors)
	require.Greater(t, s, -1.1, "%v", errors)
	t.Logf("error against rays: slope %.2f", s)
}
