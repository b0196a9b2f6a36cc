package compile

import (
	"fmt"
	"sync"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/track"
)

// Place is a location compiled: it is immutable and safe for concurrent use.
type Place struct {
	Show     *cues.Show
	Location *cues.Location
	Layout   *track.Layout
	Cells    []Cell    // lamps in rig order, the cells of a lamp in its own order
	Balance  colour.XY // the white that the camera is balanced to

	lamps  []rigged
	byLamp map[*cues.RigLamp]int // index into lamps
	book   *book
	work   track.Still
	dark   track.Still
	// setup is who shoots: nil changes nothing of looks, and the show's camera does.
	setup *cues.Setup
	// metered is nil until the light of the place is computed.
	metered Metered
	// scratch holds *[]emitters.Drives, one a cell.
	scratch sync.Pool
}

// Cell is the smallest part of a lamp, in its mode, with a colour of its own.
type Cell struct {
	Lamp  *cues.RigLamp
	Index int        // mode cell, 0-based
	Place cues.Point // its middle, in metres
	// First and N are its slots in the layout, one an emitter.
	First, N int
	// MostLumens is its light with every emitter at full.
	MostLumens float64

	mix *emitters.Cell // shared by all cells of one type and mode
}

// Mix gives the emitters of the cell, prepared for solving.
func (c *Cell) Mix() *emitters.Cell { return c.mix }

// rigged is one lamp of the rig and where it is in the layout.
type rigged struct {
	lamp     *cues.RigLamp
	kind     *lamp.Type
	mode     *lamp.Mode
	first, n int // cells
	universe int // index into Layout.Universes
	start    int // first slot in the universe, 0-based
	params   []param
}

// param is a lamp parameter and its slot in the layout.
type param struct {
	slot int
	def  *lamp.Param
}

// CellsOf gives the range of indices into Cells that lamp l has; an empty one
// for a lamp without emitters or one that is not in the rig.
func (p *Place) CellsOf(l *cues.RigLamp) (first, n int) {
	i, ok := p.byLamp[l]
	if !ok {
		return 0, 0
	}
	return p.lamps[i].first, p.lamps[i].n
}

// Group gives the cells of a group in its order, as indices into Cells; nil
// when the location has no group of that name.
func (p *Place) Group(name string) []int {
	g := p.Location.Group(name)
	if g == nil {
		return nil
	}
	cells := make([]int, 0, g.Cells())
	for _, m := range g.Members {
		first, n := p.CellsOf(m.Lamp)
		for i := max(m.First, 0); i <= m.Last && i < n; i++ {
			cells = append(cells, first+i)
		}
	}
	return cells
}

// Dark gives the still with every emitter off and every parameter safe. The
// caller owns it.
func (p *Place) Dark() track.Still { return append(track.Still(nil), p.dark...) }

// Work gives the still of the work light. The caller owns it.
func (p *Place) Work() track.Still { return append(track.Still(nil), p.work...) }

// Location compiles loc, a location of show. The place is nil when a problem
// is an error: a show that loaded without errors gives none.
func Location(show *cues.Show, loc *cues.Location) (*Place, cues.Problems) {
	p := &Place{Show: show, Location: loc, byLamp: map[*cues.RigLamp]int{}, book: newBook(&show.Camera)}
	var problems cues.Problems
	balance, err := colour.CCT{T: show.Camera.Balance}.XY()
	if err != nil {
		problems = append(problems, cues.NewProblem(cues.Pos{File: "show.yaml"}, cues.CodeOutOfRange,
			fmt.Sprintf("the camera's balance of %g K is no white", float64(show.Camera.Balance)), err.Error(), "write a balance such as 4300 K"))
	}
	p.Balance = balance
	problems = append(problems, p.lay()...)
	if problems.HasErrors() {
		problems.Sort()
		return nil, problems
	}
	p.prepare()
	problems = append(problems, p.light()...)
	problems.Sort()
	if problems.HasErrors() {
		return nil, problems
	}
	return p, problems
}
