package colour_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
)

// statedWithin is how near the source of a row of cct_duv_pairs.csv comes to
// the exact search: in kelvin and in Duv, as the head of the table says.
func statedWithin(source string) (kelvin, duv float64) {
	switch {
	case strings.HasPrefix(source, "reference library test"): // Ohno's method, 1 % table
		return 0.2, 1.1e-6
	case strings.HasPrefix(source, "zscilib"): // its own tolerance
		return 10, 1e-4
	case strings.HasPrefix(source, "ANSI C78.377"): // xy rounded to 4 decimals
		return 2.5, 3e-5
	default: // white points by their nominal names
		return 2.2, 0
	}
}

func TestCCTOfEveryPair(t *testing.T) {
	for _, r := range readTable(t, "cct_duv_pairs.csv") {
		name := r["source"]
		p := colour.XY{X: r.Num(t, "x"), Y: r.Num(t, "y")}
		// Rows that were given in uv have xy rounded to 6 decimals.
		var u, v float64
		exactly := 0.06 // K, from the rounding of xy
		if n, _ := fmt.Sscanf(r["note"], "uv given as %f %f", &u, &v); n == 2 {
			p = colour.FromUV60(u, v)
			exactly = 6e-4
		} else if !strings.HasPrefix(name, "reference") && !strings.HasPrefix(name, "zscilib") && name != "white point E" {
			exactly = 6e-4
		}
		got, inside := colour.NearestOnLocus(p)
		require.True(t, inside, name)
		require.InDelta(t, r.Num(t, "CCT_calc"), float64(got.T), exactly, name)
		require.InDelta(t, r.Num(t, "Duv_calc"), float64(got.Duv), 1.5e-6, name)
		kelvin, duv := statedWithin(name)
		if r.Has("CCT_src") {
			require.InDelta(t, r.Num(t, "CCT_src"), float64(got.T), kelvin, name)
		}
		if r.Has("Duv_src") {
			require.InDelta(t, r.Num(t, "Duv_src"), float64(got.Duv), duv, name)
		}

		c, err := p.CCT()
		if math.Abs(float64(got.Duv)) > 0.05 {
			requireMend(t, err)
			require.ErrorContains(t, err, "0.05")
			continue
		}
		require.NoError(t, err, name)
		require.Equal(t, got, c)
	}
}

func TestXYOfEveryCCT(t *testing.T) {
	for _, r := range readTable(t, "xy_from_cct_duv.csv") {
		want := colour.CCT{T: colour.Kelvin(r.Num(t, "CCT_K")), Duv: colour.Duv(r.Num(t, "Duv"))}
		p, err := want.XY()
		require.NoError(t, err)
		require.InDelta(t, r.Num(t, "x"), p.X, 7e-7, "%v", want)
		require.InDelta(t, r.Num(t, "y"), p.Y, 7e-7, "%v", want)
		var x, y float64
		if n, _ := fmt.Sscanf(r["note"], "standard: %f %f", &x, &y); n == 2 {
			// ANSI C78.377-2008, as printed to 4 decimals.
			require.InDelta(t, x, p.X, 5.1e-5, "%v", want)
			require.InDelta(t, y, p.Y, 5.1e-5, "%v", want)
		} else {
			require.Equal(t, "grid", r["set"])
		}
		requireRoundTrip(t, want, p)
	}
}

// requireRoundTrip requires the way back from p to want.
func requireRoundTrip(t *testing.T, want colour.CCT, p colour.XY) {
	t.Helper()
	got, err := p.CCT()
	require.NoError(t, err, "%v", want)
	require.InDelta(t, float64(want.T.Mired()), float64(got.T.Mired()), 1e-8, "%v", want)
	require.InDelta(t, float64(want.Duv), float64(got.Duv), 1e-12, "%v", want)
}

func TestCCTThereAndBack(t *testing.T) {
	for mired := colour.Mired(1); mired <= 1000; mired += 1.37 {
		for duv := colour.Duv(-0.05); duv <= 0.05; duv += 0.005 {
			want := colour.CCT{T: mired.Kelvin(), Duv: duv}
			p, err := want.XY()
			require.NoError(t, err)
			requireRoundTrip(t, want, p)
		}
	}
	for _, end := range []colour.Kelvin{1000, 1e6} {
		for _, duv := range []colour.Duv{-colour.MaxDuv, 0, colour.MaxDuv} {
			want := colour.CCT{T: end, Duv: duv}
			p, err := want.XY()
			require.NoError(t, err)
			requireRoundTrip(t, want, p)
		}
	}
}

