package solid_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/solid"
)

func vec(r *rand.Rand, size float64) solid.Vec {
	return solid.Vec{X: size * r.NormFloat64(), Y: size * r.NormFloat64(), Z: size * r.NormFloat64()}
}

// any draws a surface.
func anySurface(t testing.TB, r *rand.Rand) solid.Surface {
	var s solid.Surface
	var err error
	switch r.IntN(5) {
	case 0:
		s, err = solid.NewRectangle(vec(r, 3), vec(r, 1), vec(r, 1))
	case 1:
		s, err = solid.NewTriangle(vec(r, 3), vec(r, 1), vec(r, 1))
	case 2:
		s, err = solid.NewDisc(vec(r, 3), vec(r, 1), 0.1+r.Float64())
	case 3:
		s, err = solid.NewTube(vec(r, 3), vec(r, 1), 0.1+r.Float64())
	default:
		s, err = solid.NewBall(vec(r, 3), 0.1+r.Float64())
	}
	require.NoError(t, err)
	return s
}

func surfaces(t testing.TB, r *rand.Rand, n int) []solid.Surface {
	all := make([]solid.Surface, n)
	for i := range all {
		all[i] = anySurface(t, r)
	}
	return all
}

// A ray to a point of a surface meets it there, from both sides, and the point
// has the coordinates that it was made from.
func TestRayMeetsThePointItIsSentTo(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 5000 {
		s := anySurface(t, r)
		u, v := 0.001+0.998*r.Float64(), 0.001+0.998*r.Float64()
		p, on := s.At(u, v)
		if !on {
			continue
		}
		n := s.Normal(p)
		require.InDelta(t, 1, n.Length(), 1e-12)
		from := p.Add(n.Scale(0.5)).Add(vec(r, 0.1))
		if from.Sub(p).Dot(n) < 0.01 {
			continue
		}
		scene := solid.NewScene([]solid.Surface{s}, nil)
		hit, ok := scene.Nearest(solid.Ray{At: from, Along: p.Sub(from)}, 0, 10)
		require.True(t, ok, "%v", s)
		require.InDelta(t, 1, hit.T, 1e-9)
		require.InDelta(t, u, hit.U, 1e-6)
		require.InDelta(t, v, hit.V, 1e-6)
		require.False(t, hit.Behind)
		inside := p.Sub(n.Scale(0.01))
		hit, ok = scene.Nearest(solid.Ray{At: inside, Along: p.Sub(inside)}, 0, 10)
		require.True(t, ok)
		require.True(t, hit.Behind)
	}
}

// The tree finds what a search of all surfaces finds.
func TestTreeFindsWhatSearchFinds(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{0, 1, 2, 7, 100, 500} {
		all := surfaces(t, r, n)
		scene := solid.NewScene(all, nil)
		alone := make([]*solid.Scene, n)
		for i := range all {
			alone[i] = solid.NewScene(all[i:i+1], nil)
		}
		for range 300 {
			ray := solid.Ray{At: vec(r, 3), Along: vec(r, 1)}
			if r.IntN(4) == 0 { // along an axis
				ray.Along = solid.Vec{Z: -1}
			}
			most, which := 50.0, -1
			for i := range alone {
				if h, ok := alone[i].Nearest(ray, 0, most); ok {
					most, which = h.T, i
				}
			}
			hit, ok := scene.Nearest(ray, 0, 50)
			require.Equal(t, which >= 0, ok)
			end := ray.At.Add(ray.Along.Scale(most))
			if ok {
				require.Equal(t, which, hit.Surface)
				require.InDelta(t, most, hit.T, 1e-12*most)
				require.False(t, scene.Blocked(ray.At, end), "what the ray meets does not hide itself")
				require.True(t, scene.Blocked(ray.At, ray.At.Add(ray.Along.Scale(1.01*most))))
			} else {
				require.False(t, scene.Blocked(ray.At, end))
			}
		}
	}
}

// Of a thin thing a ray meets the side that it comes to.
func TestTwoSides(t *testing.T) {
	front, err := solid.NewRectangle(solid.Vec{}, solid.Vec{X: 2}, solid.Vec{Y: 1})
	require.NoError(t, err)
	scene := solid.NewScene([]solid.Surface{front, front.Flipped()}, [][2]int{{0, 1}})
	hit, ok := scene.Nearest(solid.Ray{At: solid.Vec{X: 0.5, Y: 0.75, Z: 1}, Along: solid.Vec{Z: -1}}, 0, 9)
	require.True(t, ok)
	require.Equal(t, solid.Hit{Surface: 0, T: 1, U: 0.25, V: 0.75}, hit)
	hit, ok = scene.Nearest(solid.Ray{At: solid.Vec{X: 0.5, Y: 0.75, Z: -1}, Along: solid.Vec{Z: 1}}, 0, 9)
	require.True(t, ok)
	require.Equal(t, solid.Hit{Surface: 1, T: 1, U: 0.75, V: 0.25}, hit)
}

