package showfile

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// Ranges of location values.
var (
	sizes   = span{0.001, 1000}
	albedos = span{0, 1}
	lenses  = span{1, 2000}
	trims   = span{-20, 20}
)

const defaultAlbedo = 0.2 // weathered concrete, soil, dark wood (common practice, no source)

func (l *loader) readLocations() {
	files := l.folder("locations")
	for _, file := range files {
		l.readLocation(file)
	}
	if len(files) == 0 {
		l.sink.add(cues.NewProblem(cues.Pos{File: "locations"}, cues.CodeNoLocation, "the show has no location",
			"there is no file in the folder locations", "make one, like locations/pier.yaml"))
	}
}

// site is what is needed while one location is read.
type site struct {
	*loader
	*reader
	loc  *cues.Location
	rig  map[string]*cues.RigLamp // by place in the rig; nil for one with a problem
	here map[string]*cues.RigLamp // by kit id; nil for one with a problem
}

// readLocation reads one location. What refers to something is read after
// what it refers to, in whatever order the file has them.
func (l *loader) readLocation(file string) {
	r, root, ok := l.open(file, false)
	if !ok {
		return
	}
	if root == nil {
		root = &yaml.Node{Kind: yaml.MappingNode}
	}
	loc := &cues.Location{Name: baseName(file), File: file}
	l.show.Locations = append(l.show.Locations, loc)
	if !r.goodName(&yaml.Node{}, "a location", loc.Name, false) {
		return
	}
	s := &site{loader: l, reader: r, loc: loc, rig: map[string]*cues.RigLamp{}, here: map[string]*cues.RigLamp{}}
	parts := map[string]*yaml.Node{}
	later := func(key string) entry { return may(func(n *yaml.Node) { parts[key] = n }) }
	r.keys(root, "the location", schema{
		"title":   may(func(n *yaml.Node) { loc.Title = r.text(n, "the title") }),
		"tempo":   may(func(n *yaml.Node) { loc.Tempo = r.tempo(n) }),
		"set":     may(func(n *yaml.Node) { loc.Set = r.setPieces(n) }),
		"marks":   may(func(n *yaml.Node) { loc.Marks = r.marks(n) }),
		"looks":   may(func(n *yaml.Node) { loc.Looks = l.looks(r, n) }),
		"cues":    may(func(n *yaml.Node) { loc.Cues = l.cues(r, n) }),
		"outputs": may(func(n *yaml.Node) { loc.Outputs = r.outputs(n) }),
		"rig":     later("rig"),
		"groups":  later("groups"),
		"setups":  later("setups"),
	})
	if n := parts["rig"]; n != nil {
		s.readRig(n)
	}
	if n := parts["groups"]; n != nil {
		s.readGroups(n)
	}
	if n := parts["setups"]; n != nil {
		s.readSetups(n)
	}
}

// setPieces reads what stands at a location. A box is given by its lowest
// corner and its size.
func (r *reader) setPieces(n *yaml.Node) []cues.SetPiece {
	var set []cues.SetPiece
	r.items(n, "the set", func(item *yaml.Node) {
		piece := cues.SetPiece{Kind: "box", Albedo: defaultAlbedo, At: r.pos(item)}
		var corner cues.Point
		ok := r.keys(item, "a set piece", schema{
			"box":    need(func(n *yaml.Node) { piece.Name = r.text(n, "the name of a box") }),
			"at":     need(r.intoPoint(&corner, "the corner of a box")),
			"size":   need(func(n *yaml.Node) { piece.Size = r.size(n) }),
			"albedo": may(r.into(&piece.Albedo, "albedo", "", albedos)),
		})
		if ok {
			for i := range corner {
				piece.Centre[i] = corner[i] + piece.Size[i]/2
			}
			set = append(set, piece)
		}
	})
	return set
}

func (r *reader) size(n *yaml.Node) cues.Point {
	p, ok := r.point(n, "the size of a box")
	for _, v := range p {
		if ok && !sizes.holds(v) {
			r.problem(n, cues.CodeOutOfRange, fmt.Sprintf("a box cannot be %s m long", short(v)),
				fmt.Sprintf("each side can be %s m", sizes), "write sizes above 0; at is the corner with the least x, y and z")
			return p
		}
	}
	return p
}

func (r *reader) intoPoint(dst *cues.Point, what string) func(*yaml.Node) {
	return func(n *yaml.Node) { *dst, _ = r.point(n, what) }
}

// marks reads named points and walks.
func (r *reader) marks(n *yaml.Node) []cues.Mark {
	var marks []cues.Mark
	r.each(n, "marks", func(key, value *yaml.Node) {
		if r.name(key, "a mark") == "" || !r.present(key, value) {
			return
		}
		m := cues.Mark{Name: key.Value, At: r.pos(key)}
		what := fmt.Sprintf("mark %q", m.Name)
		isWalk := value.Kind == yaml.SequenceNode && len(value.Content) > 0 && value.Content[0].Kind == yaml.SequenceNode
		if isWalk {
			r.items(value, what, func(item *yaml.Node) {
				p, _ := r.point(item, what)
				m.Points = append(m.Points, p)
			})
		} else {
			p, _ := r.point(value, what)
			m.Points = []cues.Point{p}
		}
		marks = append(marks, m)
	})
	return marks
}

// spot reads a point, or the name of a mark, whose first point it means.
func (s *site) spot(n *yaml.Node, what string) (cues.Point, bool) {
	if n.Kind != yaml.ScalarNode {
		return s.point(n, what)
	}
	if m := s.loc.Mark(n.Value); m != nil {
		return m.Points[0], true
	}
	s.unknown(n, cues.CodeUnknownMark, fmt.Sprintf("no mark is named %q here", shorten(n.Value)), n.Value, markNames(s.loc))
	return cues.Point{}, false
}

func markNames(l *cues.Location) []string {
	names := make([]string, len(l.Marks))
	for i := range l.Marks {
		names[i] = l.Marks[i].Name
	}
	return names
}

func (s *site) readSetups(n *yaml.Node) {
	s.each(n, "set-ups", func(key, value *yaml.Node) {
		if !s.goodName(key, "a set-up", key.Value, true) || !s.present(key, value) {
			return
		}
		u := &cues.Setup{Name: key.Value, LensMM: 35, At: s.pos(key)}
		what := fmt.Sprintf("set-up %q", u.Name)
		ok := s.keys(value, what, schema{
			"camera":  need(s.intoPoint(&u.Camera, "the camera")),
			"look-at": need(func(n *yaml.Node) { u.LookAt, _ = s.spot(n, "look-at") }),
			"lens":    may(s.into(&u.LensMM, "the lens", "mm", lenses)),
			"trim":    may(func(n *yaml.Node) { u.Trims = s.readTrims(n) }),
		})
		if ok && u.Camera == u.LookAt {
			s.problem(value, cues.CodeOutOfRange, what+" looks nowhere", "the camera stands where it looks", "move one of the two")
		}
		s.loc.Setups = append(s.loc.Setups, u)
	})
}

func (s *site) readTrims(n *yaml.Node) []cues.Trim {
	var out []cues.Trim
	s.each(n, "the trim", func(key, value *yaml.Node) {
		if s.name(key, "a group") == "" || !s.present(key, value) {
			return
		}
		t := cues.Trim{Group: key.Value, At: s.pos(key)}
		t.Stops, _ = s.quantity(value, "a trim", "stops", trims, true)
		out = append(out, t)
	})
	return out
}
