package transport

import (
	"math"

	"linkboy/colour/solid"
)

// Grid is how a surface is parted into texels: Nu by Nv of them, from First on,
// u running first.
type Grid struct{ First, Nu, Nv int }

// texel returns the index of the texel at (u, v).
func (g Grid) texel(u, v float64) int {
	i := min(int(u*float64(g.Nu)), g.Nu-1)
	j := min(int(v*float64(g.Nv)), g.Nv-1)
	return g.First + j*g.Nu + i
}

// texels counts those of the grid.
func (g Grid) texels() int { return g.Nu * g.Nv }

// Atlas is the texels of a place.
type Atlas struct {
	Grids  []Grid
	Texels int
}

const (
	texelsAim = 12_000 // about, for a place
	sideLeast = 0.02   // m
	sideMost  = 0.5    // m
	// gridMost is the most texels along a side of a surface.
	gridMost = 512
)

// NewAtlas parts the pieces into square texels of one size, so that there are
// about so many; 0 for as many as a place needs to look right.
func NewAtlas(pieces []Piece, about int) Atlas {
	if about <= 0 {
		about = texelsAim
	}
	area := 0.0
	for i := range pieces {
		area += pieces[i].Surface.Area()
	}
	side := min(max(math.Sqrt(area/float64(about)), sideLeast), sideMost)
	var a Atlas
	for i := range pieces {
		u, v := pieces[i].Surface.Sides()
		g := Grid{First: a.Texels, Nu: along(u, side), Nv: along(v, side)}
		if pieces[i].Surface.Around() {
			g.Nu = max(g.Nu, 8) // or the far side of a tube would lie on the near one's texel
		}
		a.Grids = append(a.Grids, g)
		a.Texels += g.texels()
	}
	return a
}

func along(length, side float64) int {
	return min(max(int(math.Ceil(length/side-1e-9)), 1), gridMost)
}

// spots are the points of a texel that light is computed at.
const spots = 4

// spot is a point of a texel on its surface.
type spot struct{ at, normal solid.Vec }

// spotsOf returns the points of texel (i, j) of a grid that are on the surface: one in
// each quarter, shifted by chance so that the edges of shadows do not fall into steps.
func (g Grid) spotsOf(s *solid.Surface, i, j int, chance *chance, into []spot) []spot {
	into = into[:0]
	for k := range spots {
		u := (float64(i) + (float64(k%2)+chance.next())/2) / float64(g.Nu)
		v := (float64(j) + (float64(k/2)+chance.next())/2) / float64(g.Nv)
		if at, on := s.At(u, v); on {
			into = append(into, spot{at, s.Normal(at)})
		}
	}
	return into
}

// chance is a generator of numbers in 0..1 (splitmix64: G. Steele and others,
// OOPSLA 2014). The same seed gives the same light on any machine.
type chance struct{ state uint64 }

func newChance(texel int) *chance { return &chance{uint64(texel)*0x9e3779b97f4a7c15 + 1} }

func (c *chance) next() float64 {
	c.state += 0x9e3779b97f4a7c15
	z := c.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return float64((z^z>>31)>>11) / (1 << 53)
}