// A scene without some surfaces is that of the others, which keep their indices.
func TestWithout(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	all := surfaces(t, r, 60)
	scene := solid.NewScene(all, nil)
	odd := scene.Without(func(i int) bool { return i%2 == 0 })
	none := scene.Without(func(int) bool { return true })
	met := 0
	for range 500 {
		ray := solid.Ray{At: vec(r, 3), Along: vec(r, 1)}
		hit, ok := odd.Nearest(ray, 0, 50)
		if ok {
			met++
			require.Equal(t, 1, hit.Surface%2)
			alone, found := solid.NewScene(all[hit.Surface:hit.Surface+1], nil).Nearest(ray, 0, 50)
			require.True(t, found)
			require.InDelta(t, alone.T, hit.T, 1e-12)
		}
		_, ok = none.Nearest(ray, 0, 50)
		require.False(t, ok)
	}
	require.Positive(t, met)
}

// Areas are those of elementary geometry, and equal steps of (u, v) cover equal
// areas: the share of random points below a plane is that of the area there.
func TestAreas(t *testing.T) {
	ball, _ := solid.NewBall(solid.Vec{}, 2)
	tube, _ := solid.NewTube(solid.Vec{}, solid.Vec{Z: 3}, 0.5)
	disc, _ := solid.NewDisc(solid.Vec{}, solid.Vec{X: 1, Y: 1}, 2)
	triangle, _ := solid.NewTriangle(solid.Vec{}, solid.Vec{X: 3}, solid.Vec{Y: 4})
	require.InDelta(t, 16*math.Pi, ball.Area(), 1e-12)
	require.InDelta(t, 3*math.Pi, tube.Area(), 1e-12)
	require.InDelta(t, 4*math.Pi, disc.Area(), 1e-12)
	require.InDelta(t, 6, triangle.Area(), 1e-12)

	r := rand.New(rand.NewPCG(5, 6))
	low, n := 0, 200_000
	for range n {
		if p, _ := ball.At(r.Float64(), r.Float64()); p.Z < -1 {
			low++
		}
	}
	// A zone of height 1 of a ball of radius 2 has a quarter of its area (Archimedes,
	// On the Sphere and Cylinder).
	require.InDelta(t, 0.25, float64(low)/float64(n), 0.005)
}

func TestFrame(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for i := range 10_000 {
		n := vec(r, 1).Unit()
		if i == 0 {
			n = solid.Vec{Z: -1}
		}
		s, u := n.Frame()
		for _, v := range []float64{s.Dot(u), s.Dot(n), u.Dot(n), s.Length() - 1, u.Length() - 1, s.Cross(u).Dot(n) - 1} {
			require.InDelta(t, 0, v, 1e-12)
		}
	}
}

func TestFlatThingsAreRefused(t *testing.T) {
	nan := math.NaN()
	for name, err := range map[string]error{
		"rectangle": second(solid.NewRectangle(solid.Vec{}, solid.Vec{X: 1}, solid.Vec{X: 2})),
		"triangle":  second(solid.NewTriangle(solid.Vec{X: nan}, solid.Vec{X: 1}, solid.Vec{Y: 2})),
		"disc":      second(solid.NewDisc(solid.Vec{}, solid.Vec{Z: 1}, 0)),
		"tube":      second(solid.NewTube(solid.Vec{}, solid.Vec{}, 1)),
		"ball":      second(solid.NewBall(solid.Vec{}, -1)),
	} {
		require.ErrorIs(t, err, solid.ErrFlat, name)
	}
}

func second(_ solid.Surface, err error) error { return err }

func TestCastsDoNotAllocate(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	scene := solid.NewScene(surfaces(t, r, 100), nil)
	ray := solid.Ray{At: vec(r, 3), Along: vec(r, 1)}
	require.Zero(t, testing.AllocsPerRun(100, func() { scene.Nearest(ray, 0, 50) }))
	require.Zero(t, testing.AllocsPerRun(100, func() { scene.Blocked(ray.At, ray.Along) }))
}

// BenchmarkCast tells rays a second on a core, beside a search of all surfaces.
func BenchmarkCast(b *testing.B) {
	r := rand.New(rand.NewPCG(11, 12))
	for _, n := range []int{10, 100, 1000} {
		all := surfaces(b, r, n)
		scene := solid.NewScene(all, nil)
		rays := make([]solid.Ray, 1024)
		for i := range rays {
			rays[i] = solid.Ray{At: vec(r, 3), Along: vec(r, 1)}
		}
		b.Run(fmt.Sprint(n, "/nearest"), func(b *testing.B) {
			i := 0
			for b.Loop() {
				scene.Nearest(rays[i%len(rays)], 0, 50)
				i++
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "rays/s")
		})
		b.Run(fmt.Sprint(n, "/blocked"), func(b *testing.B) {
			i := 0
			for b.Loop() {
				scene.Blocked(rays[i%len(rays)].At, rays[(i+1)%len(rays)].At)
				i++
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "rays/s")
		})
		alone := make([]*solid.Scene, n)
		for i := range all {
			alone[i] = solid.NewScene(all[i:i+1], nil)
		}
		b.Run(fmt.Sprint(n, "/search"), func(b *testing.B) {
			i := 0
			for b.Loop() {
				most := 50.0
				for k := range alone {
					if h, ok := alone[k].Nearest(rays[i%len(rays)], 0, most); ok {
						most = h.T
					}
				}
				i++
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "rays/s")
		})
	}
}
