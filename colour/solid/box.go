package solid

import "math"

// box is a box along the axes.
type box struct{ low, high Vec }

// nothing is the box that holds no point.
func nothing() box {
	far := math.Inf(1)
	return box{Vec{far, far, far}, Vec{-far, -far, -far}}
}

func around(points ...Vec) box {
	b := nothing()
	for _, p := range points {
		b = b.with(box{p, p})
	}
	return b
}

func (b box) with(o box) box {
	return box{
		Vec{min(b.low.X, o.low.X), min(b.low.Y, o.low.Y), min(b.low.Z, o.low.Z)},
		Vec{max(b.high.X, o.high.X), max(b.high.Y, o.high.Y), max(b.high.Z, o.high.Z)},
	}
}

// half is half the area of the box.
func (b box) half() float64 {
	d := b.high.Sub(b.low)
	if d.X < 0 {
		return 0
	}
	return d.X*d.Y + d.Y*d.Z + d.Z*d.X
}

func (b box) centre() Vec { return b.low.Lerp(b.high, 0.5) }

// grown is b with a margin that rounding needs: flat surfaces have flat boxes.
func (b box) grown() box {
	m := 1e-9 * (1 + b.high.Sub(b.low).Length() + b.centre().Length())
	margin := Vec{m, m, m}
	return box{b.low.Sub(margin), b.high.Add(margin)}
}

// caster is a ray with what the slabs need.
type caster struct {
	Ray
	inverse Vec
}

func (r Ray) caster() caster {
	return caster{r, Vec{1 / r.Along.X, 1 / r.Along.Y, 1 / r.Along.Z}}
}

// enters returns where the ray enters the box before most, from 0 on (the slab
// method; A. Williams and others, J. Graphics Tools 10 (2005) 49).
func (b *box) enters(r *caster, most float64) (t float64, ok bool) {
	x0, x1 := (b.low.X-r.At.X)*r.inverse.X, (b.high.X-r.At.X)*r.inverse.X
	if x0 > x1 {
		x0, x1 = x1, x0
	}
	y0, y1 := (b.low.Y-r.At.Y)*r.inverse.Y, (b.high.Y-r.At.Y)*r.inverse.Y
	if y0 > y1 {
		y0, y1 = y1, y0
	}
	z0, z1 := (b.low.Z-r.At.Z)*r.inverse.Z, (b.high.Z-r.At.Z)*r.inverse.Z
	if z0 > z1 {
		z0, z1 = z1, z0
	}
	// A ray within the plane of a slab gives 0·∞ = NaN; the comparisons, and not
	// min and max, pass over it.
	t, most = later(0, x0), earlier(most, x1)
	t, most = later(t, y0), earlier(most, y1)
	t, most = later(t, z0), earlier(most, z1)
	return t, t <= most
}

func later(a, b float64) float64 {
	if b > a {
		return b
	}
	return a
}

func earlier(a, b float64) float64 {
	if b < a {
		return b
	}
	return a
}
