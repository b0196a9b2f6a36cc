package showfile

import (
	"fmt"

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
		ok := s.keys(value, what, schema{
			"at":     need(func(n *yaml.Node) { in.Place, placed = s.spot(n, "at") }),
			"height": may(s.reader.measured(&in.HeightM, "the height", "m", heights)),
			"facing": may(func(n *yaml.Node) { in.Facing, in.HasFacing = s.spot(n, "facing") }),
		})
		if ok && placed && in.HasFacing && in.Facing[0] == in.Place[0] && in.Facing[1] == in.Place[1] {
			s.problem(value, cues.CodeOutOfRange, what+" faces nowhere", "it stands where it faces", "move one of the two, or leave facing out")
			return
		}
		if ok && placed {
			s.loc.StandIns = append(s.loc.StandIns, in)
		}
	})
}
