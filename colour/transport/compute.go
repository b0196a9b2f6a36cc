package transport

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"linkboy/colour/solid"
)

// Options say how much work to do. The zero Options do what a place needs.
type Options struct {
	Texels  int // about how many; 0 for 12 000
	Rays    int // from each texel for bounces; 0 for 192
	Bounces int // at most; 0 for as many as matter
	Workers int // 0 for every processor
	// Progress is told the map as it grows: after direct light, and after the
	// bounces. The map is not to be changed, nor kept once Progress returns.
	Progress func(Stage, *Map)
}

// Stage is how far a computation is.
type Stage string

// The stages.
const (
	Coarse  Stage = "coarse"  // direct light in the middle of each texel
	Direct  Stage = "direct"  // direct light with clean shadows
	Bounced Stage = "bounced" // with the light that surfaces throw on each other
)

const (
	raysUsual    = 192
	bouncesUsual = 40
	// enough ends the bounces when all that would follow adds less than this
	// share to the light that there is: a hundredth of a stop.
	enough = 0.007
)

func (o Options) complete() Options {
	if o.Texels <= 0 {
		o.Texels = texelsAim
	}
	if o.Rays <= 0 {
		o.Rays = raysUsual
	}
	if o.Bounces <= 0 {
		o.Bounces = bouncesUsual
	}
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	return o
}

// Compute works out the map of a place. It fails when the place is wrong
// (ErrFinish, ErrSource), or with the context's error when that ends first. The
// same place and options give the same map, however many workers there are.
func Compute(ctx context.Context, p *Place, o Options) (*Map, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	o = o.complete()
	w := &work{ctx: ctx, place: p, options: o, scene: p.scene()}
	w.m = newMap(p, NewAtlas(p.Pieces, o.Texels))
	for _, stage := range []func() error{w.coarse, w.direct, w.bounced} {
		if err := stage(); err != nil {
			return nil, err
		}
	}
	return w.m, nil
}

// work is a computation.
type work struct {
	ctx     context.Context
	place   *Place
	options Options
	scene   *solid.Scene
	m       *Map
	met     []int32 // for each texel, what its rays meet
}

func (w *work) tell(s Stage) {
	if w.options.Progress != nil {
		w.options.Progress(s, w.m)
	}
}

// stripe is how many texels a worker takes at a time.
const stripe = 64

// share hands stripes of the texels to the workers, until ctx ends. do gets
// scratch of its own.
func (w *work) share(do func(first, last int, scratch *scratch)) error {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range w.options.Workers {
		wait.Go(func() {
			var s scratch
			for {
				first := int(next.Add(stripe)) - stripe
				if first >= w.m.Texels || w.ctx.Err() != nil {
					return
				}
				do(first, min(first+stripe, w.m.Texels), &s)
			}
		})
	}
	wait.Wait()
	return w.ctx.Err()
}

// scratch is a worker's memory.
type scratch struct {
	grid  int // of the last texel, near which the next one is
	spots []spot
}

// gridOf moves to the grid of a texel.
func (s *scratch) gridOf(m *Map, t int) Grid {
	for s.grid > 0 && m.Grids[s.grid].First > t {
		s.grid--
	}
	for s.grid+1 < len(m.Grids) && m.Grids[s.grid+1].First <= t {
		s.grid++
	}
	return m.Grids[s.grid]
}

// spotsOf returns the spots of a texel that light reaches, or all of them and
// false when the texel is hidden.
func (w *work) spotsOf(t int, s *scratch, c *chance) (open []spot, hidden bool) {
	g := s.gridOf(w.m, t)
	i, j := (t-g.First)%g.Nu, (t-g.First)/g.Nu
	s.spots = g.spotsOf(&w.place.Pieces[s.grid].Surface, i, j, c, s.spots)
	all := s.spots
	open = all[:0]
	for _, p := range all {
		if !inside(w.scene, p) {
			open = append(open, p)
		}
	}
	return open, len(open) == 0
}

// coarse computes direct light at one spot of each texel.
func (w *work) coarse() error {
	d := direct{w.scene, w.place.Sources}
	err := w.share(func(first, last int, s *scratch) {
		for t := first; t < last; t++ {
			c := newChance(t)
			open, hidden := w.spotsOf(t, s, c)
			w.m.Hidden[t] = hidden
			if !hidden {
				d.at(open[len(open)/2], 1, w.m.row(0, t), c.next(), c.next())
			}
		}
	})
	if err != nil {
		return err
	}
	w.spread()
	w.tell(Coarse)
	return nil
}

// spread gives every channel the direct light, which has no colour of a surface.
func (w *work) spread() {
	for c := 1; c < w.m.Channels; c++ {
		copy(w.m.Lux[c], w.m.Lux[0])
	}
}

// direct computes it at all spots.
func (w *work) direct() error {
	d := direct{w.scene, w.place.Sources}
	err := w.share(func(first, last int, s *scratch) {
		for t := first; t < last; t++ {
			if w.m.Hidden[t] {
				continue
			}
			c := newChance(t)
			open, _ := w.spotsOf(t, s, c)
			row := w.m.row(0, t)
			clear(row)
			for _, p := range open {
				d.at(p, 1/float64(len(open)), row, c.next(), c.next())
			}
		}
	})
	if err != nil {
		return err
	}
	w.spread()
	w.tell(Direct)
	return nil
}
