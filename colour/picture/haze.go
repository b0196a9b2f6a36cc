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
	// hazeBlock is how many pixels across and down have one haze: it changes slowly.
	hazeBlock = 4
	// nearest is how near to a lamp its light is reckoned, in metres.
	nearest = 0.05
)

// Extinction is σ, for a metre, of a haze that takes a share of the light on 10 m of its
// way, 0 to under 1.
func Extinction(share float64) float64 { return -math.Log1p(-share) / hazeLength }

// phases are where in its steps the points of a block are: of any four side by side each
// has others, so that what is smoothed over them shows no steps.
var phases = [2][2]float64{{0.125, 0.625}, {0.875, 0.375}}

// haze is the air of a shot: what each source gives in it.
type haze struct {
	extinction   float64
	across, down int
	sources      int
	light        []float32 // of each block, by source: camera value for a lumen under a key of 1 lx
}

// InHaze gives the shot in a haze that takes a share, 0 to under 1, of the light on 10 m
// of its way. groups are the sources of each lamp: what hides one of them from a point of
// the air hides all. With a share of 0 it is the same shot. The error is that of ctx.
func (s *Shot) InHaze(ctx context.Context, share float64, sources []transport.Source, groups [][]int) (*Shot, error) {
	if !(share > 0) {
		return s, nil
	}
	h := &haze{
		extinction: Extinction(share), sources: len(sources),
		across: (s.Width + hazeBlock - 1) / hazeBlock, down: (s.Height + hazeBlock - 1) / hazeBlock,
	}
	h.light = make([]float32, h.across*h.down*h.sources)
	var next atomic.Int64
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for ctx.Err() == nil {
				y := int(next.Add(1)) - 1
				if y >= h.down {
					return
				}
				for x := range h.across {
					s.air(h, x, y, sources, groups)
				}
			}
		})
	}
	wait.Wait()
	out := *s
	out.haze = h
	return &out, ctx.Err()
}

// air fills a block.
func (s *Shot) air(h *haze, x, y int, sources []transport.Source, groups [][]int) {
	ray := s.view.ray((float64(x)+0.5)*hazeBlock/float64(s.Width), (float64(y)+0.5)*hazeBlock/float64(s.Height))
	ray.Along = ray.Along.Unit()
	far := float64(hazeReach)
	if hit, ok := s.lit.Scene().Nearest(ray, 0, far); ok {
		far = hit.T
	}
	row := h.light[(y*h.across+x)*h.sources:][:h.sources]
	for _, group := range groups {
		scatter(s.lit.Scene(), ray, far, h.extinction, phases[y%2][x%2], sources, group, row)
	}
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

// fill sums the air of every block in a light, under a key of 1 lx, and smooths it. rough
// is room as large as into.
func (h *haze) fill(l *Light, into, rough []float32) {
	for b := range h.across * h.down {
		row := h.light[b*h.sources:][:h.sources]
		var sum [3]float32
		for k, v := range row {
			cell := &l.Cells[k]
			sum[0], sum[1], sum[2] = sum[0]+v*cell[0], sum[1]+v*cell[1], sum[2]+v*cell[2]
		}
		copy(into[3*b:3*b+3], sum[:])
	}
	h.smooth(into, rough, h.down, 3*h.across, h.across, 3)
	h.smooth(rough, into, h.across, 3, h.down, 3*h.across)
}

// smooth averages the n blocks, step apart, of each of so many lines by 1, 2, 1.
func (h *haze) smooth(from, to []float32, lines, lineStep, n, step int) {
	for line := range lines {
		at := line * lineStep
		for i := range n {
			here, before, after := at+i*step, at+max(i-1, 0)*step, at+min(i+1, n-1)*step
			for c := range 3 {
				to[here+c] = (from[before+c] + 2*from[here+c] + from[after+c]) / 4
			}
		}
	}
}

// at reads the air at a pixel, between the middles of blocks.
func (h *haze) at(air []float32, x, y int) (v [3]float32) {
	i, fx := part((float32(x)+0.5)/hazeBlock-0.5, h.across)
	j, fy := part((float32(y)+0.5)/hazeBlock-0.5, h.down)
	for k := range 4 {
		di, dj := k%2, k/2
		wx, wy := fx, fy
		if di == 0 {
			wx = 1 - fx
		}
		if dj == 0 {
			wy = 1 - fy
		}
		b := min(j+dj, h.down-1)*h.across + min(i+di, h.across-1)
		for c := range v {
			v[c] += wx * wy * air[3*b+c]
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
func (h *haze) clear(far float32) float32 {
	return float32(math.Exp(-h.extinction * float64(far)))
}
