package transport

// block is how many sources bounce at a time: their light at a texel is a few
// lines of the processor's cache.
const block = 64

// bounced adds what surfaces throw on each other.
func (w *work) bounced() error {
	if err := w.gather(); err != nil {
		return err
	}
	for c := range w.m.Channels {
		reflect := w.reflectances(c)
		for first := 0; first < w.m.Sources; first += block {
			b := &bounce{w: w, channel: c, first: first, n: min(block, w.m.Sources-first), reflect: reflect}
			if err := b.run(); err != nil {
				return err
			}
		}
	}
	w.tell(Bounced)
	return nil
}

// gather finds what each texel's hemisphere meets.
func (w *work) gather() error {
	n := w.options.Rays
	w.met = make([]int32, w.m.Texels*n)
	return w.share(func(first, last int, s *scratch) {
		for t := first; t < last; t++ {
			met := w.met[t*n : (t+1)*n]
			c := newChance(t)
			open, hidden := w.spotsOf(t, s, c)
			if hidden {
				for k := range met {
					met[k] = sky
				}
				continue
			}
			hemisphere(w.scene, &w.m.Atlas, open, c, met)
		}
	})
}

// reflectances are those of all texels for a channel.
func (w *work) reflectances(channel int) []float32 {
	all := make([]float32, w.m.Texels)
	for i, g := range w.m.Grids {
		for t := g.First; t < g.First+g.texels(); t++ {
			all[t] = float32(w.place.Pieces[i].Finish.channel(channel))
		}
	}
	return all
}

// bounce passes the light of some sources around.
type bounce struct {
	w        *work
	channel  int
	first, n int // of the sources
	reflect  []float32
	now      []float32 // light of the last bounce, texel by texel
	next     []float32
	sum      []float32 // of all bounces
}

func (b *bounce) run() error {
	m := b.w.m
	b.now, b.next, b.sum = make([]float32, m.Texels*b.n), make([]float32, m.Texels*b.n), make([]float32, m.Texels*b.n)
	for t := range m.Texels {
		copy(b.now[t*b.n:(t+1)*b.n], b.row(t))
	}
	before, _ := b.light()
	for range b.w.options.Bounces {
		if err := b.w.share(b.pass); err != nil {
			return err
		}
		b.now, b.next = b.next, b.now
		last, all := b.light()
		// Each bounce is the same share of the one before, by and by.
		share := last / before
		if last == 0 || share < 1 && last*share/(1-share) < enough*all {
			break
		}
		before = last
	}
	return b.settle()
}

// row is the light of the sources of the block at a texel.
func (b *bounce) row(t int) []float32 {
	return b.w.m.row(b.channel, t)[b.first : b.first+b.n]
}

// pass makes the next bounce of some texels and adds it to the sum.
func (b *bounce) pass(first, last int, _ *scratch) {
	rays := b.w.options.Rays
	for t := first; t < last; t++ {
		sum := b.next[t*b.n : (t+1)*b.n]
		clear(sum)
		for _, from := range b.w.met[t*rays : (t+1)*rays] {
			if from < 0 {
				continue
			}
			add(sum, b.now[int(from)*b.n:][:b.n], b.reflect[from]/float32(rays))
		}
		add(b.sum[t*b.n:(t+1)*b.n], sum, 1)
	}
}

// add adds k times b to a.
func add(a, b []float32, k float32) {
	for i, v := range b[:len(a)] {
		a[i] += k * v
	}
}

// light sums the light of the last bounce, and all there is.
func (b *bounce) light() (last, all float64) {
	for t := range b.w.m.Texels {
		for k, v := range b.row(t) {
			at := t*b.n + k
			all += float64(v) + float64(b.sum[at])
			last += float64(b.now[at])
		}
	}
	return last, all
}
