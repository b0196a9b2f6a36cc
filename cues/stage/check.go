package stage

import (
	"fmt"

	"linkboy/colour/solid"
	"linkboy/cues"
)

// Check tells what stands where it cannot: lamps, cameras, marks and stand-ins
// inside solid things, marks over nothing, pieces in each other's place. They are
// warnings: pictures and meters would be wrong, the lamps themselves are not.
func Check(loc *cues.Location) cues.Problems {
	set, problems := NewSet(loc)
	c := checker{loc: loc, hulls: set.hulls(), ground: set.ground(), problems: problems}
	c.pieces()
	c.lamps()
	c.cameras()
	c.marks()
	c.standIns()
	c.problems.Sort()
	return c.problems
}

type checker struct {
	loc      *cues.Location
	hulls    []hull
	ground   *solid.Scene // what one can stand on
	problems cues.Problems
}

func (c *checker) tell(at cues.Pos, code, what, why, mend string) {
	c.problems = append(c.problems, cues.NewProblem(at, code, what, why, mend))
}

// within gives the thing that one of the points is inside of; nil for none.
func (c *checker) within(figures bool, points ...solid.Vec) *Thing {
	for i := range c.hulls {
		h := &c.hulls[i]
		if h.Figure && !figures {
			continue
		}
		for _, p := range points {
			if h.deep(p) {
				return &h.Thing
			}
		}
	}
	return nil
}

func (c *checker) lamps() {
	for _, r := range c.loc.Rig {
		if len(r.Lamp.Type.Emitters) == 0 {
			continue // gives no light
		}
		place, along := Vec(r.Place), Vec(r.Along).Unit().Scale(r.Lamp.Type.Photometry.LengthM/2)
		if t := c.within(false, place); t != nil {
			c.tell(r.At, cues.CodeLampInside, fmt.Sprintf("lamp %q stands inside %q", r.ID, t.Name),
				fmt.Sprintf("that is solid (line %d), so none of its light gets out", t.At.Line),
				"move the lamp out, or make the piece of parts with room between them")
		} else if t := c.within(false, place.Add(along), place.Sub(along)); t != nil {
			c.tell(r.At, cues.CodeLampInside, fmt.Sprintf("an end of lamp %q is inside %q", r.ID, t.Name),
				fmt.Sprintf("at is the middle of the lamp, which is %.3g m long; the piece (line %d) is solid", r.Lamp.Type.Photometry.LengthM, t.At.Line),
				"move the lamp along, or turn it")
		}
	}
}

func (c *checker) cameras() {
	for _, u := range c.loc.Setups {
		if t := c.within(true, Vec(u.Camera)); t != nil {
			c.tell(u.At, cues.CodeCameraInside, fmt.Sprintf("the camera of set-up %q stands inside %q", u.Name, t.Name),
				fmt.Sprintf("that is solid (line %d), so the picture shows nothing", t.At.Line), "move the camera out of it, or the piece away")
		}
	}
}

// reach is how far a mark may be from the surface that it is on, in metres.
const reach = 0.05

func (c *checker) marks() {
	for i := range c.loc.Marks {
		m := &c.loc.Marks[i]
		floats := false // told once for a walk
		for k, at := range m.Points {
			what := fmt.Sprintf("mark %q", m.Name)
			if len(m.Points) > 1 {
				what = fmt.Sprintf("point %d of mark %q", k+1, m.Name)
			}
			over := Vec(at).Add(solid.Vec{Z: reach})
			if t := c.within(false, over); t != nil {
				c.tell(m.At, cues.CodeMarkInside, fmt.Sprintf("%s is inside %q", what, t.Name),
					fmt.Sprintf("that is solid (line %d), so nobody can stand there", t.At.Line), "move the mark, or the piece")
			} else if !floats && !c.stands(Vec(at)) {
				floats = true
				c.tell(m.At, cues.CodeMarkFloats, what+" is on nothing",
					fmt.Sprintf("no set piece lies within %g cm of %v", 100*reach, at),
					"put it on a surface, or add the ground, like {box: ground, at: [-10, -10, -0.1], size: [30, 30, 0.1]}")
			}
		}
	}
}

// stands reports whether a set piece is under a point. Of a place without any,
// nothing is known.
func (c *checker) stands(p solid.Vec) bool {
	if len(c.loc.Set) == 0 {
		return true
	}
	ray := solid.Ray{At: p.Add(solid.Vec{Z: reach}), Along: solid.Vec{Z: -1}}
	_, ok := c.ground.Nearest(ray, 0, 2*reach+1e-9)
	return ok
}

func (c *checker) standIns() {
	for i := range c.loc.StandIns {
		in := &c.loc.StandIns[i]
		at := func(share float64) solid.Vec { return Vec(in.Place).Add(solid.Vec{Z: share * in.HeightM}) }
		what := fmt.Sprintf("stand-in %q", in.Name)
		if t := c.within(false, at(0.03), at(0.25), at(0.5), at(0.75), at(0.95)); t != nil {
			c.tell(in.At, cues.CodeStandInInside, fmt.Sprintf("%s stands in %q", what, t.Name),
				fmt.Sprintf("that is solid (line %d)", t.At.Line), "move one of the two")
		} else if !c.stands(Vec(in.Place)) && !c.marked(in.Place) {
			c.tell(in.At, cues.CodeMarkFloats, what+" stands on nothing",
				fmt.Sprintf("no set piece lies within %g cm of %v", 100*reach, in.Place), "put it on a surface, or add the ground")
		}
	}
}

// marked reports whether a mark is at a point; what is wrong there is told of it.
func (c *checker) marked(p cues.Point) bool {
	for _, m := range c.loc.Marks {
		if m.Points[0] == p {
			return true
		}
	}
	return false
}

// pieces warns of two in one place.
func (c *checker) pieces() {
	for i := range c.loc.Set {
		for k := range i {
			a, b := &c.loc.Set[k], &c.loc.Set[i]
			if a.Shape == b.Shape {
				c.tell(b.At, cues.CodePiecesCoincide, fmt.Sprintf("%q fills the same place as %q", b.Name, a.Name),
					fmt.Sprintf("the other is at line %d; it is chance which of the two is seen", a.At.Line), "take one of the two out, or move it")
				break
			}
		}
	}
}
