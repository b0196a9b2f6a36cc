package stage

import (
	"fmt"

	"linkboy/colour/solid"
	"linkboy/colour/transport"
	"linkboy/cues"
)

// setPieces gives the surfaces of what stands at a location, and the name of
// the piece that each is of.
func setPieces(loc *cues.Location) (pieces []transport.Piece, names []string, problems cues.Problems) {
	for _, p := range loc.Set {
		faces, err := box(p)
		if err != nil {
			problems = append(problems, cues.NewProblem(p.At, cues.CodeBadGeometry,
				fmt.Sprintf("box %q has no shape", p.Name), err.Error(), "give it a size in every direction"))
			continue
		}
		pieces = append(pieces, faces...)
		for range faces {
			names = append(names, p.Name)
		}
	}
	return pieces, names, problems
}

// box gives the six faces of a box, seen from outside.
func box(p cues.SetPiece) ([]transport.Piece, error) {
	size, centre := vecOf(p.Size), vecOf(p.Centre)
	corner := centre.Sub(size.Scale(0.5))
	x, y, z := solid.Vec{X: size.X}, solid.Vec{Y: size.Y}, solid.Vec{Z: size.Z}
	var faces []transport.Piece
	for _, f := range [][3]solid.Vec{
		{corner, y, x}, {corner.Add(z), x, y},
		{corner, z, y}, {corner.Add(x), y, z},
		{corner, x, z}, {corner.Add(y), z, x},
	} {
		s, err := solid.NewRectangle(f[0], f[1], f[2])
		if err != nil {
			return nil, err
		}
		faces = append(faces, transport.Piece{Surface: s, Finish: transport.Grey(p.Albedo), Other: -1})
	}
	return faces, nil
}
