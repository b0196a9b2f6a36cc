package picture

import (
	"context"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"linkboy/colour/solid"
	"linkboy/colour/transport"
)

// The haze in the air takes some of the light on its way to the camera, and throws some of
// what comes straight from lamps towards it: blacks are lifted and beams are seen.
//
// It is an impression. The air is alike everywhere and takes no light for itself; what it
// takes goes by the law of Bouguer, Lambert and Beer, exp(-σd), and what it throws goes
// alike to all sides, once only (single scattering, isotropic phase; S. Chandrasekhar,
// Radiative Transfer, 1950). Real haze drifts and throws more forwards, light that it has
// thrown lights the set, and less arrives at surfaces than is drawn here.

const (
	// hazeLength is the way, in metres, over which a haze takes its share of the light.
	hazeLength = 10
	// hazeReach is how far a ray that meets nothing is followed, in metres.
	hazeReach = 60
	// hazeSteps is how many points of a ray each lamp is asked at.
	hazeSteps = 8
	// airAcross and airDown are the blocks of a picture, each with one air: it changes slowly.
	airAcross, airDown = 96, 54
	// nearest is how near to a lamp its light is reckoned, in metres.
	nearest = 0.05
)

// Extinction is σ, for a metre, of a haze that takes a share of the light on 10 m of its
// way, 0 to under 1.
func Extinction(share float64) float64 { return -math.Log1p(-share) / hazeLength }

// phases are where in its steps the points of each ray of a block are: of the four, one is
// in each quarter.
var phases = [len(samples)]float64{0.125, 0.625, 0.875, 0.375}

// HazeTask asks for the air of a place as a camera sees it, for pictures as wide as Wide
// says.
type HazeTask struct {
	Place *transport.Place
	// Lamps are the sources of each lamp: what hides one of them from a point of the air
	// hides all.
	Lamps  [][]int
	Camera Camera
	// Share is that of the light which the haze takes on 10 m of its way, 0 to under 1.
	Share float64
}

// Air is what an even haze does to what a camera sees: it takes by its extinction, for a
// metre, and gives what the light of sources adds to the blocks of the picture, rows from
// the top. It is immutable and safe for concurrent use.
type Air struct {
	extinction float64
	// blocks hold camera values for a lumen under a key of 1 lx, as the texels of a map.
	blocks *transport.Map
}

// AppendBinary appends what the air gives, in the form of a light map of one surface.
func (a *Air) AppendBinary(b []byte) ([]byte, error) { return a.blocks.AppendBinary(b) }

// Compute finds the air on all cores. It fails as Camera does, or when ctx ends.
func (t HazeTask) Compute(ctx context.Context) (*Air, error) {
	v, err := t.Camera.view(Wide)
	if err != nil {
		return nil, err
	}
	m := &transport.Map{
		Atlas:   transport.Atlas{Grids: []transport.Grid{{Nu: airAcross, Nv: airDown}}, Texels: airAcross * airDown},
		Sources: len(t.Place.Sources), Channels: 1, Hidden: make([]bool, airAcross*airDown),
	}
	light := make([]float32, m.Texels*m.Sources)
	m.Lux = [3][]float32{light, light, light}
	scene := transport.NewLit(t.Place, nil).Scene()
	extinction := Extinction(t.Share)
	var next atomic.Int64
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for ctx.Err() == nil {
				b := int(next.Add(1)) - 1
				if b >= m.Texels {
					return
				}
				t.block(scene, &v, extinction, b, light[b*m.Sources:][:m.Sources])
			}
		})
	}
	wait.Wait()
	return &Air{extinction, m}, ctx.Err()
}

// block fills the row of a block, by the mean of its rays.
func (t HazeTask) block(scene *solid.Scene, v *view, extinction float64, b int, row []float32) {
	for i, in := range samples {
		ray := v.ray((float64(b%airAcross)+in[0])/airAcross, (float64(b/airAcross)+in[1])/airDown)
		ray.Along = ray.Along.Unit()
		far := float64(hazeReach)
		if hit, ok := scene.Nearest(ray, 0, far); ok {
			far = hit.T
		}
		for _, group := range t.Lamps {
			scatter(scene, ray, far, extinction, phases[i], t.Place.Sources, group, row)
		}
	}
	for k := range row {
		row[k] /= float32(len(samples))
	}
}

