package showfile

import (
	"fmt"
	"regexp"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
)

// uidText is a unique identifier of ANSI E1.20 section 5 as it is printed: the
// manufacturer and the device, hexadecimal.
var uidText = regexp.MustCompile(`^([0-9A-F]{4}):([0-9A-F]{8})$`)

// uid reads a unique identifier; "" after a problem.
func (r *reader) uid(n *yaml.Node) string {
	text := r.text(n, "the uid")
	if n.Kind != yaml.ScalarNode {
		return ""
	}
	const form = "write it as the lamp's menu, its label or linkboy address show it, like 7FF0:0000002A"
	upper := strings.ToUpper(text)
	m := uidText.FindStringSubmatch(upper)
	switch {
	case m == nil:
		r.problem(n, cues.CodeBadUID, fmt.Sprintf("%q is no unique identifier", shorten(text)),
			"it has 4 hexadecimal digits of the maker, a colon and 8 of the lamp", form)
	case m[2] == "FFFFFFFF":
		r.problem(n, cues.CodeBadUID, fmt.Sprintf("%q is no lamp's unique identifier", shorten(text)), "FFFFFFFF stands for every device of a maker", form)
	case upper == "0000:00000000":
		r.problem(n, cues.CodeBadUID, fmt.Sprintf("%q is no lamp's unique identifier", shorten(text)), "nobody has it", form)
	default:
		return upper
	}
	return ""
}

// uidFree reports whether no lamp of the kit has the identifier yet.
func (l *loader) uidFree(r *reader, key *yaml.Node, id, uid string) bool {
	if uid == "" {
		return true
	}
	for _, k := range l.show.Kit {
		if k.UID == uid {
			r.problem(key, cues.CodeUIDTwice, fmt.Sprintf("lamp %q has the uid of lamp %q, %s", id, k.ID, uid),
				"every lamp of the world has its own", "give each its own line and its own uid, or take the uid out")
			return false
		}
	}
	return true
}
