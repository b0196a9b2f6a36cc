package inplace

import (
	"bytes"
	"slices"
	"strings"
)

// Sub makes another text of some entries of the map that the text is: in the order that
// they have, as they are written, with the comments over them and behind them. The
// entries of lead come first, written anew. notes are comments to write over entries, a
// line each, by their keys, and with the key "" at the head of the text.
func (f *File) Sub(lead *Node, keys []string, notes map[string][]string) (*File, error) {
	want := &Node{Kind: Map, Keys: lead.Keys, Kids: lead.Kids}
	w := sub{File: f, nl: f.pen().nl, notes: notes, flow: f.root.flow}
	w.note("")
	if w.flow {
		w.out = append(w.out, '{')
	} else if len(f.root.Keys) > 0 {
		w.indent = strings.Repeat(" ", f.pen().column(f.root.Keys[0].start))
	}
	for i, kid := range lead.Kids {
		w.begin()
		w.out = appendInline(append(appendSingle(w.out, lead.Keys[i].Text, 0), ": "...), kid)
		w.end()
	}
	for i, key := range f.root.Keys {
		if !slices.Contains(keys, key.Text) {
			continue
		}
		want.Keys, want.Kids = append(want.Keys, key), append(want.Kids, f.root.Kids[i])
		if err := w.entry(i); err != nil {
			return nil, err
		}
	}
	if w.flow {
		w.out = append(append(w.out, '}'), w.nl...)
	}
	made, err := Open(w.out)
	if err != nil {
		return nil, f.unsure(0, "a part of it alone could not be read ("+err.Error()+")")
	}
	if !made.root.Equal(want) {
		return nil, f.unsure(0, "a part of it alone would say something else")
	}
	return made, nil
}

// sub is a text that is made of parts of another.
type sub struct {
	*File
	nl, indent string
	notes      map[string][]string
	flow       bool
	some       bool // an entry has been written
	out        []byte
}

func (w *sub) note(key string) {
	for _, line := range w.notes[key] {
		w.out = append(append(append(w.out, w.indent+"# "...), line...), w.nl...)
	}
}

// begin goes to where the next entry begins.
func (w *sub) begin() {
	switch {
	case w.flow && w.some:
		w.out = append(append(w.out, ','), w.nl...)
	case !w.flow && (w.some || len(w.out) > 0):
		w.out = append(w.out, w.nl...)
	}
	w.out = append(w.out, w.indent...)
	w.some = true
}

func (w *sub) end() {
	if !w.flow {
		w.out = append(w.out, w.nl...)
	}
}

// entry writes entry i as it is written in the old text.
func (w *sub) entry(i int) error {
	key, kid := w.root.Keys[i], w.root.Kids[i]
	if w.flow {
		w.begin()
		w.out = w.out[:len(w.out)-len(w.indent)]
		if len(w.notes[key.Text]) > 0 {
			w.out = append(w.out, w.nl...)
			w.note(key.Text)
		}
		w.out = append(append(w.out, w.src[key.start:key.end]...), ": "...)
		w.out = append(w.out, w.src[kid.start:kid.end]...)
		return nil
	}
	_, to, ok := w.tail(kid.end)
	if !ok || !w.firstInLine(key.start) {
		return w.unsure(key.start, "it shares its line with something else")
	}
	limit := len(w.src)
	if i+1 < len(w.root.Keys) {
		limit = w.over(w.root.Keys[i+1].start)
	}
	text := bytes.TrimRight(w.src[w.over(key.start):w.remarks(to, limit)], "\r\n")
	w.begin()
	w.out = w.out[:len(w.out)-len(w.indent)]
	w.note(key.Text)
	w.out = append(append(w.out, text...), w.nl...)
	return nil
}

// over gives where the comments begin that stand right over the entry of the map at at,
// in its column: they are about it. Others belong to the entry before.
func (f *File) over(at int) int {
	column := f.pen().column(at)
	at = lineStart(f.src, at)
	for at > 0 {
		above := lineStart(f.src, at-1)
		line := f.src[above : at-1]
		if hash := len(line) - len(bytes.TrimLeft(line, " ")); hash != column || hash >= len(line) || line[hash] != '#' {
			break
		}
		at = above
	}
	return at
}

// remarks gives where the empty lines and the comments end that begin at at.
func (f *File) remarks(at, limit int) int {
	for at < limit {
		end := min(lineEnd(f.src, at)+1, limit)
		line := bytes.TrimSpace(f.src[at:end])
		if len(line) > 0 && line[0] != '#' {
			break
		}
		at = end
	}
	return at
}
