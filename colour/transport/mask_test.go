package transport_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"linkboy/colour/transport"
)

// masked is a lamp at the origin that looks along y through a mask of 40 by 30 degrees.
func masked(t testing.TB, wide, high int, pass func(i, j int) byte) transport.Source {
	m := &transport.Mask{Wide: wide, High: high, Right: vec{X: 1}, Up: vec{Z: 1}, HalfX: math.Tan(20 * math.Pi / 180), HalfY: math.Tan(15 * math.Pi / 180)}
	for j := range high {
		for i := range wide {
			m.Pass = append(m.Pass, pass(i, j))
		}
	}
	return transport.Source{Along: vec{X: 0.1}, Across: vec{Z: 0.1}, Facing: vec{Y: 1}, Beam: optics(t, 25, 45), Mask: m}
}

// A slit throws on a wall at a distance d a band 2·d·tan(a/2) wide, a its angle (plane
// geometry), and lights it as the bare lamp does.
func TestSlitLightsABand(t *testing.T) {
	s := masked(t, 200, 100, func(i, _ int) byte {
		if i >= 80 && i < 120 { // a fifth of the picture, so tan(a/2) = tan 20°/5
			return 255
		}
		return 0
	})
	bare := s
	bare.Mask = nil
	p := &transport.Place{Sources: []transport.Source{s, bare}}
	lit := transport.NewLit(p, compute(t, p, transport.Options{}))
	for _, d := range []float64{1, 3, 8} {
		at := func(x, z float64) (through, without float64) {
			row := lit.Probe(vec{X: x, Y: d, Z: z}, vec{Y: -1})[0]
			return float64(row[0]), float64(row[1])
		}
		want := d * math.Tan(20*math.Pi/180) / 5
		low, high := 0.0, 2*want
		for range 40 {
			mid := (low + high) / 2
			if through, without := at(mid, 0); through > without/2 {
				low = mid
			} else {
				high = mid
			}
		}
		require.InEpsilon(t, want, low, 0.01, "half the band at %v m", d)
		through, without := at(0.9*want, 0.1*d)
		require.InEpsilon(t, without, through, 1e-6)
		through, _ = at(0, d*math.Tan(15.5*math.Pi/180))
		require.Zero(t, through, "over the picture it is dark")
		through, _ = at(1.1*want, 0)
		require.Zero(t, through)
	}
}

// All the light of a masked lamp is its beam times its mask over all directions: summed
// here over rings and sectors of the sphere, and there over the walls of a black room.
func TestMaskKeepsItsShareOfTheLight(t *testing.T) {
	if testing.Short() {
		t.Skip("computes long, alone")
	}
	for name, pass := range map[string]func(i, j int) byte{
		"all":    func(int, int) byte { return 255 },
		"half":   func(int, int) byte { return 128 },
		"chess":  func(i, j int) byte { return byte(255 * ((i/8 + j/8) % 2)) },
		"corner": func(i, j int) byte { return byte(2*i + j) },
	} {
		s := masked(t, 64, 48, pass)
		s.Centre = vec{X: 3, Y: 0.5, Z: 2}
		p := &transport.Place{Pieces: room(t, vec{X: 6, Y: 5, Z: 4}, 0), Sources: []transport.Source{s}}
		m := compute(t, p, transport.Options{Texels: 40_000, Rays: 1, Bounces: 1})
		got := flux(p, m, 0, 0, 1, 2, 3, 4, 5)

		want := 0.0
		const rings, sectors = 700, 1400
		for i := range rings {
			cos := (float64(i) + 0.5) / rings
			sin := math.Sqrt(1 - cos*cos)
			for j := range sectors {
				a := 2 * math.Pi * (float64(j) + 0.5) / sectors
				x, y := sin*math.Cos(a)/cos/s.Mask.HalfX, sin*math.Sin(a)/cos/s.Mask.HalfY
				if math.Abs(x) >= 1 || math.Abs(y) >= 1 {
					continue
				}
				share := float64(pass(int((x+1)/2*64), int((1-y)/2*48))) / 255
				want += s.Beam.PerLumen(cos) * share * 2 * math.Pi / (rings * sectors)
			}
		}
		require.InEpsilon(t, want, got, 0.01, name)
		require.Less(t, got, 1.0, "no light is made")
	}
}
