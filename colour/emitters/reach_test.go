package emitters_test

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour"
	"linkboy/colour/emitters"
)

// depth returns how far p lies inside the convex polygon, negative outside, by exact
// signs (math/big; a float64 is a fraction) of the turns about its edges.
func depth(corners []colour.UV, p colour.UV) float64 {
	least := math.Inf(1)
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		f := func(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }
		sub := func(x, y float64) *big.Rat { return new(big.Rat).Sub(f(x), f(y)) }
		left := new(big.Rat).Mul(sub(b.U, a.U), sub(p.V, a.V))
		right := new(big.Rat).Mul(sub(b.V, a.V), sub(p.U, a.U))
		turn, _ := left.Sub(left, right).Float64()
		least = min(least, turn/a.Distance(b))
	}
	return least
}

func polygonOf(t testing.TB, es []emitters.Emitter) emitters.Reach {
	c, err := emitters.NewCell(es)
	require.NoError(t, err)
	return c.Reach()
}

// A point is in the intersection when it is in both, by exact arithmetic, and the area
// of the intersection is the share of random points that are.
func TestIntersectIsWhatBothReach(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	r := rand.New(rand.NewPCG(71, 72))
	inside, empty := 0, 0
	for range 400 {
		a, b := polygonOf(t, randomSet(r, 3+r.IntN(6))), polygonOf(t, randomSet(r, 3+r.IntN(6)))
		both := a.Intersect(b)
		if r.IntN(2) == 0 {
			require.InDelta(t, both.Area(), b.Intersect(a).Area(), 1e-12)
		}
		if both.Empty() {
			empty++
		}
		for range 40 {
			p := colour.UV{U: 0.65 * r.Float64(), V: 0.6 * r.Float64()}
			if r.IntN(2) == 0 { // about a corner of either
				c := append(a.Corners(), b.Corners()...)
				p = c[r.IntN(len(c))].Lerp(p, 1e-3*r.Float64())
			}
			if p.XY().Y < 0.001 {
				continue
			}
			in := min(depth(a.Corners(), p), depth(b.Corners(), p))
			if math.Abs(in) < 2e-7 {
				continue // within what counts as on the edge
			}
			require.Equal(t, in > 0, both.Contains(p.XY()), "%v %g %v %v", p, in, a.Corners(), b.Corners())
			if in > 0 {
				inside++
			}
		}
		corners := both.Corners()
		for i, p := range corners { // counter-clockwise and convex
			if len(corners) > 2 {
				require.Positive(t, area(p, corners[(i+1)%len(corners)], corners[(i+2)%len(corners)]))
			}
			require.Greater(t, min(depth(a.Corners(), p), depth(b.Corners(), p)), -1e-7)
		}
	}
	require.Greater(t, inside, 500)
	require.Greater(t, empty, 10)
	t.Logf("%d points inside, %d empty", inside, empty)
}

// Reaches that touch keep what they have in common: themselves, a corner, an edge, a
// crossing.
func TestIntersectOfReachesThatTouch(t *testing.T) {
	r := rand.New(rand.NewPCG(73, 74))
	for range 1000 {
		es := anyReach(r)
		a := polygonOf(t, es)
		same := a.Intersect(a)
		require.InDelta(t, a.Area(), same.Area(), 1e-12)
		requireCorners(t, a.Corners(), same)

		// A part of the emitters reaches a part.
		part := polygonOf(t, es[:1+r.IntN(len(es))])
		requireCorners(t, part.Corners(), a.Intersect(part))
		requireCorners(t, part.Corners(), part.Intersect(a))
	}
	at := func(u, v float64) emitters.Emitter {
		return emitters.Emitter{Full: colour.UV{U: u, V: v}.XY().XYZ(1)}
	}
	line := func(a, b emitters.Emitter) emitters.Reach { return polygonOf(t, []emitters.Emitter{a, b}) }
	crossing := line(at(0.1, 0.4), at(0.3, 0.5)).Intersect(line(at(0.1, 0.5), at(0.3, 0.4)))
	requireCorners(t, []colour.UV{{U: 0.2, V: 0.45}}, crossing)
	overlap := line(at(0.1, 0.4), at(0.3, 0.5)).Intersect(line(at(0.2, 0.45), at(0.35, 0.525)))
	requireCorners(t, []colour.UV{{U: 0.2, V: 0.45}, {U: 0.3, V: 0.5}}, overlap)
	require.True(t, line(at(0.1, 0.4), at(0.15, 0.425)).Intersect(line(at(0.2, 0.45), at(0.35, 0.525))).Empty())
	require.True(t, line(at(0.1, 0.4), at(0.3, 0.5)).Intersect(line(at(0.1, 0.41), at(0.3, 0.51))).Empty())
	dot := polygonOf(t, []emitters.Emitter{at(0.2, 0.45)})
	requireCorners(t, []colour.UV{{U: 0.2, V: 0.45}}, dot.Intersect(line(at(0.1, 0.4), at(0.3, 0.5))))
	requireCorners(t, []colour.UV{{U: 0.2, V: 0.45}}, dot.Intersect(dot))
	require.True(t, dot.Intersect(polygonOf(t, []emitters.Emitter{at(0.2, 0.46)})).Empty())
	require.True(t, emitters.Reach{}.Intersect(dot).Empty())
	require.True(t, dot.Intersect(emitters.Reach{}).Empty())
	require.False(t, emitters.Reach{}.Contains(white))
}

