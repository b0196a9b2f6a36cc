package stage_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/mesh"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/stage"
)

func setOf(t testing.TB, shape cues.Shape) *stage.Set {
	s, problems := stage.NewSet(&cues.Location{Set: []cues.SetPiece{{Name: "piece", Shape: shape, Albedo: cues.Albedo{0.5, 0.4, 0.3}}}})
	require.Empty(t, problems)
	return s
}

func obj(t testing.TB, text string) *mesh.Mesh {
	m, err := mesh.ReadOBJ(strings.NewReader(text), "t.obj")
	require.NoError(t, err)
	return m
}

// wedge is a corner cut off a cube of side 1: volume 1/6, area (3+√3)/2.
const wedge = "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 3 1 4\n"

// inverted is the wedge with its triangles the other way round.
const inverted = "v 0 0 0\nv 1 0 0\nv 0 1 0\nv 0 0 1\nf 2 3 1\nf 4 2 1\nf 4 3 2\nf 4 1 3\n"

// solids are closed shapes with volume and area by elementary geometry.
func solids(t testing.TB) map[string]struct {
	shape        cues.Shape
	volume, area float64
} {
	box := cues.Box{Centre: cues.Point{3, -2, 1}, Size: cues.Point{2, 0.5, 1.5}}
	turned := box
	turned.TurnDeg = 33
	stairs := func(rise cues.Rise, turn float64) cues.Steps {
		return cues.Steps{Centre: cues.Point{1, 2, 3}, Size: cues.Point{2, 1, 1.2}, Count: 4, Rise: rise, TurnDeg: turn}
	}
	// A flight of n steps fills (n+1)/2n of its box: 1/n of depth times heights
	// that sum to (n+1)/2.
	const stairVolume = 2 * 1 * 1.2 * 5 / 8
	// Front and back 1.2 high, top and bottom 2 long, and two sides.
	acrossX, acrossY := 2*(1.2+2)*1+2*(2*1.2*5./8), 2*(1.2*2+1*2)+2*(1*1.2*5./8)
	return map[string]struct {
		shape        cues.Shape
		volume, area float64
	}{
		"box":              {box, 1.5, 2 * (2*0.5 + 0.5*1.5 + 2*1.5)},
		"turned box":       {turned, 1.5, 2 * (2*0.5 + 0.5*1.5 + 2*1.5)},
		"cylinder":         {cues.Cylinder{Foot: cues.Point{1, 1, 0}, Axis: cues.Point{0, 0, 2}, Radius: 0.5}, math.Pi * 0.5, math.Pi * 2.5},
		"hanging cylinder": {cues.Cylinder{Foot: cues.Point{1, 1, 0}, Axis: cues.Point{1, 2, -2}, Radius: 0.5}, math.Pi * 0.75, math.Pi * 3.5},
		"steps +x":         {stairs(cues.RiseX, 0), stairVolume, acrossX},
		"steps -x":         {stairs(cues.RiseBackX, 0), stairVolume, acrossX},
		"steps +y":         {stairs(cues.RiseY, 77), stairVolume, acrossY},
		"steps -y":         {stairs(cues.RiseBackY, -90), stairVolume, acrossY},
		"mesh":             {cues.Mesh{Triangles: obj(t, wedge), Scale: 2, Place: cues.Point{5, 5, 5}, TurnDeg: 20}, 8. / 6, 2 * (3 + math.Sqrt(3))},
		"inverted mesh":    {cues.Mesh{Triangles: obj(t, inverted), Scale: 1}, 1. / 6, (3 + math.Sqrt(3)) / 2},
	}
}

// Areas add up, and so does the volume by the divergence theorem: the mean of
// p·n over the surface, times its area, is three times what it encloses. That
// holds only when nothing is missing and every front is outside.
func TestSolidsAreClosedWithFrontsOutside(t *testing.T) {
	for name, c := range solids(t) {
		t.Run(name, func(t *testing.T) {
			s := setOf(t, c.shape)
			require.True(t, s.Things[0].Solid)
			require.Equal(t, len(s.Pieces), s.Things[0].N)
			area, volume := measure(s.Pieces)
			require.InEpsilon(t, c.area, area, 1e-9)
			require.InEpsilon(t, c.volume, volume, 1e-4)
			for i, p := range s.Pieces {
				require.Equal(t, transport.Finish{R: 0.5, G: 0.4, B: 0.3}, p.Finish)
				require.Equal(t, -1, p.Other)
				require.Equal(t, "piece", s.Names[i])
			}
		})
	}
}

// measure sums area and enclosed volume over a grid on each surface.
func measure(pieces []transport.Piece) (area, volume float64) {
	const n = 64
	from, _ := pieces[0].Surface.At(0, 0)
	for i := range pieces {
		s := &pieces[i].Surface
		sum, on := 0.0, 0.0
		for k := range n * n {
			u, v := (float64(k%n)+0.5)/n, (float64(k/n)+0.5)/n
			if p, is := s.At(u, v); is {
				sum, on = sum+p.Sub(from).Dot(s.Normal(p)), on+1
			}
		}
		area += s.Area()
		volume += sum / on * s.Area() / 3
	}
	return area, volume
}

