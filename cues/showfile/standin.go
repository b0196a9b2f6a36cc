package showfile

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// heights is how tall a figure can be, from a small child on.
var heights = span{0.5, 2.5}

// defaultHeight is about the mean of grown people (common practice, no source).
const defaultHeight = 1.75

// readStandIns reads the figures of a location.
func (s *site) readStandIns(n *yaml.Node) {
	s.each(n, "stand-ins", func(key, value *yaml.Node) {
		if s.name(key, "a stand-in") == "" || !s.present(key, value) {
			return
		}
		in := cues.StandIn{Name: key.Value, HeightM: defaultHeight, At: s.pos(key)}
		what := fmt.Sprintf("stand-in %q", in.Name)
		placed := false
		known := schema{
			"at":     need(func(n *yaml.Node) { in.Place, placed = s.spot(n, "at") }),
			"height": may(s.reader.measured(&in.HeightM, "the height", "m", heights)),
			"facing": may(func(n *yaml.Node) { in.Facing, in.HasFacing = s.spot(n, "facing") }),
		}
		if hasKey(value, "walk", "from", "takes") {
			placed = s.walkKeys(known, &in, value)
		}
		ok := s.keys(value, what, known)
		if ok && placed && in.HasFacing && in.Facing[0] == in.Place[0] && in.Facing[1] == in.Place[1] {
			s.problem(value, cues.CodeOutOfRange, what+" faces nowhere", "it stands where it faces", "move one of the two, or leave facing out")
			return
		}
		if ok && placed {
			s.loc.StandIns = append(s.loc.StandIns, in)
		}
	})
}

// hasKey tells whether a map has one of some keys.
func hasKey(n *yaml.Node, keys ...string) bool {
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if slices.Contains(keys, n.Content[i].Value) {
			return true
		}
	}
	return false
}

// walkKeys adds the keys of a stand-in that walks, which begins where its walk does unless
// it says where. It tells whether that is known.
func (s *site) walkKeys(known schema, in *cues.StandIn, value *yaml.Node) (placed bool) {
	in.Walk = &cues.Walk{Cue: 1, At: s.pos(value)}
	at := known["at"]
	at.needed = false
	known["at"] = at
	known["walk"] = need(func(n *yaml.Node) { s.walk(n, in.Walk) })
	known["from"] = may(func(n *yaml.Node) { in.Walk.Cue = s.fromCue(n) })
	known["takes"] = need(s.reader.intoDuration(&in.Walk.Takes, "takes"))
	for i := 0; i+1 < len(value.Content); i += 2 {
		if value.Content[i].Value == "walk" {
			if m := s.loc.Mark(value.Content[i+1].Value); m != nil {
				in.Place, placed = m.Points[0], true
			}
		}
	}
	return placed
}

// walk reads the name of a mark of several points.
func (s *site) walk(n *yaml.Node, w *cues.Walk) {
	w.Mark = s.name(n, "a mark")
	switch m := s.loc.Mark(w.Mark); {
	case w.Mark == "":
	case m == nil:
		s.unknown(n, cues.CodeUnknownMark, fmt.Sprintf("no mark is named %q here", shorten(n.Value)), n.Value, markNames(s.loc))
	case len(m.Points) < 2:
		s.problem(n, cues.CodeOutOfRange, fmt.Sprintf("mark %q is one point", m.Name), "nobody can walk along it",
			"give the mark more points, like walk: [[2, 1, 0], [6, 4, 0]]")
	}
}

// fromCue reads "cue 2".
func (s *site) fromCue(n *yaml.Node) int {
	text := s.text(n, "from")
	number, err := strconv.Atoi(strings.TrimSpace(strings.TrimPrefix(text, "cue")))
	if n.Kind != yaml.ScalarNode {
		return 1
	}
	if err != nil || !strings.HasPrefix(text, "cue ") || number < 1 || number > len(s.loc.Cues) {
		s.problem(n, cues.CodeUnknownCue, fmt.Sprintf("%q is no cue of this sheet", shorten(text)),
			fmt.Sprintf("the cue sheet has %d", len(s.loc.Cues)), "write it like cue 2")
		return 1
	}
	return number
}
