package solid

import (
	"math"
	"slices"
)

// Scene is surfaces that rays are cast into.
type Scene struct {
	surfaces []Surface
	twins    []int32 // of each surface: its other side, or -1
	order    []int32 // surfaces as the leaves hold them
	nodes    []node
}

// node of a tree of boxes: a leaf holds order[first : first+count], another node
// has its children at left and left+1.
type node struct {
	box   box
	left  int32
	first int32
	count int32
}

const (
	// leafMost is how many surfaces a leaf may hold.
	leafMost = 4
	// depthMost bounds the stack of a cast; splits by area never come near it.
	depthMost = 64
)

// NewScene prepares surfaces. sides pairs, by their indices, those that are the
// two sides of one thin thing, one made from the other by Flipped.
func NewScene(surfaces []Surface, sides [][2]int) *Scene {
	s := &Scene{surfaces: slices.Clone(surfaces), twins: make([]int32, len(surfaces)), order: make([]int32, len(surfaces))}
	for i := range s.twins {
		s.twins[i], s.order[i] = -1, int32(i)
	}
	for _, p := range sides {
		s.twins[p[0]], s.twins[p[1]] = int32(p[1]), int32(p[0])
	}
	s.grow()
	return s
}

// grow builds the tree of the surfaces in order.
func (s *Scene) grow() {
	s.nodes = nil
	if len(s.order) > 0 {
		s.nodes = append(s.nodes, node{})
		s.split(0, 0, len(s.order), 0)
	}
}

// Without returns the scene without some of its surfaces, which keep their
// indices: rays pass through them.
func (s *Scene) Without(hidden func(surface int) bool) *Scene {
	o := &Scene{surfaces: s.surfaces, twins: s.twins}
	for i := range s.surfaces {
		if !hidden(i) {
			o.order = append(o.order, int32(i))
		}
	}
	o.grow()
	return o
}

// Surfaces returns the surfaces, which are not to be changed.
func (s *Scene) Surfaces() []Surface { return s.surfaces }

// split makes a node of order[first:last].
func (s *Scene) split(at, first, last, depth int) {
	n := &s.nodes[at]
	n.box = nothing()
	middles := nothing()
	for _, i := range s.order[first:last] {
		b := s.surfaces[i].box().grown()
		n.box = n.box.with(b)
		middles = middles.with(around(b.centre()))
	}
	n.first, n.count = int32(first), int32(last-first)
	if last-first <= leafMost || depth >= depthMost-2 {
		return
	}
	cut := s.cut(first, last, middles)
	if cut < 0 {
		return
	}
	left := len(s.nodes)
	s.nodes = append(s.nodes, node{}, node{})
	s.nodes[at].left, s.nodes[at].count = int32(left), 0
	s.split(left, first, cut, depth+1)
	s.split(left+1, cut, last, depth+1)
}

// cut sorts order[first:last] along the longest axis of the middles and returns
// where to part it so that the areas of the two boxes, each times its surfaces,
// are least (J. Goldsmith and J. Salmon, IEEE CG&A 7 (1987) 14); -1 where one
// leaf is no worse.
func (s *Scene) cut(first, last int, middles box) int {
	d := middles.high.Sub(middles.low)
	axis := func(v Vec) float64 { return v.X }
	switch {
	case d.Y >= d.X && d.Y >= d.Z:
		axis = func(v Vec) float64 { return v.Y }
	case d.Z >= d.X && d.Z >= d.Y:
		axis = func(v Vec) float64 { return v.Z }
	}
	part := s.order[first:last]
	boxes := make(map[int32]box, len(part))
	for _, i := range part {
		boxes[i] = s.surfaces[i].box().grown()
	}
	slices.SortStableFunc(part, func(a, b int32) int {
		switch x, y := axis(boxes[a].centre()), axis(boxes[b].centre()); {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return int(a - b)
	})
	right := make([]float64, len(part)+1)
	b := nothing()
	for i := len(part) - 1; i > 0; i-- {
		b = b.with(boxes[part[i]])
		right[i] = b.half()
	}
	best, cost := -1, math.Inf(1)
	b = nothing()
	for i := 1; i < len(part); i++ {
		b = b.with(boxes[part[i-1]])
		if c := b.half()*float64(i) + right[i]*float64(len(part)-i); c < cost {
			best, cost = first+i, c
		}
	}
	return best
}

// Nearest returns where the ray first meets a surface at t in (least, most).
// Of the two sides of one thing it gives the one that the ray comes to.
func (s *Scene) Nearest(r Ray, least, most float64) (hit Hit, ok bool) {
	if len(s.nodes) == 0 {
		return hit, false
	}
	c := r.caster()
	var stack [depthMost]int32
	top := 1
	for top > 0 {
		top--
		n := &s.nodes[stack[top]]
		if _, in := n.box.enters(&c, most); !in {
			continue
		}
		for _, i := range s.order[n.first : n.first+n.count] {
			if t, u, v, meets := s.surfaces[i].meet(&c.Ray, least, most); meets {
				hit, ok, most = Hit{Surface: int(i), T: t, U: u, V: v}, true, t
			}
		}
		if n.count == 0 {
			top = s.push(&stack, top, n.left, &c, most)
		}
	}
	if ok {
		s.side(&r, &hit)
	}
	return hit, ok
}

// push puts the children on the stack, the nearer one on top.
func (s *Scene) push(stack *[depthMost]int32, top int, left int32, c *caster, most float64) int {
	a, inA := s.nodes[left].box.enters(c, most)
	b, inB := s.nodes[left+1].box.enters(c, most)
	near, far := left, left+1
	if inA && inB && b < a {
		near, far = far, near
	}
	if !inA {
		near = far
	}
	if inA && inB {
		stack[top] = far
		top++
	}
	if inA || inB {
		stack[top] = near
		top++
	}
	return top
}

// side finds the side that the ray comes to.
func (s *Scene) side(r *Ray, hit *Hit) {
	surface := &s.surfaces[hit.Surface]
	if surface.Normal(r.At.Add(r.Along.Scale(hit.T))).Dot(r.Along) <= 0 {
		return
	}
	if twin := s.twins[hit.Surface]; twin >= 0 {
		hit.Surface, hit.U, hit.V = int(twin), hit.V, hit.U
		return
	}
	hit.Behind = true
}

// skin is how much of the way between two points is left out at each end, so
// that the surfaces that they lie on do not hide them.
const skin = 1e-6

// Blocked reports whether a surface stands between two points.
func (s *Scene) Blocked(a, b Vec) bool {
	if len(s.nodes) == 0 {
		return false
	}
	c := Ray{a, b.Sub(a)}.caster()
	var stack [depthMost]int32
	top := 1
	for top > 0 {
		top--
		n := &s.nodes[stack[top]]
		if _, in := n.box.enters(&c, 1-skin); !in {
			continue
		}
		for _, i := range s.order[n.first : n.first+n.count] {
			if _, _, _, meets := s.surfaces[i].meet(&c.Ray, skin, 1-skin); meets {
				return true
			}
		}
		if n.count == 0 {
			stack[top], stack[top+1] = n.left, n.left+1
			top += 2
		}
	}
	return false
}