// InHaze gives the shot in haze; where that is nil, in clear air.
func (s *Shot) InHaze(a *Air) *Shot {
	out := *s
	out.air = a
	return &out
}

// scatter adds to row what the sources of a lamp give along a ray of length 1 up to far:
//
//	∫ σ/4 · E · exp(-σ(r+t)) dt
//
// with E the light for a lumen at t, r away from the source; camera values are π times
// luminance, and an isotropic phase is 1/(4π). Points are even in the angle at which the
// lamp sees them, where a lamp's light along a ray is even too (C. Kulla and M. Fajardo,
// Importance Sampling Techniques for Path Tracing in Participating Media, EGSR 2012).
func scatter(scene *solid.Scene, ray solid.Ray, far, extinction, phase float64, sources []transport.Source, group []int, row []float32) {
	if len(group) == 0 {
		return
	}
	var middle solid.Vec
	for _, k := range group {
		middle = middle.Add(sources[k].Centre.Scale(1 / float64(len(group))))
	}
	foot := middle.Sub(ray.At).Dot(ray.Along)
	away := max(ray.At.Add(ray.Along.Scale(foot)).Sub(middle).Length(), nearest)
	from, to := math.Atan(-foot/away), math.Atan((far-foot)/away)
	for i := range hazeSteps {
		tan := math.Tan(from + (to-from)*(float64(i)+phase)/hazeSteps)
		t := foot + away*tan
		at := ray.At.Add(ray.Along.Scale(t))
		step := (to - from) / hazeSteps * away * (1 + tan*tan)
		seen, known := false, false
		for _, k := range group {
			e := sources[k].Towards(at, nearest)
			if !(e > 0) {
				continue
			}
			if !known {
				seen, known = !scene.Blocked(at, sources[group[i%len(group)]].Centre), true
			}
			if seen {
				r := at.Sub(sources[k].Centre).Length()
				row[k] += float32(extinction / 4 * e * math.Exp(-extinction*(r+t)) * step)
			}
		}
	}
}

// airLight is the light of a moment in the air, of each block and channel, and room to
// sum it.
type airLight struct {
	blocks [3][]float32
	single []float32
}

func (a *Air) newLight() *airLight {
	l := &airLight{single: make([]float32, a.blocks.Sources)}
	for c := range l.blocks {
		l.blocks[c] = make([]float32, a.blocks.Texels)
	}
	return l
}

// sum fills into with what a light gives under a key of 1 lx.
func (a *Air) sum(l *Light, into *airLight) {
	for c := range into.blocks {
		for k := range l.Cells[:a.blocks.Sources] {
			into.single[k] = l.Cells[k][c]
		}
		a.blocks.Sum(c, into.single, into.blocks[c])
	}
}

// at reads the light at a place of the picture, 0..1 each way, between the middles of
// blocks.
func (l *airLight) at(x, y float32) (v [3]float32) {
	i, fx := part(x*airAcross-0.5, airAcross)
	j, fy := part(y*airDown-0.5, airDown)
	for k := range 4 {
		di, dj := k%2, k/2
		wx, wy := fx, fy
		if di == 0 {
			wx = 1 - fx
		}
		if dj == 0 {
			wy = 1 - fy
		}
		b := min(j+dj, airDown-1)*airAcross + min(i+di, airAcross-1)
		for c := range v {
			v[c] += wx * wy * l.blocks[c][b]
		}
	}
	return v
}

// part parts x, held to 0..n-1, into a whole number and the rest.
func part(x float32, n int) (int, float32) {
	x = min(max(x, 0), float32(n-1))
	return int(x), x - float32(int(x))
}

// clear is the share of light that comes through the air from so far away.
func (a *Air) clear(far float32) float32 {
	return float32(math.Exp(-a.extinction * float64(far)))
}
