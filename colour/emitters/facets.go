package emitters

import (
	"cmp"
	"math"
	"slices"
)

// Tolerances, as sines of angles between directions in XYZ space. Near white an
// angle of 1e-7 is about 1e-7 in xy, a tenth of the error allowed to a solution.
const (
	// parallel: emitters closer than this are one colour and share one drive.
	// Two directions that close still give a normal good to 1e-9.
	parallel = 1e-7
	// coplanar: emitters closer than this to a plane lie in it. It is wider
	// than the error of a normal and adds at most itself to a solution.
	coplanar = 1e-8
)

// The solver's geometry. Rays v (emitters of one chromaticity added up) span the
// zonotope Z = {sum d*v, 0 <= d <= 1}. A facet with outward normal n has full
// drive for every ray with n.v > 0, none for n.v < 0, and anything for the rays in
// its plane. The ray of chromaticity t leaves Z at scale
//
//	min over facets with n.t > 0 of h(n) / n.t,  h(n) = sum of the positive n.v
//
// which is the dual of the linear program "most light at t" (h is the support
// function; see Ziegler, Lectures on Polytopes, 1995, section 7.3, for zonotopes).
// Every facet lies in the plane of two rays, so at most 28 planes, each with a
// facet on either side, hold the answer for every colour.

// plane is a pair of opposite facets. Index 0 of the arrays is the facet towards
// normal, 1 the one away from it.
type plane struct {
	normal  vector
	support [2]float64 // h(normal), h(-normal)
	tiles   []tile
}

// tile is a parallelogram of a facet: the rays free[0] and free[1] at any drive
// and the others at 0 or 1. A plane of two rays has one tile. More rays in a
// plane (emitters on one line in the chromaticity diagram) leave a choice of mixes
// with the very same light; then the tiles make the choice, and make it so that
// the mix stays continuous: see tileOf. free is -1 where there is no such ray.
type tile struct {
	free [2]int
	dual [2]vector // dual[i] . x is the drive of free[i] in x
	on   [2]uint16 // bit set of the rays at full
	base [2]vector // light of those
}

// mergeRays adds emitters of one chromaticity up to one ray and returns, for each
// emitter, the index of its ray.
func mergeRays(full []vector) (ray []int, rays []vector) {
	var first []vector
	for _, v := range full {
		u := v.unit()
		at := slices.IndexFunc(first, func(f vector) bool { return f.cross(u).length() <= parallel })
		if at < 0 {
			at = len(rays)
			first = append(first, u)
			rays = append(rays, vector{})
		}
		rays[at] = rays[at].add(v)
		ray = append(ray, at)
	}
	return ray, rays
}

// facets returns the planes that bound the zonotope of rays, no two of which are
// parallel.
func facets(rays []vector) []plane {
	if len(rays) == 1 {
		return []plane{endPlane(rays[0])}
	}
	var planes []plane
	var members []uint16
	for _, p := range pairs(rays) {
		both := uint16(1)<<p.i | uint16(1)<<p.j
		if slices.ContainsFunc(members, func(m uint16) bool { return m&both == both }) {
			continue
		}
		in := raysIn(rays, p.normal) | both
		members = append(members, in)
		if in == 1<<len(rays)-1 {
			return edgePlanes(rays, p.normal)
		}
		planes = append(planes, facetPlane(rays, p.normal, in))
	}
	return planes
}

// pair is two rays and the unit normal of their plane.
type pair struct {
	i, j   int
	sine   float64
	normal vector
}

// pairs lists all pairs of rays, widest angle first, as those give the truest normals.
func pairs(rays []vector) []pair {
	var all []pair
	for i := range rays {
		for j := i + 1; j < len(rays); j++ {
			n := rays[i].unit().cross(rays[j].unit())
			all = append(all, pair{i, j, n.length(), n.unit()})
		}
	}
	slices.SortStableFunc(all, func(a, b pair) int { return cmp.Compare(b.sine, a.sine) })
	return all
}

