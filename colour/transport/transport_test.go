package transport_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/solid"
	"linkboy/colour/transport"
)

type vec = solid.Vec

// plate is one side of a rectangle.
func plate(t testing.TB, corner, u, v vec, reflectance float64) transport.Piece {
	s, err := solid.NewRectangle(corner, u, v)
	require.NoError(t, err)
	return transport.Piece{Surface: s, Finish: transport.Grey(reflectance), Other: -1}
}

// room is the six walls of a box as they are seen from within.
func room(t testing.TB, size vec, reflectance float64) []transport.Piece {
	x, y, z := vec{X: size.X}, vec{Y: size.Y}, vec{Z: size.Z}
	return []transport.Piece{
		plate(t, vec{}, x, y, reflectance), plate(t, z, y, x, reflectance),
		plate(t, vec{}, y, z, reflectance), plate(t, x, z, y, reflectance),
		plate(t, vec{}, z, x, reflectance), plate(t, y, x, z, reflectance),
	}
}

// crate is a box as it is seen from outside.
func crate(t testing.TB, corner, size vec, reflectance float64) []transport.Piece {
	x, y, z := vec{X: size.X}, vec{Y: size.Y}, vec{Z: size.Z}
	return []transport.Piece{
		plate(t, corner, y, x, reflectance), plate(t, corner.Add(z), x, y, reflectance),
		plate(t, corner, z, y, reflectance), plate(t, corner.Add(x), y, z, reflectance),
		plate(t, corner, x, z, reflectance), plate(t, corner.Add(y), z, x, reflectance),
	}
}

func compute(t testing.TB, p *transport.Place, o transport.Options) *transport.Map {
	m, err := transport.Compute(context.Background(), p, o)
	require.NoError(t, err)
	return m
}

// flux is what lumens of one source arrive at some surfaces.
func flux(p *transport.Place, m *transport.Map, source int, surfaces ...int) float64 {
	sum := 0.0
	for _, i := range surfaces {
		g := m.Grids[i]
		n := g.Nu * g.Nv
		for t := g.First; t < g.First+n; t++ {
			sum += float64(m.Lux[0][t*m.Sources+source]) * p.Pieces[i].Surface.Area() / float64(n)
		}
	}
	return sum
}

// The light from one matt plate that meets another is the configuration factor:
// J. R. Howell, A Catalog of Radiation Heat Transfer Configuration Factors, C-11
// (identical, parallel, directly opposed rectangles) and C-14 (rectangles at a
// right angle with a common edge). The formulae are from memory; the values at
// the unit square, 0.1998 and 0.2000, are those of its tables.
func TestPlatesFollowTheCatalogue(t *testing.T) {
	for _, c := range []struct{ a, b, gap float64 }{{1, 1, 1}, {2, 1, 0.5}, {0.6, 0.3, 1}} {
		p := &transport.Place{
			Pieces:  []transport.Piece{plate(t, vec{}, vec{X: c.a}, vec{Y: c.b}, 0)},
			Sources: []transport.Source{{Centre: vec{X: c.a / 2, Y: c.b / 2, Z: c.gap}, Along: vec{X: c.a}, Across: vec{Y: c.b}, Facing: vec{Z: -1}, Beam: transport.Lambert{}}},
		}
		want := opposed(c.a/c.gap, c.b/c.gap)
		require.InEpsilon(t, want, flux(p, compute(t, p, transport.Options{Texels: 900}), 0, 0), 0.01)
	}
	require.InDelta(t, 0.1998, opposed(1, 1), 0.0001)

	for _, c := range []struct{ h, w float64 }{{1, 1}, {0.5, 2}} { // floor 1 wide, deep w; wall h high
		p := &transport.Place{
			Pieces:  []transport.Piece{plate(t, vec{}, vec{X: 1}, vec{Y: c.w}, 0)},
			Sources: []transport.Source{{Centre: vec{X: 0.5, Z: c.h / 2}, Along: vec{X: 1}, Across: vec{Z: c.h}, Facing: vec{Y: 1}, Beam: transport.Lambert{}}},
		}
		require.InEpsilon(t, square(c.h, c.w), flux(p, compute(t, p, transport.Options{Texels: 3000}), 0, 0), 0.02)
	}
	require.InDelta(t, 0.2000, square(1, 1), 0.0001)
}

// opposed is C-11 with X = a/c and Y = b/c.
func opposed(x, y float64) float64 {
	x1, y1 := 1+x*x, 1+y*y
	return 2 / (math.Pi * x * y) * (math.Log(math.Sqrt(x1*y1/(1+x*x+y*y))) +
		x*math.Sqrt(y1)*math.Atan(x/math.Sqrt(y1)) + y*math.Sqrt(x1)*math.Atan(y/math.Sqrt(x1)) -
		x*math.Atan(x) - y*math.Atan(y))
}

