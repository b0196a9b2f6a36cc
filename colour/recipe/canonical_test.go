package recipe_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/colour/recipe"
	"linkboy/colour/spectra"
)

// The spectrum of a colour has that colour and is positive, up to the purest colours of
// the wheel.
func TestCanonicalHasTheColour(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 3000 {
		p := anyColour(r)
		if recipe.Pureness(p) >= 1 {
			continue
		}
		s, ok := recipe.Canonical(p)
		require.True(t, ok, "%v", p)
		got := s.XYZ().XY()
		require.InDelta(t, p.X, got.X, 1e-10)
		require.InDelta(t, p.Y, got.Y, 1e-10)
		for _, v := range s {
			require.True(t, v >= 0 && !math.IsInf(v, 0))
		}
	}
	for _, p := range []colour.XY{{X: 0.9, Y: 0.05}, {}, {X: math.NaN(), Y: 0.3}} {
		_, ok := recipe.Canonical(p)
		require.False(t, ok, "%v", p)
	}
}

// entropy returns the relative entropy of s to the canonical white, for measures of any
// sum: Σ s ln(s/w) - s + w, 0 or more and 0 only for the white itself (Kullback 1959).
func entropy(s *spectra.Spectrum) (sum float64) {
	for i, w := range recipe.CanonicalWhite() {
		if s[i] > 0 {
			sum += s[i] * math.Log(s[i]/w)
		}
		sum += w - s[i]
	}
	return sum
}

// No other spectrum of the chromaticity has less relative entropy. The others differ by
// what the eye does not see: random bumps less their part along the observer's functions.
func TestCanonicalTellsLeast(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	tried := 0
	for range 300 {
		p := anyColour(r)
		if recipe.Pureness(p) >= 0.9 {
			continue
		}
		s, ok := recipe.Canonical(p)
		require.True(t, ok)
		least := entropy(&s)
		require.GreaterOrEqual(t, least, -1e-15)
		for range 10 {
			other := unseen(r, &s)
			got := other.XYZ().XY()
			require.InDelta(t, p.X, got.X, 1e-9)
			require.InDelta(t, p.Y, got.Y, 1e-9)
			require.Greater(t, entropy(&other), least)
			tried++
		}
	}
	require.Greater(t, tried, 1000)
	white, ok := recipe.Canonical(recipe.CanonicalWhite().XYZ().XY())
	require.True(t, ok)
	require.InDelta(t, 0, entropy(&white), 1e-12, "the white itself")
}

// unseen returns s plus something that changes neither X, Y nor Z: s times a random bump
// less the best fit of the observer's functions, weighted by s.
func unseen(r *rand.Rand, s *spectra.Spectrum) spectra.Spectrum {
	bump := spectra.Ohno(400+280*r.Float64(), 10+60*r.Float64())
	functions := spectra.CIE1931.Functions()
	var a [3][4]float64 // normal equations Σ s f fᵀ k = Σ s f bump
	for i, f := range functions {
		for j := range f {
			for k := range f {
				a[j][k] += s[i] * f[j] * f[k]
			}
			a[j][3] += s[i] * f[j] * bump[i]
		}
	}
	k := solve3(a)
	var most float64
	change := spectra.Spectrum{}
	for i, f := range functions {
		change[i] = bump[i] - k[0]*f[0] - k[1]*f[1] - k[2]*f[2]
		most = max(most, math.Abs(change[i]))
	}
	share := 0.5 / most
	out := *s
	for i := range out {
		out[i] *= 1 + share*change[i]
	}
	return out
}

// solve3 solves three linear equations by Gauss's elimination with the largest pivot.
func solve3(a [3][4]float64) (x [3]float64) {
	for i := range a {
		best := i
		for j := i + 1; j < 3; j++ {
			if math.Abs(a[j][i]) > math.Abs(a[best][i]) {
				best = j
			}
		}
		a[i], a[best] = a[best], a[i]
		for j := i + 1; j < 3; j++ {
			f := a[j][i] / a[i][i]
			for k := range a[j] {
				a[j][k] -= f * a[i][k]
			}
		}
	}
	for i := 2; i >= 0; i-- {
		x[i] = a[i][3]
		for k := i + 1; k < 3; k++ {
			x[i] -= a[i][k] * x[k]
		}
		x[i] /= a[i][i]
	}
	return x
}

// The table gives what the camera sees of the canonical spectrum itself: within 0.01 of
// the hottest channel up to nine tenths of the way to the purest colours. Colours purer
// than the wheel count as its outermost ring.
func TestReferenceIsThatOfTheSpectrum(t *testing.T) {
	for _, sensor := range camera.Sensors() {
		view := viewOf(sensor.Name)
		ref := recipe.NewReference(view)
		r := rand.New(rand.NewPCG(9, 10))
		near, far := 0.0, 0.0
		for range 3000 {
			p := anyColour(r)
			pure := recipe.Pureness(p)
			if pure >= 0.975 {
				continue
			}
			s, ok := recipe.Canonical(p)
			require.True(t, ok)
			want := view.See(s).Scale(1 / s.XYZ().Y)
			got := ref.Colour(p)
			top, _ := want.Hottest()
			off := max(math.Abs(got.R-want.R), math.Abs(got.G-want.G), math.Abs(got.B-want.B)) / top
			if pure < 0.9 {
				near = max(near, off)
			} else {
				far = max(far, off)
			}
		}
		t.Logf("%s: largest error %.2g of the hottest channel, %.2g beyond 0.9", sensor.Name, near, far)
		require.Less(t, near, 0.01, sensor.Name)
		require.Less(t, far, 0.02, sensor.Name)
	}
}

// For whites the reference is what the camera sees of the reference white.
func TestReferenceOfWhites(t *testing.T) {
	view := reference().View()
	for mired := 41.0; mired < 999; mired += 3.3 {
		s := recipe.WhiteLight(mired)
		want, got := view.See(s), reference().At(s.XYZ().XY())
		top, _ := want.Hottest()
		require.InDelta(t, want.R, got.R, 1e-3*top, "%g mired", mired)
		require.InDelta(t, want.G, got.G, 1e-3*top, "%g mired", mired)
		require.InDelta(t, want.B, got.B, 1e-3*top, "%g mired", mired)
	}
	neutral := reference().At(white)
	require.InDelta(t, 1, neutral.R, 0.01, "near the balance, 4300 K, the camera sees about neutral")
	require.InDelta(t, 1, neutral.B, 0.01)
}

// No lamp, no step: the reference moves with the colour everywhere.
func TestReferenceMovesWithoutAStep(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	const step = 1e-7
	for range 20000 {
		p := anyColour(r)
		q := colour.XY{X: p.X + step*r.NormFloat64(), Y: p.Y + step*r.NormFloat64()}
		a, b := reference().At(p), reference().At(q)
		top, _ := a.Hottest()
		for _, d := range []float64{a.R - b.R, a.G - b.G, a.B - b.B} {
			require.InDelta(t, 0, d/top, 1e-3, "%v", p)
		}
	}
}
