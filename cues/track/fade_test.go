package track_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"linkboy/cues/track"
)

// slow is what a fade means, written for reading: the position of one slot,
// with every knot and both ends in one list, in 64 bits.
func slow(f *track.Fade, start track.Still, slot int, p float64) float64 {
	from, to := float64(f.From[slot]), float64(f.To[slot])
	rest := float64(start[slot]) - from
	for _, m := range f.Moves {
		if int32(slot) < m.First || int32(slot) >= m.First+m.N {
			continue
		}
		t := 1.0
		if end := float64(m.Start) + float64(m.Length); p < end {
			t = max(0, p-float64(m.Start)) / float64(m.Length)
		}
		if t == 0 {
			return float64(start[slot]) // it waits
		}
		switch m.Curve {
		case track.Soft: // smoothstep: t²(3-2t), OpenGL Shading Language 4.60, 8.3 (from memory)
			t = t * t * (3 - 2*t)
		case track.In:
			t *= t
		case track.Out:
			t = 1 - (1-t)*(1-t)
		}
		type knot struct{ t, v float64 }
		knots := []knot{{0, from}}
		for k := range m.Knots {
			v := f.Values[m.ValueAt+k*m.N+int32(slot)-m.First]
			knots = append(knots, knot{float64(f.Times[m.TimeAt+k]), float64(v)})
		}
		knots = append(knots, knot{1, to})
		for i := 1; i < len(knots); i++ {
			if a, b := knots[i-1], knots[i]; t >= a.t && t < b.t {
				v := a.v + (b.v-a.v)*(t-a.t)/(b.t-a.t)
				return min(max(v+rest*(1-t), 0), 1)
			}
		}
		return to
	}
	if from == to {
		return to + rest*(1-p)
	}
	return to
}

// TestFadeAgainstSlow compares every slot of random fades with the slow form.
func TestFadeAgainstSlow(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		n := 1 + r.IntN(60)
		f := randomFade(r, n)
		require.NoError(t, f.Validate(n))
		start, got := randomStill(r, n), make(track.Still, n)
		for range 20 {
			p := r.Float64()
			f.At(p, got)
			for i, v := range got {
				require.InDelta(t, slow(f, f.From, i, p), v, 2e-6, "At(%v), slot %d of %+v", p, i, f)
			}
			f.AtFrom(p, start, got)
			for i, v := range got {
				require.InDelta(t, slow(f, start, i, p), v, 2e-6, "AtFrom(%v), slot %d of %+v", p, i, f)
			}
		}
	}
}

func TestFadeEndsExactly(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		n := 1 + r.IntN(40)
		f := randomFade(r, n)
		start, got := randomStill(r, n), make(track.Still, n)
		for _, p := range []float64{0, -1, math.Inf(-1), math.NaN()} {
			f.At(p, got)
			require.Equal(t, f.From, got, "At(%v)", p)
			f.AtFrom(p, start, got)
			require.Equal(t, start, got, "AtFrom(%v)", p)
		}
		for _, p := range []float64{1, 1.5, math.Inf(1)} {
			f.At(p, got)
			require.Equal(t, f.To, got, "At(%v)", p)
			f.AtFrom(p, start, got)
			require.Equal(t, f.To, got, "AtFrom(%v)", p)
		}
	}
}

// TestFadeFromItsOwnStart: with no difference to blend, AtFrom is At to the bit.
func TestFadeFromItsOwnStart(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		n := 1 + r.IntN(40)
		f := randomFade(r, n)
		a, b := make(track.Still, n), make(track.Still, n)
		for range 10 {
			p := r.Float64()
			f.At(p, a)
			f.AtFrom(p, f.From, b)
			require.Equal(t, a, b)
		}
	}
}

// TestFadeWithoutKnotsIsMonotone: a straight move never turns back and never
// passes its end, not even by the last bit.
func TestFadeWithoutKnotsIsMonotone(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 200 {
		f := &track.Fade{From: randomStill(r, 8), To: randomStill(r, 8), Moves: []track.Move{{N: 8, Length: 1, Curve: track.Ease(r.IntN(4))}}}
		last, got := append(track.Still{}, f.From...), make(track.Still, 8)
		for step := range 2001 {
			f.At(float64(step)/2000, got)
			for i, v := range got {
				up := v >= last[i] && v <= f.To[i]
				down := v <= last[i] && v >= f.To[i]
				if f.From[i] <= f.To[i] && !up || f.From[i] >= f.To[i] && !down {
					t.Fatalf("%v after %v on the way from %v to %v", v, last[i], f.From[i], f.To[i])
				}
			}
			copy(last, got)
		}
	}
}

func TestFadeSlotsInNoMove(t *testing.T) {
	f := &track.Fade{From: track.Still{0.25, 0.5}, To: track.Still{0.75, 0.5}, Total: time.Second}
	got := make(track.Still, 2)
	f.At(1e-9, got)
	require.Equal(t, track.Still{0.75, 0.5}, got, "one differs and goes at once, one stays")
	f.AtFrom(0.5, track.Still{0, 1}, got)
	require.Equal(t, track.Still{0.75, 0.75}, got, "the one that the fade leaves alone comes back half way")
}

func TestFadeWaitsAndSpreads(t *testing.T) {
	f := &track.Fade{
		From: track.Still{0, 0}, To: track.Still{1, 1},
		Moves: []track.Move{{First: 0, N: 1, Length: 0.5}, {First: 1, N: 1, Start: 0.5, Length: 0.5}},
	}
	got := make(track.Still, 2)
	for _, row := range []struct {
		p    float64
		want track.Still
	}{{0.25, track.Still{0.5, 0}}, {0.5, track.Still{1, 0}}, {0.75, track.Still{1, 0.5}}} {
		f.At(row.p, got)
		require.Equal(t, row.want, got, "at %v", row.p)
	}
}

func TestFadeDoesNotAllocate(t *testing.T) {
	f := randomFade(rand.New(rand.NewPCG(9, 9)), 500)
	dst := make(track.Still, 500)
	require.Zero(t, testing.AllocsPerRun(100, func() { f.At(0.4, dst) }))
	require.Zero(t, testing.AllocsPerRun(100, func() { f.AtFrom(0.4, f.To, dst) }))
}

func TestEases(t *testing.T) {
	for _, name := range track.EaseNames() {
		e, ok := track.EaseByName(name)
		require.True(t, ok)
		require.Equal(t, name, e.String())
		require.Zero(t, e.At(0))
		require.Zero(t, e.At(math.NaN()))
		require.Equal(t, 1.0, e.At(1))
		last := 0.0
		for i := range 10001 {
			v := e.At(float64(i) / 10000)
			require.True(t, v >= last && v <= 1, "%s turns back at %d", name, i)
			require.LessOrEqual(t, v-last, e.Slope()/10000+1e-12, "%s is steeper than it says", name)
			last = v
		}
	}
	require.Equal(t, 0.5, track.Soft.At(0.5))
	require.Equal(t, 0.25, track.In.At(0.5))
	require.Equal(t, 0.75, track.Out.At(0.5))
	require.Equal(t, "Ease(9)", track.Ease(9).String())
	_, ok := track.EaseByName("bounce")
	require.False(t, ok)
}
