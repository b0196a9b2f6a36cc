package solid

import "math"

// Ray is a half-line: the points At + t·Along, t > 0. Along need not have
// length 1; t counts in lengths of it.
type Ray struct{ At, Along Vec }

// Hit is where a ray first meets a surface.
type Hit struct {
	Surface int // index into those of the scene
	T       float64
	U, V    float64
	// Behind tells that the ray came from the side that the surface is not of:
	// from within something solid.
	Behind bool
}

// meet returns where the ray meets the surface at t in (least, most); the outer
// of two points where both are there, unless it is out of range.
func (s *Surface) meet(r *Ray, least, most float64) (t, u, v float64, ok bool) {
	switch s.shape {
	case Tube:
		return s.meetTube(r, least, most)
	case Ball:
		return s.meetBall(r, least, most)
	}
	along := r.Along.Dot(s.n)
	if along == 0 {
		return 0, 0, 0, false
	}
	q := r.At.Sub(s.at)
	t = -q.Dot(s.n) / along
	if !(t > least && t < most) {
		return 0, 0, 0, false
	}
	q = q.Add(r.Along.Scale(t))
	u, v = q.Dot(s.du), q.Dot(s.dv)
	switch s.shape {
	case Rectangle:
		ok = u >= 0 && u <= 1 && v >= 0 && v <= 1
	case Triangle:
		ok = u >= 0 && v >= 0 && u+v <= 1
	case Disc:
		ok = u*u+v*v <= 1
		u, v = (u+1)/2, (v+1)/2
	}
	return t, u, v, ok
}

// roots are those of a·t² + 2·b·t + c, in order, without cancellation.
func roots(a, b, c float64) (low, high float64, ok bool) {
	d := b*b - a*c
	if !(d >= 0) || a == 0 {
		return 0, 0, false
	}
	q := -(b + math.Copysign(math.Sqrt(d), b))
	if q == 0 {
		return 0, 0, true
	}
	low, high = q/a, c/q
	if low > high {
		low, high = high, low
	}
	return low, high, true
}

func (s *Surface) meetTube(r *Ray, least, most float64) (t, u, v float64, ok bool) {
	q := r.At.Sub(s.at)
	x, y := q.Dot(s.du), q.Dot(s.dv)
	dx, dy := r.Along.Dot(s.du), r.Along.Dot(s.dv)
	low, high, ok := roots(dx*dx+dy*dy, x*dx+y*dy, x*x+y*y-1)
	if !ok {
		return 0, 0, 0, false
	}
	for _, t := range [2]float64{low, high} {
		if !(t > least && t < most) {
			continue
		}
		if v = (q.Add(r.Along.Scale(t))).Dot(s.dw); v >= 0 && v <= 1 {
			return t, turn(x+t*dx, y+t*dy), v, true
		}
	}
	return 0, 0, 0, false
}

func (s *Surface) meetBall(r *Ray, least, most float64) (t, u, v float64, ok bool) {
	q, radius := r.At.Sub(s.at), s.u.X
	low, high, ok := roots(r.Along.Dot(r.Along), q.Dot(r.Along), q.Dot(q)-radius*radius)
	if !ok {
		return 0, 0, 0, false
	}
	for _, t := range [2]float64{low, high} {
		if t > least && t < most {
			p := q.Add(r.Along.Scale(t))
			return t, turn(p.X, p.Y), min(1, max(0, (p.Z/radius+1)/2)), true
		}
	}
	return 0, 0, 0, false
}

// turn is the angle of (x, y) as a share of a full turn, 0..1.
func turn(x, y float64) float64 {
	a := math.Atan2(y, x) / (2 * math.Pi)
	if a < 0 {
		a++
	}
	return min(a, 1)
}
