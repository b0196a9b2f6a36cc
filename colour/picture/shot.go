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
	tap     transport.Tap
	surface int32   // of the place, night, or lampOf
	share   float32 // of a lamp: camera value for a lumen under a key of 1 lx
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
}

// NewShot finds what each pixel sees: surfaces of the place, or the faces of the
// cells of lamps, one a source. It fails as Camera does, or when ctx ends.
func NewShot(ctx context.Context, lit *transport.Lit, sources []transport.Source, faces []solid.Surface, c Camera, width, height int) (*Shot, error) {
	v, err := c.view(float64(width) / float64(height))
	if err != nil {
		return nil, err
	}
	s := &Shot{Width: width, Height: height, lit: lit, samples: make([]sample, width*height*len(samples))}
	for i := range lit.Scene().Surfaces() {
		f := lit.Finish(i)
		s.finish = append(s.finish, [3]float32{float32(f.R), float32(f.G), float32(f.B)})
	}
	lamps := solid.NewScene(faces, nil)
	var row atomic.Int64
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for ctx.Err() == nil {
				y := int(row.Add(1)) - 1
				if y >= height {
					return
				}
				s.look(&v, lamps, sources, y)
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
func (s *Shot) look(v *view, lamps *solid.Scene, sources []transport.Source, y int) {
	at := y * s.Width * len(samples)
	for x := range s.Width {
		for _, in := range samples {
			ray := v.ray((float64(x)+in[0])/float64(s.Width), (float64(y)+in[1])/float64(s.Height))
			s.samples[at] = s.meet(ray, lamps, sources)
			at++
		}
	}
}

// meet finds the nearer of a surface and a lamp.
func (s *Shot) meet(ray solid.Ray, lamps *solid.Scene, sources []transport.Source) sample {
	far := math.Inf(1)
	hit, ok := s.lit.Scene().Nearest(ray, 0, far)
	if ok {
		far = hit.T
	}
	if lamp, shines := lamps.Nearest(ray, 0, far); shines {
		share := 0.0
		if !lamp.Behind {
			face := lamps.Surfaces()[lamp.Surface]
			share = sources[lamp.Surface].Glare(face, ray.At.Add(ray.Along.Scale(lamp.T)), ray.At)
		}
		return sample{surface: lampOf(int32(lamp.Surface)), share: float32(math.Pi * share)}
	}
	if !ok || hit.Behind {
		return sample{surface: night}
	}
	surface := &s.lit.Scene().Surfaces()[hit.Surface]
	return sample{tap: s.lit.Map().Tap(hit.Surface, surface, hit.U, hit.V), surface: int32(hit.Surface)}
}
