package photometry_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"linkboy/colour/photometry"
)

// integral is a reference from outside: Gauss-Legendre of the gonum library in
// pieces, so that a kink or a narrow peak does not matter.
func integral(f func(float64) float64, from, to float64) float64 {
	return integralIn(64, f, from, to)
}

// integralIn is integral in a chosen number of pieces.
func integralIn(pieces int, f func(float64) float64, from, to float64) float64 {
	var sum float64
	for i := range pieces {
		a := from + (to-from)*float64(i)/float64(pieces)
		b := from + (to-from)*float64(i+1)/float64(pieces)
		sum += quad.Fixed(f, a, b, 20, nil, 0)
	}
	return sum
}

// vector is a point or a direction in space.
type vector [3]float64

func (v vector) scale(k float64) vector { return vector{v[0] * k, v[1] * k, v[2] * k} }
func (v vector) dot(w vector) float64   { return v[0]*w[0] + v[1]*w[1] + v[2]*w[2] }
func (v vector) length() float64        { return math.Sqrt(v.dot(v)) }
func (v vector) unit() vector           { return v.scale(1 / v.length()) }
func (v vector) cross(w vector) vector {
	return vector{v[1]*w[2] - v[2]*w[1], v[2]*w[0] - v[0]*w[2], v[0]*w[1] - v[1]*w[0]}
}

// within checks a number to a share of it.
func within(t *testing.T, want, got, share float64, name string) {
	t.Helper()
	require.InDelta(t, want, got, math.Abs(want)*share, name)
}

func newBeam(t testing.TB, f photometry.Lumens, beam photometry.Degrees) photometry.Beam {
	t.Helper()
	b, err := photometry.NewBeam(f, beam)
	require.NoError(t, err)
	return b
}

func newBeamField(t testing.TB, f photometry.Lumens, beam, field photometry.Degrees) photometry.Beam {
	t.Helper()
	b, err := photometry.NewBeamField(f, beam, field)
	require.NoError(t, err)
	return b
}

func newStrip(t testing.TB, f photometry.Lumens, length float64) photometry.Line {
	t.Helper()
	l, err := photometry.NewStrip(f, length)
	require.NoError(t, err)
	return l
}

func newTube(t testing.TB, f photometry.Lumens, length float64) photometry.Line {
	t.Helper()
	l, err := photometry.NewTube(f, length)
	require.NoError(t, err)
	return l
}

func newDisc(t testing.TB, f photometry.Lumens, radius float64) photometry.Disc {
	t.Helper()
	s, err := photometry.NewDisc(f, radius)
	require.NoError(t, err)
	return s
}

func newPanel(t testing.TB, f photometry.Lumens, width, height float64) photometry.Panel {
	t.Helper()
	p, err := photometry.NewPanel(f, width, height)
	require.NoError(t, err)
	return p
}