// A ray from inside meets backs only, one from outside fronts first; the same
// points are inside by the shape's own inequality.
func TestRaysAndInsides(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for name, c := range solids(t) {
		t.Run(name, func(t *testing.T) {
			s := setOf(t, c.shape)
			surfaces := make([]solid.Surface, len(s.Pieces))
			for i := range surfaces {
				surfaces[i] = s.Pieces[i].Surface
			}
			scene := solid.NewScene(surfaces, nil)
			low, high := c.shape.Bounds()
			in, all := 0, 4000
			for range all {
				var p cues.Point
				for i := range p {
					p[i] = low[i] + (high[i]-low[i])*r.Float64()
				}
				inside := stage.Holds(s, p)
				at := solid.Vec{X: p[0], Y: p[1], Z: p[2]}
				for range 5 {
					d := solid.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
					if hit, ok := scene.Nearest(solid.Ray{At: at, Along: d}, 0, math.Inf(1)); inside {
						require.True(t, ok && hit.Behind, "%v along %v", at, d)
					} else {
						require.False(t, ok && hit.Behind, "%v along %v", at, d)
					}
				}
				if want, known := contains(c.shape, p); known {
					require.Equal(t, want, inside, "%v", p)
				}
				if inside {
					in++
				}
			}
			share := c.volume / ((high[0] - low[0]) * (high[1] - low[1]) * (high[2] - low[2]))
			require.InDelta(t, share, float64(in)/float64(all), 0.03, "the share of points inside is that of the volume")
		})
	}
}

// contains tells by a shape's own inequality whether a point is inside.
func contains(shape cues.Shape, p cues.Point) (in, known bool) {
	switch s := shape.(type) {
	case cues.Box:
		x, y := p[0]-s.Centre[0], p[1]-s.Centre[1]
		sin, cos := math.Sincos(s.TurnDeg * math.Pi / 180)
		return math.Abs(cos*x+sin*y) < s.Size[0]/2 && math.Abs(cos*y-sin*x) < s.Size[1]/2, true
	case cues.Cylinder:
		q, axis := [3]float64{}, 0.0
		along := 0.0
		for i := range q {
			q[i] = p[i] - s.Foot[i]
			along += q[i] * s.Axis[i]
			axis += s.Axis[i] * s.Axis[i]
		}
		off := q[0]*q[0] + q[1]*q[1] + q[2]*q[2] - along*along/axis
		return along > 0 && along < axis && off < s.Radius*s.Radius, true
	case cues.Steps:
		if s.Rise != cues.RiseX {
			return false, false
		}
		step := math.Floor((p[0] - s.Centre[0] + s.Size[0]/2) / s.Size[0] * float64(s.Count))
		return p[2]-s.Centre[2]+s.Size[2]/2 < (step+1)*s.Size[2]/float64(s.Count), true
	}
	return false, false
}

// What is thin has two sides, each the other's.
func TestThinThingsHaveTwoSides(t *testing.T) {
	for name, c := range map[string]struct {
		shape cues.Shape
		area  float64
	}{
		"plane": {cues.Plane{Corner: cues.Point{1, 2, 3}, Along: cues.Point{2, 0, 0}, Across: cues.Point{1, 0, 3}}, 12},
		"card":  {cues.Mesh{Triangles: obj(t, "v 0 0 0\nv 2 0 0\nv 2 3 0\nv 0 3 0\nf 1 2 3 4"), Scale: 0.5}, 3},
	} {
		t.Run(name, func(t *testing.T) {
			s, problems := stage.NewSet(&cues.Location{Set: []cues.SetPiece{
				{Name: "box", Shape: cues.Box{Size: cues.Point{1, 1, 1}}}, {Name: "thin", Shape: c.shape},
			}})
			require.Empty(t, problems)
			require.False(t, s.Things[1].Solid)
			area := 0.0
			for i := s.Things[1].First; i < len(s.Pieces); i++ {
				p := &s.Pieces[i]
				area += p.Surface.Area()
				other := &s.Pieces[p.Other]
				require.Equal(t, i, other.Other)
				at, _ := p.Surface.At(0.2, 0.3)
				require.Equal(t, p.Surface.Normal(at).Scale(-1), other.Surface.Normal(at))
				require.Equal(t, "thin", s.Names[i])
			}
			require.InDelta(t, c.area, area, 1e-12)
			_, err := transport.Compute(t.Context(), &transport.Place{Pieces: s.Pieces}, transport.Options{Texels: 50, Rays: 4, Bounces: 1})
			require.NoError(t, err)
		})
	}
}

