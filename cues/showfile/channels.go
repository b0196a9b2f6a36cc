package showfile

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"linkboy/colour/lamp"
	"linkboy/cues"
)

// modes reads the ways in which a lamp reads channels, in file order: the
// first is the default.
func (t *typeReader) modes(n *yaml.Node) {
	t.each(n, "modes", func(key, value *yaml.Node) {
		if !t.goodName(key, "a mode", key.Value, true) || !t.present(key, value) {
			return
		}
		t.places["mode "+key.Value] = t.pos(key)
		b := &modeBuilder{t: t, bits: 8, m: &lamp.Mode{Name: key.Value, Cells: 1, Curve: t.curve}}
		var channels *yaml.Node
		t.keys(value, fmt.Sprintf("mode %q", key.Value), schema{
			"bits":     may(func(n *yaml.Node) { b.bits = t.bits(n) }),
			"curve":    may(func(n *yaml.Node) { b.m.Curve = t.dimmerCurve(n) }),
			"channels": need(func(n *yaml.Node) { channels = n }),
		})
		if channels != nil {
			b.channels(channels)
		}
		t.t.Modes = append(t.t.Modes, b.m)
	})
}

func (r *reader) bits(n *yaml.Node) int {
	if r.word(n, "number of bits", "8", "16") == "16" {
		return 16
	}
	return 8
}

// universe is the slots of a universe (ANSI E1.11 DMX512-A).
const universe = 512

// modeBuilder lays out the channels of one mode, slot by slot.
//
// The items of a channel list, in slot order:
//
//	red                              an emitter of the only cell, or a parameter
//	{channel: strobe, bits: 8}       the same, with other bits than the mode's
//	{cells: 16, each: [red, green]}  the channels of cell 1, then those of cell 2, ...
//	{skip: 2}                        slots that do nothing; always sent as 0
type modeBuilder struct {
	t     *typeReader
	m     *lamp.Mode
	bits  int
	cells int // as a cells item says; 0 before one
	full  bool
}

func (b *modeBuilder) channels(n *yaml.Node) {
	b.t.items(n, "channels", func(item *yaml.Node) {
		if b.full {
			return
		}
		if item.Kind == yaml.ScalarNode {
			b.one(item, item.Value, 0, b.bits)
			return
		}
		b.item(item)
	})
	if len(n.Content) == 0 {
		b.t.problem(n, cues.CodeBadChannels, fmt.Sprintf("mode %q has no channels", b.m.Name), "it could not be controlled", "list its channels in slot order")
	}
}

func (b *modeBuilder) item(n *yaml.Node) {
	r := b.t.reader
	switch {
	case has(n, "skip"):
		r.keys(n, "a gap", schema{"skip": need(func(n *yaml.Node) { b.take(n, r.whole(n, "skip", span{1, universe})) })})
	case has(n, "each"), has(n, "cells"):
		var cells int
		var each *yaml.Node
		ok := r.keys(n, "the channels of cells", schema{
			"cells": need(func(n *yaml.Node) { cells = r.whole(n, "cells", cellCounts) }),
			"each":  need(func(n *yaml.Node) { each = n }),
		})
		if ok && each != nil {
			b.each(n, cells, each)
		}
	default:
		bits, name := b.bits, (*yaml.Node)(nil)
		ok := r.keys(n, "a channel", schema{
			"channel": need(func(n *yaml.Node) { name = n }),
			"bits":    may(func(n *yaml.Node) { bits = r.bits(n) }),
		})
		if ok && name != nil {
			b.one(name, r.text(name, "a channel"), 0, bits)
		}
	}
}

func (b *modeBuilder) each(n *yaml.Node, cells int, each *yaml.Node) {
	if b.cells > 0 && b.cells != cells {
		b.t.problem(n, cues.CodeBadChannels, fmt.Sprintf("mode %q has %d cells and %d cells", b.m.Name, b.cells, cells),
			"a mode tells apart one number of cells", "write the same number in both places")
		return
	}
	if before := len(b.t.sink.problems); !b.t.items(each, "each", func(*yaml.Node) {}) || len(b.t.sink.problems) > before {
		return
	}
	b.cells, b.m.Cells = cells, cells
	for cell := range cells {
		for _, name := range each.Content {
			if !b.one(name, name.Value, cell, b.bits) {
				return
			}
		}
	}
}

// one adds the channel of an emitter or a parameter and reports whether it
// could.
func (b *modeBuilder) one(n *yaml.Node, name string, cell, bits int) bool {
	ch := lamp.Channel{Offset: b.m.Footprint, Bits: bits, Name: name, Cell: -1, Emitter: -1}
	var known []string
	for i, e := range b.t.t.Emitters {
		if known = append(known, e.Name); e.Name == name {
			ch.Cell, ch.Emitter = cell, i
		}
	}
	if ch.Emitter >= 0 && b.cells > 0 {
		ch.Name = fmt.Sprintf("%s %d", name, cell+1)
	}
	if p := b.t.params[name]; ch.Emitter < 0 && p != nil {
		ch.Param = p
	}
	if ch.Emitter < 0 && ch.Param == nil {
		b.t.unknown(n, cues.CodeBadChannels, fmt.Sprintf("no emitter or parameter is named %q", shorten(name)), name,
			append(known, sortedKeys(b.t.params)...))
		return false
	}
	b.m.Channels = append(b.m.Channels, ch)
	return b.take(n, bits/8)
}

// take adds slots to the footprint and reports whether they fit in a universe.
func (b *modeBuilder) take(n *yaml.Node, slots int) bool {
	b.m.Footprint += slots
	if b.m.Footprint <= universe {
		return true
	}
	if !b.full {
		b.full = true
		b.t.problem(n, cues.CodeBadChannels, fmt.Sprintf("mode %q needs more than %d slots", b.m.Name, universe),
			"a lamp must fit in one universe", "give the mode fewer cells or bits")
	}
	return false
}

func has(n *yaml.Node, key string) bool {
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return true
		}
	}
	return false
}