// The nearest point is found again by looking along the whole locus in small
// steps, which needs no calculus.
func TestCCTIsTheNearestPoint(t *testing.T) {
	for _, p := range []colour.XY{{X: 0.3127, Y: 0.3290}, {X: 0.45, Y: 0.44}, {X: 0.38, Y: 0.33}, {X: 0.26, Y: 0.28}, {X: 0.6, Y: 0.36}} {
		best, at := math.Inf(1), colour.Mired(0)
		for m := colour.Mired(1); m <= 1000; m += 0.02 {
			on, err := colour.Planckian(m.Kelvin())
			require.NoError(t, err)
			if d := math.Hypot(uv60Step(on, p)); d < best {
				best, at = d, m
			}
		}
		c, inside := colour.NearestOnLocus(p)
		require.True(t, inside)
		require.InDelta(t, float64(at), float64(c.T.Mired()), 0.02)
		require.InDelta(t, best, math.Abs(float64(c.Duv)), 1e-8)
	}
}

func TestCCTRefuses(t *testing.T) {
	for name, p := range map[string]colour.XY{
		"redder":                {X: 0.70, Y: 0.29},
		"bluer":                 {X: 0.15, Y: 0.05},
		"0.05":                  {X: 0.30, Y: 0.60},
		"no chromaticity":       {X: math.NaN(), Y: 0.3},
		"no chromaticity ":      {},
		"no chromaticity, too":  {X: math.Inf(1), Y: 0.3},
		"no chromaticity, also": {X: 1.5, Y: 0}, // where u'v' runs to infinity
	} {
		_, err := p.CCT()
		requireMend(t, err)
		require.ErrorContains(t, err, strings.TrimRight(strings.Split(name, ",")[0], " "))
	}
	// CIE 15:2004, section 9.5 (from memory): no correlated colour temperature past 0.05.
	for _, side := range []float64{-1, 1} {
		near, err := colour.CCT{T: 5600, Duv: colour.Duv(side) * colour.MaxDuv}.XY()
		require.NoError(t, err)
		on, err := colour.Planckian(5600)
		require.NoError(t, err)
		u, v := colour.UV60(on)
		du, dv := uv60Step(on, near)
		_, err = colour.FromUV60(u+1.0001*du, v+1.0001*dv).CCT()
		requireMend(t, err)
		_, err = colour.FromUV60(u+0.9999*du, v+0.9999*dv).CCT()
		require.NoError(t, err)
	}
	for _, duv := range []colour.Duv{0.0501, -0.06, 5, colour.Duv(math.NaN())} {
		_, err := colour.CCT{T: 5600, Duv: duv}.XY()
		requireMend(t, err)
	}
}

func FuzzCCT(f *testing.F) {
	f.Add(5600.0, 0.0)
	f.Add(1000.0, 0.05)
	f.Add(1e6, -0.05)
	f.Add(2444.97, -0.05) // far inside the bend of the locus
	f.Fuzz(func(t *testing.T, kelvin, duv float64) {
		want := colour.CCT{T: colour.Kelvin(kelvin), Duv: colour.Duv(duv)}
		p, err := want.XY()
		if err != nil {
			requireMend(t, err)
			return
		}
		requireRoundTrip(t, want, p)
	})
}

// FuzzCCTOf takes any point: the answer is a white that leads back to it, or
// an error.
func FuzzCCTOf(f *testing.F) {
	f.Add(0.3127, 0.3290)
	f.Add(0.0, 0.0)
	f.Add(1e300, -1e300)
	f.Fuzz(func(t *testing.T, x, y float64) {
		p := colour.XY{X: x, Y: y}
		c, err := p.CCT()
		if err != nil {
			requireMend(t, err)
			return
		}
		back, err := c.XY()
		require.NoError(t, err)
		require.InDelta(t, x, back.X, 1e-8)
		require.InDelta(t, y, back.Y, 1e-8)
	})
}

func TestCCTDoesNotAllocate(t *testing.T) {
	require.Zero(t, testing.AllocsPerRun(100, func() {
		c, _ := colour.D65.CCT()
		_, _ = c.XY()
	}))
}

// BenchmarkCCT is held against "sum", one Planckian point by summing Planck's
// law at 1 nm: a search by sums would take dozens of them.
func BenchmarkCCT(b *testing.B) {
	b.Run("sum", func(b *testing.B) {
		for b.Loop() {
			colour.PlanckSum(178)
		}
	})
	b.Run("to CCT", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := colour.D65.CCT(); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("to xy", func(b *testing.B) {
		b.ReportAllocs()
		c := colour.CCT{T: 5600, Duv: 0.003}
		for b.Loop() {
			if _, err := c.XY(); err != nil {
				b.Fatal(err)
			}
		}
	})
}
