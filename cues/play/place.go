package play

import (
	"slices"

	"linkboy/cues/track"
)

// place is a loaded location and every buffer the loop needs for it, made by
// the caller of Load so that the loop need not.
type place struct {
	layout    *track.Layout
	addresses []uint16
	cur       track.Still // what is on now, before movement, overall, floor light and kill
	start     track.Still // what was on when the running fade began
	dark      track.Still // what is on while killed
	writer    *track.Writer
	frame     [][]byte  // the writer's
	kinds     [][]uint8 // of the bytes of the frame
	swap      swap      // the way here from the place that this one replaced
	pages     [3]arrays // room for the snapshots
	parting   parting   // for when another place takes over
	before    *place    // that has not parted either

	layers [maxLayers]layer // movements, the newest last
	moves  int              // how many there are
	done   track.Still      // how far the fade is, by slot
	left   track.Still      // what no movement has taken yet
	moved  track.Still      // cur with the movements
}

// arrays are the long parts of a snapshot.
type arrays struct {
	still track.Still
	slots [][]byte
}

func newPlace(l *track.Layout, s track.Still) *place {
	p := &place{
		layout: l,
		cur:    append(track.Still{}, s...),
		start:  append(track.Still{}, s...),
		dark:   l.NewStill(),
		done:   l.NewStill(),
		left:   l.NewStill(),
		moved:  l.NewStill(),
		writer: track.NewWriter(l),
	}
	p.frame, p.kinds, p.swap = p.writer.Frame(), kindsOf(l), newSwap(l)
	for i := range l.Universes {
		p.addresses = append(p.addresses, l.Universes[i].Address)
	}
	for i := range p.pages {
		p.pages[i] = arrays{still: l.NewStill(), slots: l.NewFrame()}
	}
	for i := range p.layers {
		p.layers[i] = layer{begin: l.NewStill(), share: l.NewStill()}
	}
	p.parting = newParting(p.frame)
	return p
}

// begin takes what is on now as the start of a fade, and says whether that is
// exactly what the fade begins with. A parameter that no move touches has no way
// between two values, so it is taken as being where it goes.
func (p *place) begin(f *track.Fade) (exact bool) {
	copy(p.start, p.cur)
	for i := range p.layout.Slots {
		if p.layout.Slots[i].Param {
			p.start[i] = f.To[i]
		}
	}
	for i := range f.Moves {
		m := &f.Moves[i]
		copy(p.start[m.First:m.First+m.N], p.cur[m.First:m.First+m.N])
	}
	return slices.Equal(p.cur, f.From)
}
