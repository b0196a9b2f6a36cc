package inplace

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// File is a text with what it holds. The zero File is of no use; see Open.
type File struct {
	src  []byte
	root *Node
}

// Open reads a text. The error is an *UnsureError.
func Open(src []byte) (*File, error) {
	root, err := parse(src)
	if err != nil {
		return nil, err
	}
	return &File{src, root}, nil
}

// Bytes gives the text as it is now; it must not be written to.
func (f *File) Bytes() []byte { return f.src }

// Root gives the values as they are now; they must not be written to.
func (f *File) Root() *Node { return f.root }

// Place gives the line and column of the value at path, or of its key where it
// has one and that is asked for; both count from 1.
func (f *File) Place(path []int, key bool) (line, column int) {
	at := f.root.start
	if n := f.root.At(path); n != nil && len(path) > 0 {
		at = n.start
		if last := len(path) - 1; key {
			if holder := f.root.At(path[:last]); holder.Kind == Map {
				at = holder.Keys[path[last]].start
			}
		}
	}
	line = 1 + bytes.Count(f.src[:at], []byte("\n"))
	text := bytes.TrimPrefix(f.src[lineStart(f.src, at):at], mark)
	return line, 1 + utf8.RuneCount(text)
}

// splice puts text where from to to was.
type splice struct {
	from, to int
	text     []byte
}

// change makes the bytes as the splices say, and checks that they are read as
// want. When they are not, f stays as it was.
func (f *File) change(splices []splice, want *Node) error {
	slices.SortFunc(splices, func(a, b splice) int { return cmp.Or(a.from-b.from, a.to-b.to) })
	var out []byte
	at := 0
	for _, s := range splices {
		if s.from < at {
			return f.unsure(s.from, "two changes would touch the same text")
		}
		out = append(append(out, f.src[at:s.from]...), s.text...)
		at = s.to
	}
	out = append(out, f.src[at:]...)
	root, err := parse(out)
	if err != nil {
		return f.unsure(splices[0].from, fmt.Sprintf("after the change the file could not be read (%s)", err))
	}
	if !root.Equal(want) {
		return f.unsure(splices[0].from, "after the change the file would say something else than what was meant")
	}
	f.src, f.root = out, root
	return nil
}

func (f *File) unsure(at int, why string) error {
	return &UnsureError{Line: 1 + bytes.Count(f.src[:min(at, len(f.src))], []byte("\n")), Why: why}
}

func (f *File) pen() *pen {
	nl := "\n"
	if first := bytes.IndexByte(f.src, '\n'); first > 0 && f.src[first-1] == '\r' {
		nl = "\r\n"
	}
	return &pen{f.src, nl}
}

// Swap is a value to write in place of another, or of a key.
type Swap struct {
	Path  []int
	Key   bool // the key of the value at Path instead of the value
	Value *Node
}

// Replace writes values in place of others, all at once. None may lie in another.
func (f *File) Replace(swaps ...Swap) error {
	want := f.root.clone()
	var splices []splice
	for _, s := range swaps {
		if len(s.Path) == 0 {
			return f.unsure(0, "a whole text is not replaced")
		}
		parent := want.At(s.Path[:len(s.Path)-1])
		if parent == nil || want.At(s.Path) == nil {
			return f.unsure(0, "there is nothing at that place")
		}
		i := s.Path[len(s.Path)-1]
		old := parent.Kids[i]
		if s.Key {
			old = parent.Keys[i]
			parent.Keys[i] = s.Value
		} else {
			parent.Kids[i] = s.Value
		}
		if old.Equal(s.Value) {
			continue
		}
		if f.remarked(old) {
			return f.unsure(old.start, "a comment stands in what would be written anew, and would be lost")
		}
		splices = append(splices, f.swap(parent, old, i, s))
	}
	if len(splices) == 0 {
		return nil
	}
	return f.change(splices, want)
}

func (f *File) swap(parent, old *Node, i int, s Swap) splice {
	if old.Kind == Single && s.Value.Kind == Single {
		style := old.style
		if s.Value.style != 0 {
			style = s.Value.style
		}
		return splice{old.start, old.end, appendSingle(nil, s.Value.Text, style)}
	}
	text := appendInline(nil, s.Value)
	if old.Kind != Single && !old.flow && parent.Kind == Map {
		// A list or map in lines of its own: the new value goes behind the key.
		colon := gapIn(f.src, parent.Keys[i].end)
		if colon < len(f.src) && f.src[colon] == ':' && gapIn(f.src, colon+1) == old.start {
			return splice{colon + 1, old.end, append([]byte(" "), text...)}
		}
	}
	return splice{old.start, old.end, text}
}

