package stage

import (
	"fmt"

	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
)

// Set is what stands at a location as light meets it: surfaces with their fronts
// outside.
type Set struct {
	Pieces []transport.Piece
	// Names says of each surface what it is of: the name of a set piece or of a
	// stand-in.
	Names  []string
	Things []Thing // set pieces in file order, then stand-ins
}

// Thing is a set piece or a stand-in, and which surfaces are its own.
type Thing struct {
	Name     string
	At       cues.Pos
	First, N int // Pieces[First : First+N]
	// Solid tells that its surfaces enclose it: a plane is none, nor is a mesh with
	// a gap.
	Solid  bool
	Figure bool // a stand-in
}

// NewSet gives the surfaces of loc, and a problem for each thing that has none; a
// show that was loaded without errors has no such thing.
func NewSet(loc *cues.Location) (*Set, cues.Problems) {
	s := &Set{}
	var problems cues.Problems
	bad := func(at cues.Pos, what, name string, err error, mend string) {
		problems = append(problems, cues.NewProblem(at, cues.CodeBadGeometry, fmt.Sprintf("%s %q has no shape", what, name), err.Error(), mend))
	}
	for i := range loc.Set {
		p := &loc.Set[i]
		b := builder{finish: transport.Finish{R: p.Albedo[0], G: p.Albedo[1], B: p.Albedo[2]}, solid: true}
		if b.shape(p.Shape); b.err != nil {
			bad(p.At, "set piece", p.Name, b.err, "give it a size in every direction, or take it out")
			continue
		}
		s.add(&b, Thing{Name: p.Name, At: p.At})
	}
	for i := range loc.StandIns {
		in := &loc.StandIns[i]
		b := builder{solid: true}
		if b.figure(Vec(in.Place), Vec(loc.Facing(in)), in.HeightM); b.err != nil {
			bad(in.At, "stand-in", in.Name, b.err, "give it a height, or take it out")
			continue
		}
		s.add(&b, Thing{Name: in.Name, At: in.At, Figure: true})
	}
	return s, problems
}

// add takes over the surfaces of one thing.
func (s *Set) add(b *builder, t Thing) {
	t.First, t.N, t.Solid = len(s.Pieces), len(b.pieces), b.solid
	for _, p := range b.pieces {
		if p.Other >= 0 {
			p.Other += t.First
		}
		s.Pieces, s.Names = append(s.Pieces, p), append(s.Names, t.Name)
	}
	s.Things = append(s.Things, t)
}

// builder collects the surfaces of one thing. Other of a piece counts in pieces.
type builder struct {
	finish transport.Finish
	pieces []transport.Piece
	solid  bool
	err    error // the first
}

// put adds a surface that one function of package solid gave.
func (b *builder) put(s solid.Surface, err error) {
	if err != nil {
		if b.err == nil {
			b.err = err
		}
		return
	}
	b.pieces = append(b.pieces, transport.Piece{Surface: s, Finish: b.finish, Other: -1})
}

// both adds the two sides of a thin flat thing.
func (b *builder) both(s solid.Surface, err error) {
	front := len(b.pieces)
	b.put(s, err)
	b.put(s.Flipped(), err)
	if err == nil {
		b.pieces[front].Other, b.pieces[front+1].Other = front+1, front
	}
	b.solid = false
}

func (b *builder) rectangle(corner, u, v solid.Vec) { b.put(solid.NewRectangle(corner, u, v)) }
