package showfile

import (
	"fmt"
	"math"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// Ranges of set pieces.
var (
	lengths = span{0.001, 1000}
	albedos = span{0, 1}
	turns   = span{-360, 360}
	counts  = span{1, 200}
)

const (
	defaultAlbedo = 0.2 // weathered concrete, soil, dark wood (common practice, no source)
	// mostPieces bounds the surfaces that a location's light is computed for.
	mostPieces = 1000
)

// pieceKinds are the words that begin a set piece.
var pieceKinds = []string{"box", "cylinder", "mesh", "plane", "steps"}

// pieceReader reads one set piece.
type pieceReader struct {
	*site
	item  *yaml.Node
	piece *cues.SetPiece
}

// setPieces reads what stands at a location.
func (s *site) setPieces(n *yaml.Node) []cues.SetPiece {
	var set []cues.SetPiece
	told := false
	s.items(n, "the set", func(item *yaml.Node) {
		piece := cues.SetPiece{Albedo: cues.Grey(defaultAlbedo), At: s.pos(item)}
		p := pieceReader{s, item, &piece}
		if !p.read() {
			return
		}
		if len(set) < mostPieces {
			set = append(set, piece)
		} else if !told {
			told = true
			s.problem(item, cues.CodeOutOfRange, fmt.Sprintf("the set has more than %d pieces", mostPieces),
				"light would be computed for each of them", "leave out what does not show, or make meshes of what belongs together")
		}
	})
	return set
}

// read reports whether the piece could be understood.
func (p *pieceReader) read() bool {
	if p.item.Kind != yaml.MappingNode {
		p.shape(p.item, "a set piece", "a map (key: value)")
		return false
	}
	before := len(p.sinkOf().problems) + p.sinkOf().dropped
	switch kind := p.kind(); kind {
	case "box":
		p.box()
	case "cylinder":
		p.cylinder()
	case "mesh":
		p.mesh()
	case "plane":
		p.plane()
	case "steps":
		p.steps()
	default:
		p.problem(p.item, cues.CodeMissingKey, "a set piece does not say what it is", "it has none of "+list(pieceKinds),
			"begin it with one of them and its name, like box: far wall")
	}
	if m, ok := p.piece.Shape.(cues.Mesh); ok && m.Triangles == nil {
		return false // what is wrong with its file is told once
	}
	return len(p.sinkOf().problems)+p.sinkOf().dropped == before
}

// kind gives what the piece is, or what it was probably meant to be; "" for
// nothing.
func (p *pieceReader) kind() string {
	near := ""
	for i := 0; i+1 < len(p.item.Content); i += 2 {
		key := p.item.Content[i].Value
		for _, kind := range pieceKinds {
			if key == kind {
				return kind
			}
		}
		if near == "" {
			near = cues.Nearest(key, pieceKinds)
		}
	}
	return near
}

// keysOf reads the keys of the piece; those that all pieces have are added.
func (p *pieceReader) keysOf(kind string, own schema) bool {
	what := withArticle(kind)
	if kind != "mesh" {
		own[kind] = need(func(n *yaml.Node) { p.piece.Name = p.text(n, "the name of "+what) })
	}
	own["albedo"] = may(func(n *yaml.Node) { p.piece.Albedo = p.albedo(n) })
	return p.keys(p.item, what, own)
}

func withArticle(kind string) string {
	if kind == "steps" {
		return "a flight of steps"
	}
	return "a " + kind
}

// box reads a box, which is given by its lowest corner and its size.
func (p *pieceReader) box() {
	var corner cues.Point
	var b cues.Box
	if p.keysOf("box", schema{
		"at":   need(p.intoPoint(&corner, "the corner of a box")),
		"size": need(func(n *yaml.Node) { b.Size = p.size(n, "a box") }),
		"turn": may(p.turn(&b.TurnDeg)),
	}) {
		b.Centre = middle(corner, b.Size)
	}
	p.piece.Shape = b
}

func (p *pieceReader) steps() {
	var corner cues.Point
	s := cues.Steps{}
	if p.keysOf("steps", schema{
		"at":    need(p.intoPoint(&corner, "the corner of a flight of steps")),
		"size":  need(func(n *yaml.Node) { s.Size = p.size(n, "a flight of steps") }),
		"count": need(func(n *yaml.Node) { s.Count = p.whole(n, "count", counts) }),
		"rise": need(func(n *yaml.Node) {
			s.Rise = cues.Rise(p.word(n, "way to rise", string(cues.RiseX), string(cues.RiseBackX), string(cues.RiseY), string(cues.RiseBackY)))
		}),
		"turn": may(p.turn(&s.TurnDeg)),
	}) {
		s.Centre = middle(corner, s.Size)
	}
	p.piece.Shape = s
}

// middle gives the centre of a box with its lowest corner at corner.
func middle(corner, size cues.Point) cues.Point {
	for i := range corner {
		corner[i] += size[i] / 2
	}
	return corner
}

func (p *pieceReader) plane() {
	var s cues.Plane
	if p.keysOf("plane", schema{
		"at":     need(p.intoPoint(&s.Corner, "the corner of a plane")),
		"along":  need(func(n *yaml.Node) { s.Along = p.way(n, "along") }),
		"across": need(func(n *yaml.Node) { s.Across = p.way(n, "across") }),
	}) && s.Along != (cues.Point{}) && s.Across != (cues.Point{}) && parallel(s.Along, s.Across) {
		p.problem(p.item, cues.CodeBadGeometry, "a plane has no area", "along and across are one direction",
			"write two edges that meet at the corner, like along: [2, 0, 0], across: [0, 0, 1.5]")
	}
	p.piece.Shape = s
}

// parallel reports whether the angle between two directions, or its rest to 180
// degrees, is below a thousandth.
func parallel(a, b cues.Point) bool {
	cross := cues.Point{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
	return length(cross) < 0.001*length(a)*length(b)
}

func length(p cues.Point) float64 { return math.Sqrt(p[0]*p[0] + p[1]*p[1] + p[2]*p[2]) }

func (p *pieceReader) cylinder() {
	var c cues.Cylinder
	var height float64
	axis := cues.Point{0, 0, 1}
	if p.keysOf("cylinder", schema{
		"at":     need(p.intoPoint(&c.Foot, "the foot of a cylinder")),
		"radius": need(p.reader.measured(&c.Radius, "the radius", "m", lengths)),
		"height": need(p.reader.measured(&height, "the height", "m", lengths)),
		"along":  may(func(n *yaml.Node) { axis = p.way(n, "along") }),
	}) && axis != (cues.Point{}) {
		for i := range axis {
			c.Axis[i] = axis[i] * height / length(axis)
		}
	}
	p.piece.Shape = c
}

// way reads a direction; zero after a problem.
func (r *reader) way(n *yaml.Node, what string) cues.Point {
	v, ok := r.point(n, what)
	if ok && !lengths.holds(length(v)) {
		r.problem(n, cues.CodeOutOfRange, fmt.Sprintf("%s cannot be %s m long", what, short(length(v))),
			fmt.Sprintf("it can be %s m", lengths), "write how far it leads along each axis, like [2, 0, 0]")
		return cues.Point{}
	}
	return v
}

func (r *reader) size(n *yaml.Node, what string) cues.Point {
	p, ok := r.point(n, "the size of "+what)
	for _, v := range p {
		if ok && !lengths.holds(v) {
			r.problem(n, cues.CodeOutOfRange, fmt.Sprintf("%s cannot be %s m long", what, short(v)),
				fmt.Sprintf("each side can be %s m", lengths), "write sizes above 0; at is the corner with the least x, y and z")
			return p
		}
	}
	return p
}

func (r *reader) turn(dst *float64) func(*yaml.Node) {
	return func(n *yaml.Node) { *dst, _ = r.quantity(n, "the turn", "deg", turns, true) }
}

// albedo reads one share, or those of red, green and blue.
func (r *reader) albedo(n *yaml.Node) cues.Albedo {
	var a cues.Albedo
	if n.Kind != yaml.SequenceNode {
		v, _ := r.number(n, "albedo", albedos)
		return cues.Grey(v)
	}
	if len(n.Content) != len(a) {
		r.problem(n, cues.CodeWrongShape, "albedo must be one number or three", "this is "+countOf(n), "write it like 0.35, or [0.5, 0.4, 0.3] for red, green and blue")
		return a
	}
	for i, name := range []string{"red", "green", "blue"} {
		a[i], _ = r.number(n.Content[i], name+" of albedo", albedos)
	}
	return a
}
