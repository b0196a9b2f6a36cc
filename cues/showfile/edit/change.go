package edit

import (
	"fmt"
	"slices"

	"linkboy/cues"
	"linkboy/cues/showfile/inplace"
)

// node gives the value that a field writes.
func (p part) node(key, text string) *inplace.Node {
	i := slices.IndexFunc(p.fields, func(f field) bool { return f.key == key })
	if i >= 0 && p.fields[i].plain {
		return inplace.Value(text)
	}
	n, err := inplace.ParseValue(text)
	if err != nil {
		refuse(bad(fmt.Sprintf("%q cannot be %s", shorten(text), key), err.Error(), "write it on one line, as in a show file"))
	}
	return n
}

// entry gives the value that a new part has in its file.
func (p part) entry(e Edit) *inplace.Node {
	if text, only := e.Fields[p.bare]; only && len(e.Fields) == 1 {
		return p.node(p.bare, text)
	}
	n := inplace.Entries()
	for _, key := range p.sorted(e.Fields) {
		n.With(key, p.node(key, e.Fields[key]))
	}
	return n
}

func (d *draft) add(p part, e Edit) {
	w := d.holder(p, e)
	value := p.entry(e)
	if w.ok {
		n := w.file.Root().At(w.in)
		if !p.list && n.Index(e.Name) >= 0 {
			refuse(cues.NewProblem(d.pos(w.name, append(w.in, n.Index(e.Name)), true), cues.CodeDuplicateName,
				fmt.Sprintf("there is a %s %q already", e.What, e.Name), "a name means one thing", "choose another name, or change the one that is there"))
		}
		at := len(n.Kids)
		if e.Place > 0 {
			at = min(at, e.Place-1)
		}
		d.touch(w.name, w.in, e.String())
		d.unsure(w.name, w.file.Insert(w.in, at, e.Name, value))
		return
	}
	if p.list {
		value = inplace.Items(value)
	} else {
		value = inplace.Entries().With(e.Name, value)
	}
	d.grow(p, e, w, value)
}

// grow puts a value where the keys that lead to it are not all there yet.
func (d *draft) grow(p part, e Edit, w where, value *inplace.Node) {
	at, depth := find(w.file, w.keys)
	for i := len(w.keys) - 1; i > depth; i-- {
		value = inplace.Entries().With(w.keys[i], value)
	}
	key, in := w.keys[depth], w.file.Root().At(at)
	keys := order(w.name, depth, p)
	if p.owner != "" && depth > 0 {
		keys = parts[p.owner].keys()
	}
	d.touch(w.name, at, e.String())
	d.unsure(w.name, w.file.Insert(at, slot(in, key, keys), key, value))
}

func (d *draft) change(p part, e Edit) {
	var w where
	var at []int
	if p.one {
		w = d.holder(p, e)
		if at = w.in; !w.ok {
			fields := make(map[string]string, len(e.Fields))
			for key, text := range e.Fields {
				if text != "" {
					fields[key] = text
				}
			}
			e.Fields = fields
			if len(fields) > 0 {
				d.grow(p, e, w, p.entry(e))
			}
			return
		}
	} else {
		w = d.part(p, e)
		at = w.path()
	}
	d.touch(w.name, at, e.String())
	n := w.file.Root().At(at)
	_, only := e.Fields[p.bare]
	if only = only && len(e.Fields) == 1; only && (len(p.fields) == 1 || n.Kind != inplace.Map) {
		if e.Fields[p.bare] == "" {
			refuse(bad(fmt.Sprintf("a %s without %s says nothing", e.What, p.bare), "it has nothing else", "take it out"))
		}
		d.unsure(w.name, w.file.Become(at, p.node(p.bare, e.Fields[p.bare])))
		return
	}
	if p.bare != "" && n.Kind != inplace.Map { // a value alone gets keys beside it
		d.unsure(w.name, w.file.Wrap(at, p.bare))
	}
	for _, key := range p.sorted(e.Fields) {
		d.set(w, at, p, key, e.Fields[key])
	}
	if e.What == Paint {
		d.settle(w, at, e)
	}
}

// set makes one key of the map at path at read as text; "" takes it out.
func (d *draft) set(w where, at []int, p part, key, text string) {
	n := w.file.Root().At(at)
	if n.Kind != inplace.Map {
		refuse(cues.NewProblem(d.pos(w.name, at, true), cues.CodeEditUnsure,
			"this spot cannot be edited with certainty", "it is no map", "change it by hand in the file; nothing was changed"))
	}
	i := n.Index(key)
	switch {
	case text == "" && i < 0:
	case text == "":
		d.unsure(w.name, w.file.Remove(at, i))
	case i < 0:
		d.unsure(w.name, w.file.Insert(at, slot(n, key, order(w.name, len(at), p)), key, p.node(key, text)))
	default:
		d.unsure(w.name, w.file.Become(append(slices.Clone(at), i), p.node(key, text)))
	}
}

// settle takes out what paint had before one colour became several, or several
// became one.
func (d *draft) settle(w where, at []int, e Edit) {
	out := func(keys ...string) {
		for _, key := range keys {
			if _, said := e.Fields[key]; !said {
				d.set(w, at, parts[Paint], key, "")
			}
		}
	}
	switch {
	case e.Fields["colour"] != "":
		out("colours", "pattern")
	case e.Fields["colours"] != "":
		out("colour")
	}
}

func (d *draft) remove(p part, e Edit) {
	if p.one {
		w := d.holder(p, e)
		if !w.ok {
			refuse(bad(fmt.Sprintf("there is no %s", e.What), w.name+" does not have it", "nothing needs to be done"))
		}
		d.touch(w.name, w.in, e.String())
		last := len(w.in) - 1
		d.unsure(w.name, w.file.Remove(w.in[:last], w.in[last]))
		return
	}
	w := d.part(p, e)
	if last := len(w.in) - 1; e.What == Output && len(w.file.Root().At(w.in).Kids) == 1 {
		d.touch(w.name, w.in, e.String())
		d.unsure(w.name, w.file.Remove(w.in[:last], w.in[last]))
		return
	}
	d.touch(w.name, w.path(), e.String())
	if e.What == Lamp {
		d.leaveGroups(w, e.Name)
	}
	d.unsure(w.name, w.file.Remove(w.in, w.at))
}

func (d *draft) move(p part, e Edit) {
	w := d.part(p, e)
	last := len(w.file.Root().At(w.in).Kids) - 1
	to := last
	if e.Place > 0 {
		to = min(last, e.Place-1)
	}
	d.touch(w.name, w.path(), e.String())
	d.unsure(w.name, w.file.Move(w.in, w.at, to))
}