// raysIn returns the bit set of the rays in the plane of normal.
func raysIn(rays []vector, normal vector) uint16 {
	var in uint16
	for k, v := range rays {
		if math.Abs(normal.dot(v)) <= coplanar*v.length() {
			in |= 1 << k
		}
	}
	return in
}

// facetPlane makes the plane of normal, which holds the rays of the bit set in.
func facetPlane(rays []vector, normal vector, in uint16) plane {
	p, on := newPlane(rays, normal, in)
	order := alongPlane(rays, normal, in)
	for a := range order {
		for b := a + 1; b < len(order); b++ {
			p.tiles = append(p.tiles, tileOf(rays, normal, on, order, a, b))
		}
	}
	return p
}

// newPlane makes the plane of normal without tiles, and the rays at full on
// either side of it, of those not in it.
func newPlane(rays []vector, normal vector, in uint16) (p plane, on [2]uint16) {
	p.normal = normal
	for k, v := range rays {
		if in>>k&1 == 1 {
			continue
		}
		if s := normal.dot(v); s > 0 {
			p.support[0] += s
			on[0] |= 1 << k
		} else {
			p.support[1] -= s
			on[1] |= 1 << k
		}
	}
	return p, on
}

// alongPlane returns the rays of the bit set in, sorted by their angle within the
// plane, which is their order along a line of the chromaticity diagram. All rays
// lie in the octant of positive XYZ, so they are less than half a turn apart.
func alongPlane(rays []vector, normal vector, in uint16) []int {
	var order []int
	for k := range rays {
		if in>>k&1 == 1 {
			order = append(order, k)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(0, normal.dot(rays[a].cross(rays[b])))
	})
	return order
}

// tileOf makes the tile of the rays order[a] and order[b]. Of the other rays of
// the plane, those between the two are at full and those beyond them dark. These
// tiles cover the facet without overlap and agree where they touch, as they are the
// mixes of least sum d*v*s^2 with s the place on the line: a parabola has no three
// points on a line, so that mix is unique and follows the target continuously. In
// words: colours near the target go before colours far to both sides of it.
func tileOf(rays []vector, normal vector, on [2]uint16, order []int, a, b int) tile {
	i, j := order[a], order[b]
	t := tile{free: [2]int{i, j}, on: on}
	for _, k := range order[a+1 : b] {
		t.on[0] |= 1 << k
		t.on[1] |= 1 << k
	}
	t.dual[0], t.dual[1] = dualOf(rays[i], rays[j], normal), dualOf(rays[j], rays[i], normal)
	t.base = [2]vector{sumOf(rays, t.on[0]), sumOf(rays, t.on[1])}
	return t
}

// dualOf returns the vector w in the plane of normal with w.v = 1 and w.other = 0.
func dualOf(v, other, normal vector) vector {
	w := other.unit().cross(normal)
	return w.scale(1 / w.dot(v))
}

func sumOf(rays []vector, set uint16) vector {
	var sum vector
	for k, v := range rays {
		if set>>k&1 == 1 {
			sum = sum.add(v)
		}
	}
	return sum
}

// edgePlanes serves rays that all lie in the plane of normal. Z is flat then, a
// polygon; through each of its edges goes a plane square to it.
func edgePlanes(rays []vector, normal vector) []plane {
	var planes []plane
	for i, v := range rays {
		p, on := newPlane(rays, normal.cross(v).unit(), 1<<i)
		t := tile{free: [2]int{i, -1}, on: on}
		t.dual[0] = v.scale(1 / v.dot(v))
		t.base = [2]vector{sumOf(rays, on[0]), sumOf(rays, on[1])}
		p.tiles = []tile{t}
		planes = append(planes, p)
	}
	return planes
}

// endPlane serves a single ray v: Z is a segment that ends in a plane square to it.
func endPlane(v vector) plane {
	p, on := newPlane([]vector{v}, v.unit(), 0)
	p.tiles = []tile{{free: [2]int{-1, -1}, on: on, base: [2]vector{v, {}}}}
	return p
}
