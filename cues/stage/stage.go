package stage

import (
	"fmt"

	"linkboy/colour/picture"
	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/compile"
)

// Stage is a location with its light.
type Stage struct {
	Plan  *compile.Place
	Place transport.Place
	Set   *Set     // whose surfaces are those of Place
	Names []string // of each piece: the set piece or stand-in that it is of
	// Lamps are what a camera sees of each cell, in the order of Plan.Cells.
	Lamps []picture.Lamp

	zooms []zoom
}

// Build gives the stage of a compiled location. The stage is nil when a problem
// is an error.
func Build(plan *compile.Place) (*Stage, cues.Problems) {
	s := &Stage{Plan: plan}
	var problems cues.Problems
	s.Set, problems = NewSet(plan.Location)
	s.Place.Pieces, s.Names = s.Set.Pieces, s.Set.Names
	for i := range plan.Cells {
		c := &plan.Cells[i]
		source, face, err := sourceOf(c)
		if err != nil {
			problems = append(problems, cues.NewProblem(c.Lamp.At, cues.CodeBadGeometry,
				fmt.Sprintf("the light of lamp %q cannot be computed", c.Lamp.ID), err.Error(), "give its type the length, width and beam of its face"))
			continue
		}
		s.Place.Sources = append(s.Place.Sources, source)
		s.Lamps = append(s.Lamps, picture.Lamp{Face: face, Sources: []int{i}})
	}
	if problems.HasErrors() {
		return nil, problems
	}
	for _, r := range plan.Location.Rig {
		if err := s.zoom(r); err != nil {
			problems = append(problems, cues.NewProblem(r.At, cues.CodeBadGeometry,
				fmt.Sprintf("the light of lamp %q cannot be computed", r.ID), err.Error(), "give its type beam angles that a lens can have"))
			return nil, problems
		}
	}
	return s, problems
}

// Vec gives a point of the model.
func Vec(p cues.Point) solid.Vec { return solid.Vec{X: p[0], Y: p[1], Z: p[2]} }
