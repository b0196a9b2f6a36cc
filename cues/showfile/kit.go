package showfile

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"linkboy/colour/lamp"
	"linkboy/cues"
)

// readKit reads kit.yaml and reports whether it is a map.
func (l *loader) readKit() bool {
	r, root, ok := l.open("kit.yaml", false)
	l.kitKnown = ok
	if root == nil {
		return false
	}
	isMap := r.each(root, "the kit", func(key, value *yaml.Node) {
		ids, ok := expandRange(key.Value)
		if !ok {
			r.problem(key, cues.CodeBadRange, fmt.Sprintf("%q is no range of lamps", shorten(key.Value)),
				fmt.Sprintf("both ends must be the same but for the number, and at most %d apart", maxRange), "write it like T1..T12")
			return
		}
		var k *cues.KitLamp
		if r.present(key, value) {
			k = l.kitLamp(r, value, key.Value)
		}
		for _, id := range ids {
			l.addKit(r, key, id, k)
		}
	})
	l.kitKnown = ok && isMap
	return isMap
}

// addKit adds one lamp like k; k is nil when its description has a problem.
func (l *loader) addKit(r *reader, key *yaml.Node, id string, k *cues.KitLamp) {
	if !r.goodName(key, "a lamp", id, false) {
		return
	}
	if before, twice := l.kit[id]; twice {
		where := "it is described above"
		if before != nil {
			where = fmt.Sprintf("it is already at line %d", before.At.Line)
		}
		r.problem(key, cues.CodeDuplicateName, fmt.Sprintf("lamp %q is in the kit twice", id), where, "rename one of the two")
		return
	}
	l.kit[id] = nil
	if k != nil && l.uidFree(r, key, id, k.UID) {
		own := *k
		own.ID, own.At = id, r.pos(key)
		l.kit[id] = &own
		l.show.Kit = append(l.show.Kit, &own)
	}
}

// kitLamp reads what one lamp is, nil after a problem.
func (l *loader) kitLamp(r *reader, n *yaml.Node, id string) *cues.KitLamp {
	k := &cues.KitLamp{}
	var typeNode, modeNode, readings *yaml.Node
	ok := r.keys(n, fmt.Sprintf("lamp %q", shorten(id)), schema{
		"type":     need(func(n *yaml.Node) { typeNode = n }),
		"mode":     may(func(n *yaml.Node) { modeNode = n }),
		"policy":   may(r.policy(&k.Policy)),
		"uid":      may(func(n *yaml.Node) { k.UID = r.uid(n) }),
		"readings": may(func(n *yaml.Node) { readings = n }),
		"note":     may(func(n *yaml.Node) { k.Note = r.text(n, "a note") }),
	})
	if !ok || typeNode == nil {
		return nil
	}
	name := r.text(typeNode, "the lamp type")
	t, known := l.types[name]
	if name == "" || t == nil {
		if !known && name != "" {
			r.unknown(typeNode, cues.CodeUnknownType, fmt.Sprintf("no lamp type is named %q", shorten(name)), name, sortedKeys(l.types))
		}
		return nil
	}
	k.Type, k.Mode = t, t.Modes[0]
	if modeNode != nil {
		k.Mode = r.mode(modeNode, t)
	}
	if k.Mode == nil {
		return nil
	}
	if readings != nil {
		l.calibrate(r, readings, k)
	}
	return k
}

func (r *reader) mode(n *yaml.Node, t *lamp.Type) *lamp.Mode {
	text := r.text(n, "the mode")
	names := make([]string, len(t.Modes))
	for i, m := range t.Modes {
		if names[i] = m.Name; m.Name == text {
			return m
		}
	}
	if text != "" {
		r.unknown(n, cues.CodeUnknownMode, fmt.Sprintf("%s has no mode %q", t.Name, shorten(text)), text, names)
	}
	return nil
}