// square is C-14 from the first rectangle, of side w, to the second, of side h, with
// a common edge of 1.
func square(w, h float64) float64 {
	s := h*h + w*w
	return 1 / (math.Pi * w) * (w*math.Atan(1/w) + h*math.Atan(1/h) - math.Sqrt(s)*math.Atan(1/math.Sqrt(s)) +
		0.25*math.Log((1+w*w)*(1+h*h)/(1+s)*
			math.Pow(w*w*(1+s)/((1+w*w)*s), w*w)*math.Pow(h*h*(1+s)/((1+h*h)*s), h*h)))
}

// In a closed room of one reflectance, a lumen and all its bounces bring 1/(1-ρ)
// lumens to the walls: the sum of the geometric series, so no light is made or
// lost on the way. (Ulbricht's sphere, any shape.)
func TestClosedRoomKeepsItsLight(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	for _, rho := range []float64{0, 0.2, 0.5, 0.8} {
		p := &transport.Place{
			Pieces: room(t, vec{X: 4, Y: 3, Z: 2.5}, rho),
			Sources: []transport.Source{
				{Centre: vec{X: 1, Y: 1, Z: 1.2}, Along: vec{X: 1}},
				{Centre: vec{X: 2, Y: 1.5, Z: 2.4}, Along: vec{X: 0.6}, Across: vec{Y: 0.3}, Facing: vec{Z: -1}, Beam: transport.Lambert{}},
			},
		}
		m := compute(t, p, transport.Options{Texels: 3000, Bounces: 60})
		for k := range p.Sources {
			require.InEpsilon(t, 1/(1-rho), flux(p, m, k, 0, 1, 2, 3, 4, 5), 0.02, "reflectance %v, source %d", rho, k)
		}
	}
}

// A tube is metered as the handbook's finite line (IES Lighting Handbook, line
// sources): 1.15 m of strip, 1867 lm: 493 lx at 1 m, 141 at 2 m, 1395 at 0.5 m;
// trade.md's figures, computed from the formula.
func TestProbeReadsTheHandbookTube(t *testing.T) {
	p := &transport.Place{Sources: []transport.Source{{Along: vec{X: 1.15}, Facing: vec{Y: 1}, Beam: transport.Lambert{}}}}
	lit := transport.NewLit(p, compute(t, p, transport.Options{}))
	for d, want := range map[float64]float64{0.25: 3155, 0.5: 1395, 1: 493, 2: 141, 3: 64.5} {
		require.InEpsilon(t, want, 1867*lit.Probe(vec{Y: d}, vec{Y: -1})[0][0], 0.003, "%g m", d)
	}
	// All round, of I' = F/(π²·l), an infinite line falls as 1/d: E = π·I'/(2d).
	p.Sources[0] = transport.Source{Along: vec{X: 200}}
	lit = transport.NewLit(p, compute(t, p, transport.Options{}))
	require.InEpsilon(t, 1/(math.Pi*200*2), lit.Probe(vec{Y: 1}, vec{Y: -1})[0][0], 0.15)
}

// A matt panel of 0.3 by 0.6 m with 10 000 lm gives about what a disc of its area
// gives: 10 358, 3011 and 785 lx at 0.5, 1 and 2 m (trade.md, from the disc's formula).
func TestProbeReadsTheHandbookPanel(t *testing.T) {
	p := &transport.Place{Sources: []transport.Source{{Along: vec{X: 0.6}, Across: vec{Z: 0.3}, Facing: vec{Y: 1}, Beam: transport.Lambert{}}}}
	lit := transport.NewLit(p, compute(t, p, transport.Options{}))
	for d, want := range map[float64]float64{0.5: 10358, 1: 3011, 2: 785} {
		require.InEpsilon(t, want, 10_000*lit.Probe(vec{Y: d}, vec{Y: -1})[0][0], 0.05, "%g m", d)
	}
}

// A crate between a small source and the floor throws the shadow that similar
// triangles give, and the floor under a crate that stands on it is hidden.
func TestShadows(t *testing.T) {
	floor := plate(t, vec{X: -2, Y: -2}, vec{X: 4}, vec{Y: 4}, 0)
	pieces := append([]transport.Piece{floor}, crate(t, vec{X: -0.25, Y: -0.25, Z: 1}, vec{X: 0.5, Y: 0.5, Z: 0.1}, 0)...)
	pieces = append(pieces, crate(t, vec{X: 1.2, Y: 1.2}, vec{X: 0.6, Y: 0.6, Z: 0.3}, 0)...)
	p := &transport.Place{
		Pieces:  pieces,
		Sources: []transport.Source{{Centre: vec{Z: 2}, Along: vec{X: 0.01}, Across: vec{Y: 0.01}, Facing: vec{Z: -1}, Beam: transport.Lambert{}}},
	}
	m := compute(t, p, transport.Options{Texels: 20_000})
	g := m.Grids[0]
	at := func(x, y float64) int {
		return g.First + int((y+2)/4*float64(g.Nv))*g.Nu + int((x+2)/4*float64(g.Nu))
	}
	// The foot of the crate, 1 m under the source, is 0.25 m wide each way; the
	// floor, 2 m under it, lies in shadow for 0.5 m (top: 0.25·2/0.9 = 0.556 m).
	require.Zero(t, m.Lux[0][at(0.45, 0)])
	require.Zero(t, m.Lux[0][at(0, -0.45)])
	require.Positive(t, m.Lux[0][at(0.65, 0)])
	require.InEpsilon(t, 1/math.Pi*math.Pow(math.Cos(math.Atan(0.35)), 4)/4, m.Lux[0][at(0.7, 0)], 0.05, "cosine to the fourth")
	require.True(t, m.Hidden[at(1.5, 1.5)])
	require.False(t, m.Hidden[at(1.05, 1.5)])
}

