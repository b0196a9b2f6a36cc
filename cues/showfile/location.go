package showfile

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

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
		"set":     may(func(n *yaml.Node) { loc.Set = s.setPieces(n) }),
		"marks":   may(func(n *yaml.Node) { loc.Marks = r.marks(n) }),
		"looks":   may(func(n *yaml.Node) { loc.Looks = l.looks(r, n) }),
		"cues":    may(func(n *yaml.Node) { loc.Cues = l.cues(r, n) }),
		"outputs": may(func(n *yaml.Node) { loc.Outputs = r.outputs(n) }),
		"rig":     later("rig"),
		"groups":  later("groups"),
		"setups":  later("setups"),

		"stand-ins": later("stand-ins"),
	})
	if n := parts["stand-ins"]; n != nil {
		s.readStandIns(n)
	}
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
