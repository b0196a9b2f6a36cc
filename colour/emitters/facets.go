package emitters

import (
	"math"
	"slices"
)

// Tolerances, as sines of angles between directions in XYZ space. An angle of 3e-8 is at
// most 1e-7 in u'v' (three times as much, at violet), which is what within forgives.
const (
	// parallel: emitters closer than this are one colour and share one drive.
	parallel = 3e-8
	// flat: emitters all closer than this to one plane are on one line of the
	// chromaticity diagram. Below it, rounding a target by 1e-16 would move it
	// by more than 3e-9 of what is left of the gamut's width.
	flat = 3e-8
	// dust: a ray closer than this to the plane of two others lies in it. It is
	// what rounding alone can make of three emitters on one line, and no more:
	// taking a ray into a plane that is not its own moves the facets beside it by
	// the distance divided by the angle between them, as small as flat.
	dust = 4e-15
	// coarse is the dust of a second set of facets. Of many rays that lie in one plane
	// but for just about dust, some triples pass for it and some do not; the facets then
	// disagree and leave gaps. No such doubt is in both sets at once.
	coarse = 1e-12
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
// Every facet is spanned by two rays, so at most 28 pairs, each with a facet on either
// side of Z, hold the answer for every colour.

// facet is a pair of opposite parallelograms on the boundary of Z: the rays free[0]
// and free[1] at any drive, the others at 0 or 1. Index 0 of the other arrays is the
// one towards normal, 1 the one away from it. free is -1 where there is no such ray.
type facet struct {
	normal  vector
	support [2]float64 // h(normal), h(-normal)
	free    [2]int
	dual    [2]vector // dual[i] . x is the drive of free[i] in x
	on      [2]uint16 // bit set of the rays at full
	base    [2]vector // light of those
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

// facets returns the facets of the zonotope of rays, no two of which are parallel. A ray
// nearer than dust to the plane of two others counts as in it.
func facets(rays []vector, dust float64) []facet {
	if len(rays) == 1 {
		return []facet{endFacet(rays[0])}
	}
	if n, ok := flatNormal(rays); ok {
		return edgeFacets(rays, n)
	}
	var all []facet
	for i := range rays {
		for j := i + 1; j < len(rays); j++ {
			all = append(all, facetOf(rays, i, j, dust))
		}
	}
	return all
}

// flatNormal returns the normal of the plane that holds all rays, if there is one.
func flatNormal(rays []vector) (vector, bool) {
	n := normalOf(rays, widest(rays)).unit()
	for _, v := range rays {
		if math.Abs(n.dot(v)) > flat*v.length() {
			return vector{}, false
		}
	}
	return n, true
}

// normalOf returns the cross product of the directions of two rays; its length is the
// sine of their angle.
func normalOf(rays []vector, pair [2]int) vector {
	return rays[pair[0]].unit().cross(rays[pair[1]].unit())
}

// widest returns the two rays with the widest angle between them.
func widest(rays []vector) (pair [2]int) {
	most := -1.0
	for i := range rays {
		for j := range i {
			if sine := normalOf(rays, [2]int{j, i}).length(); sine > most {
				pair, most = [2]int{j, i}, sine
			}
		}
	}
	return pair
}

// facetOf makes the facet of the rays i and j. Of other rays in its plane (emitters on one
// line), those between the two are at full and those beyond them dark. There several mixes
// have the very same light, and this chooses: such facets cover the plane's part of the
// boundary without overlap and agree where they touch, as they are the mixes of least sum
// d*w*s^2, with w a ray's X+Y+Z and s its place on the line: a parabola has no three points
// on a line, so that mix is unique and follows the target continuously. In words: colours
// near the target go before colours far to both sides of it.
func facetOf(rays []vector, i, j int, dust float64) facet {
	f := facet{normal: normalOf(rays, [2]int{i, j}).unit(), free: [2]int{i, j}}
	for k, v := range rays {
		switch {
		case k == i || k == j:
		case !collinear(rays, i, j, k, dust):
			f.stand(k, f.normal.dot(v))
		case f.normal.dot(rays[i].cross(v)) > 0 && f.normal.dot(v.cross(rays[j])) > 0:
			f.on[0] |= 1 << k
			f.on[1] |= 1 << k
		}
	}
	f.dual = [2]vector{dualOf(rays[i], rays[j], f.normal), dualOf(rays[j], rays[i], f.normal)}
	f.sumUp(rays)
	return f
}

// collinear tells whether three rays lie in one plane. The order of the three does not
// matter, so that all facets agree on it.
func collinear(rays []vector, i, j, k int, dust float64) bool {
	order := [3]int{i, j, k}
	slices.Sort(order[:])
	three := []vector{rays[order[0]], rays[order[1]], rays[order[2]]}
	wide := widest(three)
	n, other := normalOf(three, wide).unit(), three[3-wide[0]-wide[1]]
	return math.Abs(n.dot(other)) <= dust*other.length()
}

// stand puts ray k to full on the side of the facet that it stands on, at distance s
// along the normal.
func (f *facet) stand(k int, s float64) {
	side := 0
	if s < 0 {
		side, s = 1, -s
	}
	f.support[side] += s
	f.on[side] |= 1 << k
}

// sumUp sets the light of the rays at full.
func (f *facet) sumUp(rays []vector) {
	for side := range f.base {
		for k, v := range rays {
			if f.on[side]>>k&1 == 1 {
				f.base[side] = f.base[side].add(v)
			}
		}
	}
}

// dualOf returns the vector w in the plane of normal with w.v = 1 and w.other = 0.
func dualOf(v, other, normal vector) vector {
	w := other.unit().cross(normal)
	return w.scale(1 / w.dot(v))
}

// edgeFacets serves rays that all lie in the plane of normal. Z is flat then, a polygon;
// each of its edges counts as a facet square to it.
func edgeFacets(rays []vector, normal vector) []facet {
	var all []facet
	for i, v := range rays {
		f := facet{normal: normal.cross(v).unit(), free: [2]int{i, -1}}
		f.dual[0] = v.scale(1 / v.dot(v))
		for k, other := range rays {
			if k != i {
				f.stand(k, f.normal.dot(other))
			}
		}
		f.sumUp(rays)
		all = append(all, f)
	}
	return all
}

// endFacet serves a single ray v: Z is a segment that ends in a plane square to it.
func endFacet(v vector) facet {
	f := facet{normal: v.unit(), free: [2]int{-1, -1}}
	f.stand(0, v.length())
	f.sumUp([]vector{v})
	return f
}
