package emitters

import (
	"errors"
	"math"

	"linkboy/colour"
)

// Errors of NewGroup and Group.Match.
var (
	ErrNoCells   = errors.New("a group has at least one cell")
	ErrNoReach   = errors.New("the cells of the group have no chromaticity in common")
	ErrNotColour = errors.New("not a chromaticity that light can have")
)

// Share is how a group divides its light among its cells.
type Share int

const (
	// EqualLight gives every cell the same lumens: at level 1 the most that the weakest
	// one has.
	EqualLight Share = iota
	// EqualLevel gives every cell the same share of the most light it has itself.
	EqualLevel
)

// Group is a set of unlike cells that shall show one colour. It is immutable and
// safe for concurrent use.
type Group struct {
	cells []*Cell
	reach Reach
}

// NewGroup prepares a group. The cells should be what is compared, such as all the light
// of one lamp. It fails with ErrNoCells without any; a group whose cells have no
// chromaticity in common is allowed, but matches nothing.
func NewGroup(cells []*Cell) (*Group, error) {
	if len(cells) == 0 {
		return nil, ErrNoCells
	}
	g := &Group{cells: append([]*Cell(nil), cells...), reach: cells[0].Reach()}
	for _, c := range cells[1:] {
		g.reach = g.reach.Intersect(c.Reach())
	}
	return g, nil
}

// Cells returns the cells in order.
func (g *Group) Cells() []*Cell { return append([]*Cell(nil), g.cells...) }

// Reach returns the chromaticities that every cell can show.
func (g *Group) Reach() Reach { return g.reach }

// Match is the one colour and level of a group.
type Match struct {
	Asked, Aim colour.XY
	// Clipped is set when Asked is not in the reach of all cells, so that Aim lies on
	// the way from it to the white.
	Clipped bool
	// DeltaUV is the CIE 1976 u'v' distance from Asked to Aim.
	DeltaUV float64
	// Lumens is the light that every cell gives at EqualLight, and the least that one
	// gives at EqualLevel.
	Lumens float64
	// Weakest is the index of the cell that has the least light at Aim.
	Weakest int
}

// Part is what a match asks of one cell, and what it costs it.
type Part struct {
	// Level is the share of the most light that this cell has at the aim, for Solve of
	// the cell or of a recipe.
	Level colour.Level
	// Lumens is the light it gives, Most the most it has at the aim.
	Lumens, Most float64
	// DeltaUV is how far in CIE 1976 u'v' the aim lies from what this cell would show
	// alone for the colour asked.
	DeltaUV float64
	// Stops is how much less light it gives than it would alone for the colour and level
	// asked, log2 of their ratio; negative where the aim is a colour of which it has more.
	// It is 0 at level 0.
	Stops float64
}

// Match finds the colour and level that every cell of the group can show: the colour
// asked or, when some cell cannot reach it, the first on the straight line in u'v'
// from it to toward that all can (the nearest one they have in common when toward is out of
// their reach too); and the level, divided as share says. parts gets what each
// cell does, in order, and must have one entry for each. It fails with ErrNoReach when
// the cells have no chromaticity in common and with ErrNotColour when asked is none. No
// allocation.
func (g *Group) Match(asked colour.XY, level colour.Level, toward colour.XY, share Share, parts []Part) (Match, error) {
	m := Match{Asked: asked}
	if !isColour(asked) {
		return m, ErrNotColour
	}
	if g.reach.Empty() {
		return m, ErrNoReach
	}
	m.Aim, m.Clipped = g.reach.Aim(asked, toward)
	m.DeltaUV = m.Aim.UV().Distance(asked.UV())
	parts = parts[:len(g.cells)]
	if !(level > 0) { // also NaN
		level = 0
	}
	level = min(level, 1)
	for i, c := range g.cells {
		parts[i] = Part{Most: c.Solve(m.Aim, 1, toward).Most}
		if parts[i].Most < parts[m.Weakest].Most {
			m.Weakest = i
		}
	}
	m.Lumens = float64(level) * parts[m.Weakest].Most
	for i, c := range g.cells {
		p := &parts[i]
		p.Lumens = m.Lumens
		if share == EqualLevel {
			p.Lumens = float64(level) * p.Most
		}
		p.Level = colour.Level(p.Lumens / p.Most)
		alone := c.Solve(asked, level, toward)
		p.DeltaUV = alone.Reached.UV().Distance(m.Aim.UV())
		if level > 0 {
			p.Stops = math.Log2(alone.Lumens / p.Lumens)
		}
	}
	return m, nil
}
