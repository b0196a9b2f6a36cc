package edit

import (
	"bytes"
	"errors"
	"fmt"
	"path"
	"slices"

	"linkboy/cues"
	"linkboy/cues/showfile/inplace"
)

// draft is a show that is being edited: its files in memory.
type draft struct {
	show    *cues.Show
	files   map[string][]byte        // as they are
	parsed  map[string]*inplace.File // some of them, or of other bytes
	opened  map[string]*inplace.File
	gone    map[string]bool // files that are taken away
	changes []Touch
}

func newDraft(show *cues.Show, files map[string][]byte) *draft {
	return &draft{show: show, files: files, opened: map[string]*inplace.File{}, gone: map[string]bool{}}
}

// Touch is one place that an edit changes, said in words.
type Touch struct {
	Pos  cues.Pos // where it was before the edit
	What string
}

// refusal is a problem that ends the making of an edit. The functions that
// change a draft are many and small, so the first problem is kept in a panic
// that never leaves the package; see draft.make.
type refusal struct{ *cues.Problem }

func refuse(p *cues.Problem) { panic(refusal{p}) }

// make changes the draft as the edit says. The problem says why it cannot be.
func (d *draft) make(e Edit) (problem *cues.Problem) {
	if p := e.Check(); p != nil {
		return p
	}
	defer func() {
		if r := recover(); r != nil {
			known, ok := r.(refusal)
			if !ok {
				panic(r)
			}
			problem = known.Problem
		}
	}()
	p := parts[e.What]
	switch {
	case e.makesLocation():
		d.addLocation(e)
		return nil
	case e.What == TheLocation && e.Do == Remove:
		d.removeLocation(e)
		return nil
	}
	switch e.Do {
	case Carry:
		d.carry(p, e)
	case Add:
		d.add(p, e)
	case Change:
		d.change(p, e)
	case Remove:
		d.remove(p, e)
	case Move:
		d.move(p, e)
	case Rename:
		d.rename(p, e)
	}
	return nil
}

// file gives the file that location names, "" for show.yaml.
func (d *draft) file(location string) string {
	if location == "" {
		return "show.yaml"
	}
	var names []string
	for _, file := range d.places() {
		name := placeName(file)
		if name == location {
			return file
		}
		names = append(names, name)
	}
	refuse(cues.NewProblem(cues.Pos{}, cues.CodeUnknownLocation, fmt.Sprintf("no location is named %q", shorten(location)),
		"known are "+fmt.Sprint(names), nearest(location, names)))
	return ""
}

// open gives a file of the show, to change in place.
func (d *draft) open(file string) *inplace.File {
	if f := d.opened[file]; f != nil {
		return f
	}
	if known := d.parsed[file]; known != nil && bytes.Equal(known.Bytes(), d.files[file]) {
		f := *known // its text and values are never written to
		d.opened[file] = &f
		return &f
	}
	f, err := inplace.Open(d.files[file])
	d.unsure(file, err)
	d.opened[file] = f
	return f
}

// unsure ends the edit when err is not nil: the file is written in a way that
// is not understood well enough.
func (d *draft) unsure(file string, err error) {
	if err == nil {
		return
	}
	at := cues.Pos{File: file}
	if unsure, ok := errors.AsType[*inplace.UnsureError](err); ok && unsure.Line > 0 {
		at.Line, at.Column = unsure.Line, 1
	}
	refuse(cues.NewProblem(at, cues.CodeEditUnsure, "this spot cannot be edited with certainty", err.Error(),
		"change it by hand in the file; nothing was changed"))
}

// touch notes what an edit changes.
func (d *draft) touch(file string, at []int, what string) {
	d.changes = append(d.changes, Touch{d.pos(file, at, true), what})
}

// pos gives the place of a value, or of its key, in a file as it is by now.
func (d *draft) pos(file string, at []int, key bool) cues.Pos {
	line, column := d.open(file).Place(at, key)
	return cues.Pos{File: file, Line: line, Column: column}
}

