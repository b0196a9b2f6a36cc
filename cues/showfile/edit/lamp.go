package edit

import (
	"fmt"
	"slices"
	"strings"

	"linkboy/cues"
	"linkboy/cues/showfile/inplace"
)

// renameLamp changes a place in the rig and the groups that name it. A place
// that had the name of its lamp gets a key that says which lamp stands there.
func (d *draft) renameLamp(p part, e Edit) {
	w := d.part(p, e)
	r := d.renamer(w.name)
	r.key(p, e)
	d.members(r, e.Name, func(at []int, group, text string) {
		r.swap(at, false, e.To+strings.TrimPrefix(text, e.Name), fmt.Sprintf("group %q has it", group))
	})
	r.done()
	if w.file.Root().At(w.path()).Index("lamp") < 0 {
		d.set(w, w.path(), p, "lamp", e.Name)
	}
}

// leaveGroups takes a place that leaves the rig out of the groups.
func (d *draft) leaveGroups(w where, name string) {
	var out [][]int
	d.members(d.renamer(w.name), name, func(at []int, group, _ string) {
		out = append(out, at)
		d.touch(w.name, at, fmt.Sprintf("group %q no longer has it", group))
	})
	for _, at := range slices.Backward(out) {
		last := len(at) - 1
		d.unsure(w.name, w.file.Remove(at[:last], at[last]))
	}
}

// members calls do for every item of a group that names a lamp by itself. One
// that names it within a range ends the edit.
func (d *draft) members(r *renamer, name string, do func(at []int, group, text string)) {
	r.each(func(at []int, group string, n *inplace.Node) {
		if i := n.Index("lamps"); i >= 0 {
			at, n = append(at, i), n.Kids[i]
		}
		for i, item := range n.Kids {
			words := strings.Fields(item.Text)
			if len(words) == 0 || n.Kind != inplace.List {
				continue
			}
			here := append(slices.Clone(at), i)
			switch {
			case words[0] == name:
				do(here, group, item.Text)
			case strings.Contains(words[0], "..") && slices.Contains(d.ranged(r.name, group), name):
				refuse(cues.NewProblem(r.pos(r.name, here, false), cues.CodeEditUnsure,
					fmt.Sprintf("group %q may have lamp %q within %q", group, name, words[0]),
					"a range stands for several lamps by their numbers", "list the lamps of the group one by one first"))
			}
		}
	}, "groups")
}

// ranged lists the lamps that a group of a location has.
func (d *draft) ranged(file, group string) []string {
	var names []string
	for _, l := range d.show.Locations {
		if g := l.Group(group); l.File == file && g != nil {
			for _, m := range g.Members {
				names = append(names, m.Lamp.ID)
			}
		}
	}
	return names
}
