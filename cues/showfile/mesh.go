package showfile

import (
	"fmt"
	"io"
	"math"
	"path"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/colour/mesh"
	"linkboy/cues"
)

// scales is how many metres a unit of a file can be.
var scales = span{0.000_001, 1_000_000}

// mesh reads a piece whose surface is in a file.
func (p *pieceReader) mesh() {
	m := cues.Mesh{Scale: 1}
	p.keysOf("mesh", schema{
		"mesh":  need(func(n *yaml.Node) { m.File, m.Triangles = p.meshFile(n) }),
		"at":    need(p.intoPoint(&m.Place, "the place of a mesh")),
		"scale": may(p.into(&m.Scale, "the scale", "", scales)),
		"turn":  may(p.turn(&m.TurnDeg)),
	})
	p.piece.Name = strings.TrimSuffix(path.Base(m.File), path.Ext(m.File))
	if m.Triangles != nil && m.Scale > 0 {
		p.meshReach(m)
	}
	p.piece.Shape = m
}

// meshReach tells a mesh that is out of all proportion, most likely as its unit
// is not the metre.
func (p *pieceReader) meshReach(m cues.Mesh) {
	low, high := m.Bounds()
	for i := range low {
		if !metres.holds(low[i]) || !metres.holds(high[i]) {
			p.problem(p.item, cues.CodeOutOfRange, fmt.Sprintf("the mesh %s reaches %.4g m", m.File, max(math.Abs(low[i]), math.Abs(high[i]))),
				fmt.Sprintf("things can stand at %s m", metres), "add a scale, like scale: 0.001 for a file in millimetres")
			return
		}
	}
	if size := length(cues.Point{high[0] - low[0], high[1] - low[1], high[2] - low[2]}); size < lengths.least {
		p.problem(p.item, cues.CodeBadGeometry, fmt.Sprintf("the mesh %s is %.2g m large", m.File, size), "nothing of it would be seen",
			"write a greater scale: how many metres a unit of the file is")
	}
}

// meshFile reads the surface that n names; nil after a problem, or where it has
// one that is told already.
func (p *pieceReader) meshFile(n *yaml.Node) (string, *mesh.Mesh) {
	file := p.text(n, "the file of a mesh")
	if file == "" {
		if n.Kind == yaml.ScalarNode {
			p.problem(n, cues.CodeUnknownMesh, "a mesh names no file", "its surface is read from it", "write the name of a file, like bench.obj")
		}
		return "", nil
	}
	if m, known := p.meshes[file]; known {
		return file, m
	}
	p.meshes[file] = nil
	p.table(p.reader, n, tableFile{
		name: file, example: "bench.obj", missing: cues.CodeUnknownMesh, bad: cues.CodeBadMesh,
		why: "the surface of the set piece is read from it", mend: "copy it into the show's folder, or take the piece out",
	}, func(f io.Reader) error {
		m, err := mesh.ReadOBJ(f, file)
		if err == nil {
			p.meshes[file] = m
		}
		return err
	})
	return file, p.meshes[file]
}