// find gives the path that keys lead to in a file, nil and how far it got when
// it is not there.
func find(f *inplace.File, keys []string) (at []int, depth int) {
	n := f.Root()
	for i, key := range keys {
		next := n.Index(key)
		if next < 0 {
			return at, i
		}
		at, n = append(at, next), n.Kids[next]
	}
	return at, len(keys)
}

// where is the place of a part in a file.
type where struct {
	name string // of the file
	file *inplace.File
	keys []string // to the list or map that holds it
	in   []int    // the path of that, nil when it is not there
	ok   bool     // it is there
	at   int      // which of it
}

// path gives where the part itself is.
func (w where) path() []int { return append(slices.Clone(w.in), w.at) }

// holder finds what holds a part, which may not be there yet.
func (d *draft) holder(p part, e Edit) where {
	w := where{name: p.file, keys: slices.Clone(p.section)}
	if w.name == "" {
		w.name = d.file(e.Location)
	}
	w.file = d.open(w.name)
	if p.owner != "" {
		w.keys = append(w.keys, e.Of)
		if _, depth := find(w.file, w.keys); depth < len(w.keys) {
			d.missing(w, p.section, string(p.owner), e.Of)
		}
		if p.inside != "" {
			w.keys = append(w.keys, p.inside)
		}
	}
	depth := 0
	w.in, depth = find(w.file, w.keys)
	w.ok = depth == len(w.keys)
	return w
}

// missing refuses an edit of something that is not there.
func (d *draft) missing(w where, keys []string, what, name string) {
	var known []string
	if at, depth := find(w.file, keys); depth == len(keys) {
		for _, key := range w.file.Root().At(at).Keys {
			known = append(known, key.Text)
		}
	}
	why, mend := fmt.Sprintf("%s has no such %s", w.name, what), "add it first"
	if near := cues.Nearest(name, known); near != "" {
		mend = fmt.Sprintf("write %q", near)
	}
	code := unknownCodes[What(what)]
	if code == "" {
		code = cues.CodeBadEdit
	}
	refuse(cues.NewProblem(cues.Pos{File: w.name}, code, fmt.Sprintf("there is no %s %q", what, shorten(name)), why, mend))
}

var unknownCodes = map[What]string{Look: cues.CodeUnknownLook, Character: cues.CodeUnknownCharacter, Colour: cues.CodeUnknownColour,
	Group: cues.CodeUnknownGroup, Lamp: cues.CodeUnknownLamp, Mark: cues.CodeUnknownMark, Cue: cues.CodeUnknownCue, Kit: cues.CodeUnknownLamp}

// part finds a part that must be there.
func (d *draft) part(p part, e Edit) where {
	w := d.holder(p, e)
	var n *inplace.Node
	if w.ok {
		n = w.file.Root().At(w.in)
	}
	if p.list {
		count := 0
		if n != nil {
			count = len(n.Kids)
		}
		if e.Number > count {
			code := cues.CodeBadEdit
			if e.What == Cue {
				code = cues.CodeUnknownCue
			}
			refuse(cues.NewProblem(cues.Pos{File: w.name}, code, fmt.Sprintf("there is no %s %d", e.What, e.Number),
				fmt.Sprintf("there are %d", count), "choose one that is there"))
		}
		w.at = e.Number - 1
		return w
	}
	if w.at = n.Index(e.Name); w.at < 0 {
		d.missing(w, w.keys, string(e.What), e.Name)
	}
	return w
}

// order gives the keys of a map in the order in which new ones are put.
func order(file string, depth int, p part) []string {
	switch {
	case depth > 0:
		return p.keys()
	case path.Dir(file) == "locations":
		return locationKeys
	}
	return showKeys
}

// slot gives where a new key comes to stand: behind those that go before it.
func slot(n *inplace.Node, key string, order []string) int {
	rank := slices.Index(order, key)
	at := 0
	for i, k := range n.Keys {
		if r := slices.Index(order, k.Text); r >= 0 && r < rank || rank < 0 {
			at = i + 1
		}
	}
	return at
}
