package showfile

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// readSwaps reads a pair of groups, or a list of such pairs.
func (s *site) readSwaps(n *yaml.Node) []cues.Swap {
	var out []cues.Swap
	seen := map[string]bool{}
	read := func(pair *yaml.Node) {
		if swap, ok := s.swap(pair, seen); ok {
			out = append(out, swap)
		}
	}
	if n.Kind == yaml.SequenceNode && len(n.Content) > 0 && n.Content[0].Kind == yaml.SequenceNode {
		s.items(n, "swap", read)
	} else {
		read(n)
	}
	return out
}

// swap reads one pair. seen are the groups that are swapped so far.
func (s *site) swap(n *yaml.Node, seen map[string]bool) (swap cues.Swap, ok bool) {
	names := s.namedGroups(n, "swap")
	if n.Kind != yaml.SequenceNode {
		return swap, false
	}
	if len(names) != 2 || len(n.Content) != 2 {
		s.problem(n, cues.CodeWrongShape, fmt.Sprintf("a swap has %d groups", len(n.Content)), "two groups do each other's job",
			"write it like [edge, back], or [[edge, back], [near, far]] for more than one")
		return swap, false
	}
	for i, name := range names {
		if seen[name.Group] {
			s.problem(n.Content[i], cues.CodeDuplicateKey, fmt.Sprintf("group %q is swapped twice", name.Group),
				"it can do the job of one group only", "leave it in one pair")
			return swap, false
		}
		seen[name.Group] = true
	}
	return cues.Swap{names[0], names[1]}, true
}

// readMirror reads true for all groups, or a list of groups.
func (s *site) readMirror(n *yaml.Node) (groups []cues.Named, all bool) {
	if n.Kind == yaml.ScalarNode {
		return nil, s.yesNo(n, "mirror")
	}
	return s.namedGroups(n, "mirror"), false
}

// namedGroups reads a list of names of groups.
func (s *site) namedGroups(n *yaml.Node, what string) []cues.Named {
	var out []cues.Named
	s.items(n, what, func(item *yaml.Node) {
		if name := s.name(item, "a group"); name != "" {
			out = append(out, cues.Named{Group: name, At: s.pos(item)})
		}
	})
	return out
}
