package transport

// smoothings is how often bounced light is smoothed: twice leaves of the noise of
// its rays about a quarter.
const smoothings = 2

// settle smooths what has bounced and adds it to the map. Light from all around
// changes slowly over a surface, so that what differs from texel to texel is mostly
// the chance of the rays; the light that comes straight stays sharp.
func (b *bounce) settle() error {
	for range smoothings {
		if err := b.w.share(b.smooth); err != nil {
			return err
		}
		b.sum, b.next = b.next, b.sum
	}
	return b.w.share(func(first, last int, _ *scratch) {
		for t := first; t < last; t++ {
			add(b.row(t), b.sum[t*b.n:(t+1)*b.n], 1)
		}
	})
}

// smooth averages texels with their neighbours on the surface, by 1, 2, 1 each way,
// from sum to next. Hidden ones count for nothing.
func (b *bounce) smooth(first, last int, s *scratch) {
	for t := first; t < last; t++ {
		out := b.next[t*b.n : (t+1)*b.n]
		clear(out)
		if b.w.m.Hidden[t] {
			continue
		}
		g := s.gridOf(b.w.m, t)
		around := b.w.place.Pieces[s.grid].Surface.Around()
		i, j := (t-g.First)%g.Nu, (t-g.First)/g.Nu
		total := float32(0)
		for dj := -1; dj <= 1; dj++ {
			for di := -1; di <= 1; di++ {
				n, ok := g.beside(i+di, j+dj, around)
				if !ok || b.w.m.Hidden[n] {
					continue
				}
				w := float32((2 - di*di) * (2 - dj*dj))
				add(out, b.sum[n*b.n:(n+1)*b.n], w)
				total += w
			}
		}
		for k := range out {
			out[k] /= total
		}
	}
}

// beside returns the texel (i, j), round the seam where the surface goes round; false
// off the grid.
func (g Grid) beside(i, j int, around bool) (texel int, ok bool) {
	if around {
		i = (i + g.Nu) % g.Nu
	}
	return g.First + j*g.Nu + i, i >= 0 && i < g.Nu && j >= 0 && j < g.Nv
}