// A figure stands on its place, is as tall as it is said to be, keeps its
// proportions, faces where it is told, and rays from outside see no back.
func TestFigure(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	place, facing := cues.Point{2, 3, 0.5}, cues.Point{2, -5, 1.5}
	pieces, err := stage.Figure(place, facing, 1.8)
	require.NoError(t, err)
	surfaces := make([]solid.Surface, len(pieces))
	low, high := math.Inf(1), math.Inf(-1)
	toes, heels, width := 0.0, 0.0, 0.0
	for i := range pieces {
		surfaces[i] = pieces[i].Surface
		for range 2000 {
			p, on := surfaces[i].At(r.Float64(), r.Float64())
			if !on {
				continue
			}
			low, high = min(low, p.Z), max(high, p.Z)
			toes, heels, width = min(toes, p.Y-place[1]), max(heels, p.Y-place[1]), max(width, math.Abs(p.X-place[0]))
		}
	}
	require.InDelta(t, 0.5, low, 0.001)
	require.InDelta(t, 0.5+1.8, high, 0.001)
	require.InDelta(t, 0.18, -toes, 0.01, "its feet point to where it faces")
	require.Less(t, heels, 0.13)
	require.InDelta(t, 0.30, width, 0.02, "its arms are 0.6 m apart at the most")

	scene := solid.NewScene(surfaces, nil)
	for range 20_000 {
		from := solid.Vec{X: 2 + 3*r.NormFloat64(), Y: 3 + 3*r.NormFloat64(), Z: 1.5 + 3*r.NormFloat64()}
		if math.Abs(from.X-2) < 0.4 && math.Abs(from.Y-3) < 0.4 {
			continue
		}
		to := solid.Vec{X: 2 + 0.3*r.NormFloat64(), Y: 3 + 0.2*r.NormFloat64(), Z: 0.5 + 1.8*r.Float64()}
		if hit, ok := scene.Nearest(solid.Ray{At: from, Along: to.Sub(from)}, 0, math.Inf(1)); ok {
			require.False(t, hit.Behind)
		}
	}
	white := func(f transport.Finish) float64 { return 0.2126*f.R + 0.7152*f.G + 0.0722*f.B } // ITU-R BT.709
	require.InDelta(t, 0.36, white(stage.Skin), 0.005)
	require.InDelta(t, 0.18, white(stage.Clothes), 1e-12)
}

// Whoever holds the camera stands on the floor, behind it.
func TestOperator(t *testing.T) {
	s := setOf(t, cues.Box{Centre: cues.Point{0, 0, -0.05}, Size: cues.Point{20, 20, 0.1}})
	lowest := func(u *cues.Setup) (z, y float64) {
		pieces, err := s.Operator(u)
		require.NoError(t, err)
		z, y = math.Inf(1), math.Inf(1)
		for i := range pieces {
			for k := range 400 {
				if p, on := pieces[i].Surface.At(float64(k%20)/20, float64(k/20)/20); on {
					z, y = min(z, p.Z), min(y, p.Y)
				}
			}
		}
		return z, y
	}
	z, y := lowest(&cues.Setup{Camera: cues.Point{0, 0, 1.5}, LookAt: cues.Point{0, -4, 1}})
	require.InDelta(t, 0, z, 0.001)
	require.Greater(t, y, 0.1, "the camera is clear of its own operator")
	z, _ = lowest(&cues.Setup{Camera: cues.Point{0, 0, 1.5}})
	require.InDelta(t, 0, z, 0.001, "looking straight down")
	z, _ = lowest(&cues.Setup{Camera: cues.Point{0, 50, 1.5}, LookAt: cues.Point{0, -4, 1}})
	require.InDelta(t, 1.5-1.8*0.934, z, 0.001, "without a floor the camera is at the eye")
}

func TestNewSetRefuses(t *testing.T) {
	at := cues.Pos{File: "locations/pier.yaml", Line: 3, Column: 5}
	for name, shape := range map[string]cues.Shape{
		"nothing":          nil,
		"a flat box":       cues.Box{Size: cues.Point{1, 0, 0}},
		"a line":           cues.Plane{Along: cues.Point{1, 0, 0}, Across: cues.Point{2, 0, 0}},
		"a thread":         cues.Cylinder{Axis: cues.Point{0, 0, 1}},
		"no steps":         cues.Steps{Size: cues.Point{1, 1, 1}, Rise: cues.RiseX},
		"steps to nowhere": cues.Steps{Size: cues.Point{1, 1, 1}, Count: 2},
		"a mesh unread":    cues.Mesh{File: "gone.obj", Scale: 1},
		"a mesh of dust":   cues.Mesh{Triangles: obj(t, wedge), Scale: 1e-300},
	} {
		t.Run(name, func(t *testing.T) {
			set, problems := stage.NewSet(&cues.Location{Set: []cues.SetPiece{{Name: "thing", Shape: shape, At: at}, {Name: "box", Shape: cues.Box{Size: cues.Point{1, 1, 1}}}}})
			require.Len(t, problems, 1)
			require.Equal(t, cues.CodeBadGeometry, problems[0].Code)
			require.Equal(t, at, problems[0].Pos)
			require.NotEmpty(t, problems[0].Why)
			require.Len(t, set.Pieces, 6, "what has a shape is there")
		})
	}
	_, problems := stage.NewSet(&cues.Location{StandIns: []cues.StandIn{{Name: "nobody", At: at}}})
	require.ErrorContains(t, problems.Err(), `stand-in "nobody" has no shape`)
}