// anyReach draws emitters whose reach may be a point, a segment or a polygon.
func anyReach(r *rand.Rand) []emitters.Emitter {
	if r.IntN(2) == 0 {
		return lumpySet(r, 1+r.IntN(emitters.Max))
	}
	return randomSet(r, 1+r.IntN(emitters.Max))
}

// requireCorners asserts that r has the corners, in any order, to 2e-8.
func requireCorners(t testing.TB, want []colour.UV, r emitters.Reach) {
	got := r.Corners()
	require.Len(t, got, len(want), "%v %v", want, got)
	for _, p := range want {
		near := math.Inf(1)
		for _, q := range got {
			near = min(near, p.Distance(q))
		}
		require.Less(t, near, 2e-8, "%v %v", want, got)
	}
}

// The triangle of the primaries of ITU-R BT.709, by Heron's formula; a third of all colours (from memory),
// whose area is counted from the spectral locus.
func TestAreaOfATriangle(t *testing.T) {
	primaries := []colour.XY{{X: 0.64, Y: 0.33}, {X: 0.30, Y: 0.60}, {X: 0.15, Y: 0.06}}
	var es []emitters.Emitter
	for _, p := range primaries {
		es = append(es, emitters.Emitter{Full: p.XYZ(1)})
	}
	a, b, c := distance(primaries[0], primaries[1]), distance(primaries[1], primaries[2]), distance(primaries[2], primaries[0])
	half := (a + b + c) / 2
	got := polygonOf(t, es).Area()
	require.InDelta(t, math.Sqrt(half*(half-a)*(half-b)*(half-c)), got, 1e-12)

	all := 0.0
	const step = 0.002
	for u := step / 2; u < 0.65; u += step {
		for v := step / 2; v < 0.6; v += step {
			if (colour.UV{U: u, V: v}).XY().Valid() {
				all += step * step
			}
		}
	}
	require.InDelta(t, 1.0/3, got/all, 0.003)
	require.InDelta(t, 0.196, all, 0.001)
}

func FuzzIntersect(f *testing.F) {
	for _, s := range realistic(f) {
		var raw []byte
		for _, e := range s.emitters {
			p := e.Full.XY()
			raw = append(raw, byte(256*p.X), byte(256*p.Y), 100, 0, 0, 0)
		}
		f.Add(raw, raw[:6], 0.2, 0.47)
		f.Add(raw, raw, 0.2, 0.47)
	}
	f.Fuzz(func(t *testing.T, a, b []byte, u, v float64) {
		p, err := emitters.NewCell(decodeEmitters(a))
		if err != nil {
			return
		}
		q, err := emitters.NewCell(decodeEmitters(b))
		if err != nil {
			return
		}
		both := p.Reach().Intersect(q.Reach())
		for _, c := range both.Corners() {
			require.True(t, p.Reach().Contains(c.XY()) && q.Reach().Contains(c.XY()), "%v of %v and %v", c, p.Gamut(), q.Gamut())
		}
		at := colour.UV{U: u, V: v}
		if aim, clipped := both.Aim(at.XY(), white); !both.Empty() && aim != (colour.XY{}) {
			require.True(t, both.Contains(aim))
			require.Equal(t, !clipped, both.Contains(at.XY()))
			_, _, ok := p.Brightest(aim)
			require.True(t, ok)
			_, _, ok = q.Brightest(aim)
			require.True(t, ok)
		}
	})
}