// Wrap makes the value at path a map with that value under key.
func (f *File) Wrap(path []int, key string) error {
	old := f.root.At(path)
	if old == nil || len(path) == 0 {
		return f.unsure(0, "there is nothing at that place")
	}
	value := Entries().With(key, old)
	want := f.root.clone()
	last := len(path) - 1
	want.At(path[:last]).Kids[path[last]] = value
	if old.Kind == Single || old.flow {
		before := append(appendSingle([]byte("{"), key, 0), ": "...)
		return f.change([]splice{{old.start, old.start, before}, {old.end, old.end, []byte("}")}}, want)
	}
	// The items may stand in the column of their key, so they stay where they are.
	if holder := f.root.At(path[:last]); old.Kind == List && holder.Kind == Map && f.firstInLine(old.start) {
		p := f.pen()
		if column := p.column(old.start); column > p.column(holder.Keys[path[last]].start) {
			at := lineStart(f.src, old.start)
			line := append([]byte(strings.Repeat(" ", column)), appendSingle(nil, key, 0)...)
			return f.change([]splice{{at, at, append(append(line, ':'), p.nl...)}}, want)
		}
	}
	return f.Replace(Swap{Path: path, Value: value})
}

// remarked reports whether comments stand within a list or map.
func (f *File) remarked(n *Node) bool {
	at := n.start
	inGap := func(to int) bool {
		found := bytes.IndexByte(f.src[at:max(at, to)], '#') >= 0
		at = to
		return found
	}
	for i, kid := range n.Kids {
		if n.Kind == Map {
			if inGap(n.Keys[i].start) {
				return true
			}
			at = n.Keys[i].end
		}
		if inGap(kid.start) || f.remarked(kid) {
			return true
		}
		at = kid.end
	}
	return n.Kind != Single && inGap(n.end)
}

// Insert puts value before item or entry i of the list or map at path, or
// behind the last; key is its key in a map.
func (f *File) Insert(path []int, i int, key string, value *Node) error {
	want := f.root.clone()
	into, holder := want.At(path), f.root.At(path)
	if into == nil || into.Kind == Single || i < 0 || i > len(into.Kids) {
		return f.unsure(0, "there is no list or map at that place")
	}
	into.Kids = slices.Insert(into.Kids, i, value)
	if into.Kind == Map {
		into.Keys = slices.Insert(into.Keys, i, Value(key))
	}
	e := entry{File: f, pen: f.pen(), in: holder, path: path, key: key, value: value}
	var splices []splice
	var err error
	switch {
	case holder.flow && len(holder.Kids) == 0 && e.ownLine():
		splices = e.intoEmptied()
	case holder.flow:
		splices = e.intoFlow(i)
	case len(holder.Kids) == 0:
		splices = e.intoNothing()
	default:
		splices, err = e.intoBlock(i)
	}
	if err != nil {
		return err
	}
	return f.change(splices, want)
}

// Remove takes item or entry i of the list or map at path out. The last one
// leaves [] or {}.
func (f *File) Remove(path []int, i int) error {
	want := f.root.clone()
	from, holder := want.At(path), f.root.At(path)
	if from == nil || from.Kind == Single || i < 0 || i >= len(from.Kids) {
		return f.unsure(0, "there is nothing at that place")
	}
	drop(from, i)
	s, err := f.without(holder, path, i)
	if err != nil {
		return err
	}
	return f.change(s, want)
}

func drop(n *Node, i int) {
	n.Kids = slices.Delete(n.Kids, i, i+1)
	if n.Kind == Map {
		n.Keys = slices.Delete(n.Keys, i, i+1)
	}
}

// Move puts item i of the list at path at place to; the others keep their order.
func (f *File) Move(path []int, i, to int) error {
	want := f.root.clone()
	list, holder := want.At(path), f.root.At(path)
	if list == nil || list.Kind != List || min(i, to) < 0 || max(i, to) >= len(list.Kids) {
		return f.unsure(0, "there is nothing at that place")
	}
	if i == to {
		return nil
	}
	item := list.Kids[i]
	list.Kids = slices.Insert(slices.Delete(list.Kids, i, i+1), to, item)
	// Taken out and put in with the bytes that it has.
	out, err := f.without(holder, path, i)
	if err != nil {
		return err
	}
	raw := f.src[out[0].from:out[0].to]
	if holder.flow {
		raw = f.src[holder.Kids[i].start:holder.Kids[i].end]
	}
	less := f.root.clone()
	drop(less.At(path), i)
	rest := &File{f.src, f.root}
	if err := rest.change(out, less); err != nil {
		return err
	}
	e := entry{File: rest, pen: rest.pen(), in: rest.root.At(path), path: path, raw: raw, value: item}
	var splices []splice
	if holder.flow {
		splices = e.intoFlow(to)
	} else if splices, err = e.intoBlock(to); err != nil {
		return err
	}
	if err := rest.change(splices, want); err != nil {
		return err
	}
	*f = *rest
	return nil
}
