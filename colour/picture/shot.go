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

// samples of a pixel: one in each quarter, turned so that no two lie in one row
// or column (a rotated grid).
var samples = [4][2]float64{{0.375, 0.125}, {0.875, 0.375}, {0.125, 0.625}, {0.625, 0.875}}

// What a sample looks at.
const night = -1 // nothing

// sample is what a ray of a pixel meets.
type sample struct {
	// tap is where to read the light of a surface; of a lamp its sources, each with the
	// camera value for a lumen under a key of 1 lx.
	tap     transport.Tap
	surface int32   // of the place, night, or lampOf
	far     float32 // m
}

// lampOf is how a sample names the cell of a lamp; it is its own inverse.
func lampOf(cell int32) int32 { return -2 - cell }

// Shot is what every pixel of a picture looks at. It is immutable and safe for
// concurrent use.
type Shot struct {
	Width, Height int
	lit           *transport.Lit
	samples       []sample // those of a pixel side by side, rows from the top
	finish        [][3]float32
	air           *Air // nil where it is clear
}

// SourcesMost is the most sources of a lamp.
const SourcesMost = 4

// Lamp is what is seen of a cell: its face, and the sources whose light comes from it, at
// most SourcesMost.
type Lamp struct {
	Face    solid.Surface
	Sources []int
}

// NewShot finds what each pixel sees: surfaces of the place, or the faces of the
// cells of lamps. It fails as Camera does, or when ctx ends.
func NewShot(ctx context.Context, lit *transport.Lit, sources []transport.Source, lamps []Lamp, c Camera, width, height int) (*Shot, error) {
	v, err := c.view(float64(width) / float64(height))
	if err != nil {
		return nil, err
	}
	s := &Shot{Width: width, Height: height, lit: lit, samples: make([]sample, width*height*len(samples))}
	for i := range lit.Scene().Surfaces() {
		f := lit.Finish(i)
		s.finish = append(s.finish, [3]float32{float32(f.R), float32(f.G), float32(f.B)})
	}
	seen := bodies{sources: sources, lamps: lamps}
	faces := make([]solid.Surface, len(lamps))
	for i := range lamps {
		faces[i] = lamps[i].Face
	}
	seen.scene = solid.NewScene(faces, nil)
	var row atomic.Int64
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for ctx.Err() == nil {
				y := int(row.Add(1)) - 1
				if y >= height {
					return
				}
				s.look(&v, &seen, y)
			}
		})
	}
	wait.Wait()
	return s, ctx.Err()
}

// Mixed reports whether the looks of a pixel do not all meet one surface or one lamp.
func (s *Shot) Mixed(x, y int) bool {
	at := s.samples[(y*s.Width+x)*len(samples):][:len(samples)]
	for i := range at {
		if at[i].surface != at[0].surface {
			return true
		}
	}
	return false
}

// look fills a row of pixels.
func (s *Shot) look(v *view, lamps *bodies, y int) {
	at := y * s.Width * len(samples)
	for x := range s.Width {
		for _, in := range samples {
			ray := v.ray((float64(x)+in[0])/float64(s.Width), (float64(y)+in[1])/float64(s.Height))
			s.samples[at] = s.meet(ray, lamps)
			at++
		}
	}
}

// bodies are the lamps as they are looked at.
type bodies struct {
	scene   *solid.Scene // of their faces
	lamps   []Lamp
	sources []transport.Source
}

// sample is what is seen of a lamp that a ray has hit.
func (b *bodies) sample(ray *solid.Ray, hit solid.Hit) sample {
	out := sample{surface: lampOf(int32(hit.Surface)), far: float32(hit.T * ray.Along.Length())}
	if hit.Behind {
		return out
	}
	lamp := &b.lamps[hit.Surface]
	for i, k := range lamp.Sources[:min(len(lamp.Sources), SourcesMost)] {
		share := b.sources[k].Glare(lamp.Face, ray.At.Add(ray.Along.Scale(hit.T)), ray.At)
		out.tap.Texel[i], out.tap.Weight[i] = int32(k), float32(math.Pi*share)
	}
	return out
}

// meet finds the nearer of a surface and a lamp.
func (s *Shot) meet(ray solid.Ray, lamps *bodies) sample {
	far := math.Inf(1)
	hit, ok := s.lit.Scene().Nearest(ray, 0, far)
	if ok {
		far = hit.T
	}
	if lamp, shines := lamps.scene.Nearest(ray, 0, far); shines {
		return lamps.sample(&ray, lamp)
	}
	if !ok || hit.Behind {
		return sample{surface: night}
	}
	surface := &s.lit.Scene().Surfaces()[hit.Surface]
	return sample{tap: s.lit.Map().Tap(hit.Surface, surface, hit.U, hit.V), surface: int32(hit.Surface), far: float32(hit.T * ray.Along.Length())}
}