// What is bounced takes the colour of what it bounced from.
func TestBouncesTakeColour(t *testing.T) {
	wall := plate(t, vec{Y: 1}, vec{X: 2}, vec{Z: 2}, 0)
	wall.Finish = transport.Finish{R: 0.8, G: 0.4, B: 0}
	p := &transport.Place{
		Pieces:  []transport.Piece{plate(t, vec{Y: -1}, vec{X: 2}, vec{Y: 1}, 0.2), wall},
		Sources: []transport.Source{{Centre: vec{X: 1, Y: 0.2, Z: 1}, Along: vec{X: 0.1}, Across: vec{Z: 0.1}, Facing: vec{Y: 1}, Beam: transport.Lambert{}}},
	}
	m := compute(t, p, transport.Options{Texels: 2000, Rays: 512, Bounces: 1})
	require.Equal(t, 3, m.Channels)
	sums := [3]float64{}
	for c := range sums {
		for i := range m.Grids[0].Nu * m.Grids[0].Nv {
			sums[c] += float64(m.Lux[c][i])
		}
	}
	require.Zero(t, sums[2], "the floor behind the source gets light by the wall alone")
	require.InEpsilon(t, 2, sums[0]/sums[1], 1e-5)
}

// The same light comes out however many work at it, and a context ends it.
func TestComputeIsTheSameForAnyWorkers(t *testing.T) {
	p := &transport.Place{Pieces: room(t, vec{X: 4, Y: 3, Z: 2.5}, 0.4), Sources: []transport.Source{{Centre: vec{X: 1, Y: 1, Z: 1.2}, Along: vec{X: 1}}}}
	one := compute(t, p, transport.Options{Texels: 2000, Workers: 1})
	require.Equal(t, one, compute(t, p, transport.Options{Texels: 2000, Workers: 7}))

	ctx, cancel := context.WithCancel(context.Background())
	stages := []transport.Stage{}
	_, err := transport.Compute(ctx, p, transport.Options{Texels: 2000, Progress: func(s transport.Stage, _ *transport.Map) {
		stages = append(stages, s)
		if s == transport.Direct {
			cancel()
		}
	}})
	require.ErrorIs(t, err, context.Canceled)
	require.Equal(t, []transport.Stage{transport.Coarse, transport.Direct}, stages)
}

// The noise of bounced light falls as the inverse root of the rays, or faster.
func TestNoiseFallsWithTheRays(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	p := &transport.Place{Pieces: room(t, vec{X: 4, Y: 3, Z: 2.5}, 0.5), Sources: []transport.Source{{Centre: vec{X: 1, Y: 1, Z: 1.2}, Along: vec{X: 1}}}}
	all := func(rays int) []float32 {
		return compute(t, p, transport.Options{Texels: 1500, Rays: rays, Bounces: 1}).Lux[0]
	}
	exact := all(8192)
	noise := func(rays int) float64 {
		sum := 0.0
		for i, v := range all(rays) {
			sum += math.Pow(float64(v-exact[i])/float64(exact[i]), 2)
		}
		return math.Sqrt(sum / float64(len(exact)))
	}
	coarse, fine := noise(32), noise(512)
	require.Less(t, fine, coarse/math.Sqrt(16)*1.1)
	require.Less(t, fine, 0.02)
}

func TestComputeRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		place transport.Place
		want  error
	}{
		"white beyond white": {transport.Place{Pieces: []transport.Piece{plate(t, vec{}, vec{X: 1}, vec{Y: 1}, 1.1)}}, transport.ErrFinish},
		"nowhere":            {transport.Place{Sources: []transport.Source{{Centre: vec{X: math.NaN()}, Along: vec{X: 1}}}}, transport.ErrSource},
		"a point all round":  {transport.Place{Sources: []transport.Source{{}}}, transport.ErrSource},
		"a long direction":   {transport.Place{Sources: []transport.Source{{Facing: vec{X: 2}, Beam: transport.Lambert{}}}}, transport.ErrSource},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := transport.Compute(context.Background(), &c.place, transport.Options{})
			require.ErrorIs(t, err, c.want)
		})
	}
}
