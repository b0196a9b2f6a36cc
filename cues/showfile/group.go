package showfile

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// memberText is "lane-1", "lane-1 cell 3", "lane-1 cells 1-8", "lane-1..lane-4 cells 8-1".
var memberText = regexp.MustCompile(`^(\S+)(?: cells? (\d{1,4})(?:-(\d{1,4}))?)?$`)

func (s *site) readGroups(n *yaml.Node) {
	s.each(n, "groups", func(key, value *yaml.Node) {
		if s.name(key, "a group") == "" {
			return
		}
		g := &cues.Group{Name: key.Value, At: s.pos(key)}
		s.loc.Groups = append(s.loc.Groups, g)
		if value.Kind == yaml.MappingNode {
			if value = s.groupMap(value, g); value == nil {
				return
			}
		}
		if isNull(value) || value.Kind == yaml.SequenceNode && len(value.Content) == 0 {
			s.problem(key, cues.CodeEmptyGroup, fmt.Sprintf("group %q has no members", g.Name), "nothing could be lit by it",
				"list its lamps, like [lane-1, lane-2 cells 1-8], or take it out")
			return
		}
		s.items(value, fmt.Sprintf("group %q", g.Name), func(item *yaml.Node) {
			g.Members = append(g.Members, s.members(item)...)
		})
		s.cellsOnce(g)
	})
}

// groupMap reads a group written as a map and gives its list of lamps, nil when
// it has none.
func (s *site) groupMap(n *yaml.Node, g *cues.Group) (lamps *yaml.Node) {
	s.keys(n, fmt.Sprintf("group %q", g.Name), schema{
		"lamps":  need(func(n *yaml.Node) { lamps = n }),
		"policy": may(s.policy(&g.Policy)),
		"match":  may(func(n *yaml.Node) { g.Match = cues.Match(s.word(n, "match", string(cues.MatchGroup))) }),
	})
	return lamps
}

// members reads one item of a group: a lamp, a range of lamps, or some cells of these.
func (s *site) members(n *yaml.Node) []cues.Member {
	text := strings.Join(strings.Fields(s.text(n, "a member of a group")), " ")
	if n.Kind != yaml.ScalarNode {
		return nil
	}
	m := memberText.FindStringSubmatch(text)
	if m == nil {
		s.problem(n, cues.CodeBadRange, fmt.Sprintf("%q is no member of a group", shorten(text)),
			"it must be a lamp, or a lamp and some of its cells", "write it like lane-1, lane-1 cells 1-8 or lane-1..lane-7")
		return nil
	}
	ids, ok := expandRange(m[1])
	if !ok {
		s.problem(n, cues.CodeBadRange, fmt.Sprintf("%q is no range of lamps", shorten(m[1])),
			fmt.Sprintf("both ends must be the same but for the number, and at most %d apart", maxRange), "write it like lane-1..lane-7")
		return nil
	}
	var out []cues.Member
	for _, id := range ids {
		if lamp := s.lampHere(n, id); lamp != nil {
			out = append(out, s.cells(n, lamp, m[2], m[3])...)
		}
	}
	return out
}

// lampHere finds a lamp of this location by its place in the rig or its kit id.
func (s *site) lampHere(n *yaml.Node, id string) *cues.RigLamp {
	if lamp, known := s.rig[id]; known {
		return lamp
	}
	if lamp, known := s.here[id]; known {
		return lamp
	}
	if _, owned := s.kit[id]; owned {
		s.problem(n, cues.CodeUnknownLamp, fmt.Sprintf("lamp %q does not stand here", id),
			"it is in the kit, but not in the rig of this location", "give it a place in the rig, or take it out of the group")
		return nil
	}
	s.unknown(n, cues.CodeUnknownLamp, fmt.Sprintf("no lamp is named %q here", shorten(id)), id,
		append(sortedKeys(s.rig), sortedKeys(s.here)...))
	return nil
}

// cells gives the members for cells first to last of lamp, as written: ""
// for all, counted from 1, and running down when first is larger.
func (s *site) cells(n *yaml.Node, lamp *cues.RigLamp, first, last string) []cues.Member {
	count := lamp.Lamp.Mode.Cells
	member := func(a, b int) cues.Member { return cues.Member{Lamp: lamp, First: a - 1, Last: b - 1, At: s.pos(n)} }
	if first == "" {
		return []cues.Member{member(1, count)}
	}
	a, _ := strconv.Atoi(first)
	b := a
	if last != "" {
		b, _ = strconv.Atoi(last)
	}
	if min(a, b) < 1 || max(a, b) > count {
		s.problem(n, cues.CodeNoSuchCell, fmt.Sprintf("%q has no cells %s", lamp.ID, cellText(a, b)),
			fmt.Sprintf("it has %d in mode %s", count, lamp.Lamp.Mode.Name), "write cells that it has, or choose another mode in kit.yaml")
		return nil
	}
	if a <= b {
		return []cues.Member{member(a, b)}
	}
	var down []cues.Member
	for c := a; c >= b; c-- {
		down = append(down, member(c, c))
	}
	return down
}

func cellText(a, b int) string {
	if a == b {
		return strconv.Itoa(a)
	}
	return fmt.Sprintf("%d-%d", a, b)
}

// cellsOnce warns of cells that stand in a group twice: a pattern would run
// over them twice.
func (s *site) cellsOnce(g *cues.Group) {
	type cell struct {
		lamp *cues.RigLamp
		n    int
	}
	seen := map[cell]bool{}
	for _, m := range g.Members {
		for c := m.First; c <= m.Last; c++ {
			if seen[cell{m.Lamp, c}] {
				s.sinkOf().add(cues.NewProblem(m.At, cues.CodeCellTwice,
					fmt.Sprintf("group %q has cell %d of %q twice", g.Name, c+1, m.Lamp.ID),
					"a pattern would paint it twice, and only the last would show", "name each cell once"))
				break
			}
			seen[cell{m.Lamp, c}] = true
		}
	}
}
