package showfile

import (
	"linkboy/cues"

	"gopkg.in/yaml.v3"
)

// ParseLook reads what stands behind the name of a look in a show file, in block or flow
// style. What it names is not looked up: no show is here. Problems count in text.
func ParseLook(name, text string) (*cues.Look, cues.Problems) {
	l := &loader{sink: &sink{}, show: &cues.Show{}, places: map[place]cues.Pos{}, units: map[cues.Pos]string{}}
	r := l.reader("")
	value, ok := r.parse([]byte(text))
	if !ok || value == nil {
		return nil, l.sink.sorted()
	}
	key := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: name, Line: 1, Column: 1}
	entry := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Content: []*yaml.Node{key, value}, Line: 1, Column: 1}
	looks := l.looks(r, entry)
	if problems := l.sink.sorted(); problems.HasErrors() || len(looks) != 1 {
		return nil, problems
	}
	return looks[0], nil
}
