package emitters

// plane is one side of a facet as the search for the way out sees it, its outward normal
// divided by its support: the ray of a direction meets the facet's plane at
// 1/(plane . direction) times the direction, so the plane that it meets first is the one of
// the largest product. Planes of no support (those of facets that end the gamut) never
// stop a ray in it and are left out.
type plane vector

// exit is what drives do at a side of a facet: those of the facet's free rays depend on
// the target, the others do not.
type exit struct {
	drives Drives
	free   []freed
	base   vector
	dual   [2]vector // the drive of each free ray is dual . (light - base)
}

// freed is an emitter of one of a facet's free rays.
type freed struct{ emitter, ray int }

// setExits works out the planes, and what happens at each, from the facets.
func (c *Cell) setExits() {
	for i := range c.facets {
		f := &c.facets[i]
		for side, h := range f.support {
			if h <= 0 {
				continue
			}
			n := f.normal.scale(1 / h)
			if side == 1 {
				n = n.scale(-1)
			}
			c.planes = append(c.planes, plane(n))
			c.exits = append(c.exits, exit{c.drivesOf(choice{facet: f, side: side}), c.freed(f), f.base[side], f.dual})
		}
	}
}

// freed lists the emitters of a facet's free rays.
func (c *Cell) freed(f *facet) (all []freed) {
	for i, k := range c.ray {
		for ray, free := range f.free {
			if free == k {
				all = append(all, freed{i, ray})
			}
		}
	}
	return all
}

// leave returns how the ray of a direction in the gamut leaves the zonotope, and at what
// multiple of the direction; nil when rounding leaves no way.
func (c *Cell) leave(x, y, z float64) (by *exit, scale float64) {
	first, most := -1, 0.0
	for i := range c.planes {
		q := &c.planes[i]
		if near := q[0]*x + q[1]*y + q[2]*z; near > most {
			first, most = i, near
		}
	}
	if first < 0 {
		return nil, 0
	}
	return &c.exits[first], 1 / most
}
