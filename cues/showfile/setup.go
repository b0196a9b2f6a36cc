package showfile

import (
	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// Ranges of set-up values.
var (
	lenses = span{1, 2000}
	trims  = span{-20, 20}
)

func (s *site) readSetups(n *yaml.Node) {
	s.each(n, "set-ups", func(key, value *yaml.Node) {
		if !s.goodName(key, "a set-up", key.Value, true) || !s.present(key, value) {
			return
		}
		u := &cues.Setup{Name: key.Value, LensMM: 35, At: s.pos(key)}
		what := `set-up "` + u.Name + `"`
		known := s.exposure(&u.Own)
		known["camera"] = need(s.intoPoint(&u.Camera, "the camera"))
		known["look-at"] = need(func(n *yaml.Node) { u.LookAt = s.lookAt(n) })
		known["lens"] = may(s.into(&u.LensMM, "the lens", "mm", lenses))
		known["trim"] = may(func(n *yaml.Node) { u.Trims = s.readTrims(n) })
		known["swap"] = may(func(n *yaml.Node) { u.Swaps = s.readSwaps(n) })
		known["mirror"] = may(func(n *yaml.Node) { u.Mirrors, u.MirrorAll = s.readMirror(n) })
		ok := s.keys(value, what, known)
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

// chest is how high over a mark a camera that looks at it is aimed, in metres
// (common practice, no source): a mark is where feet stand.
const chest = 1

// lookAt reads where a camera looks: a point, or the chest of who stands at a mark.
func (s *site) lookAt(n *yaml.Node) cues.Point {
	at, ok := s.spot(n, "look-at")
	if ok && n.Kind == yaml.ScalarNode {
		at[2] += chest
	}
	return at
}
