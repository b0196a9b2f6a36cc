package play

import (
	"time"

	"linkboy/cues/track"
)

// maxLayers is how many movements there are at once: that of the look that comes
// or is on, and those that still go out. When fades follow each other so fast
// that there would be more, the oldest stands still and fades out as it stands.
const maxLayers = 3

// layer is a movement over what is on.
type layer struct {
	motion *track.Motion
	begin  track.Still // what share of each cell moved when the fade began, by its first slot
	share  track.Still // and what share does now
	target float32     // and what share will: 1 for the look that comes, 0 for one that goes

	elapsed time.Duration // of its own time, as last shown
	base    time.Duration // elapsed at since
	since   time.Time
	fresh   bool // its time begins, or goes on, with the next frame
}

// add puts a movement on, whole; nil is none.
func (p *place) add(m *track.Motion) {
	if m == nil || len(m.Cells) == 0 {
		return
	}
	l := &p.layers[p.moves]
	*l = layer{motion: m, begin: l.begin, share: l.share, target: 1, fresh: true}
	for i := range l.begin {
		l.begin[i], l.share[i] = 1, 1
	}
	p.moves++
}

// inTimeOf lets the movement of a new place go on in the time of that which is on at
// another.
func (p *place) inTimeOf(o *place) {
	if p.moves == 0 || o.moves == 0 || o.layers[o.moves-1].target == 0 {
		return
	}
	l, was := &p.layers[0], &o.layers[o.moves-1]
	l.elapsed, l.base, l.since, l.fresh = was.elapsed, was.base, was.since, was.fresh
}

// turn readies the movements for a fade to a look with the movement m: what is
// on goes out from where it is, and m comes in.
func (p *place) turn(m *track.Motion, goOn bool) {
	found := false
	for i := range p.moves {
		l := &p.layers[i]
		copy(l.begin, l.share)
		l.target = 0
		if goOn && l.motion == m {
			l.target, found = 1, true
		}
	}
	if found || m == nil || len(m.Cells) == 0 {
		return
	}
	if p.moves == maxLayers {
		p.still(0)
	}
	p.add(m)
	clear(p.layers[p.moves-1].begin)
	clear(p.layers[p.moves-1].share)
}

// still lets a movement stand where it is, as a part of what is on.
func (p *place) still(i int) {
	l := &p.layers[i]
	copy(p.left, p.cur)
	l.motion.Apply(l.elapsed, l.share, p.left, p.cur)
	p.drop(i)
}

// drop takes a movement off; the others keep their order.
func (p *place) drop(i int) {
	gone := p.layers[i]
	copy(p.layers[i:], p.layers[i+1:p.moves])
	p.moves--
	gone.motion = nil
	p.layers[p.moves] = gone
}

// clock brings the movements to a time, and takes off those that have gone.
func (e *Engine) clock(at time.Time) {
	p := e.place
	if !e.fading.running {
		for i := p.moves - 1; i >= 0; i-- {
			if p.layers[i].target == 0 {
				p.drop(i)
				e.stale = true
			}
		}
	}
	if e.frozen {
		return
	}
	for i := range p.moves {
		l := &p.layers[i]
		if l.fresh {
			l.since, l.fresh = at, false
		}
		if elapsed := l.base + max(at.Sub(l.since), 0); elapsed != l.elapsed {
			l.elapsed, e.stale = elapsed, true
		}
	}
}

// thaw lets movement that is held go on, from the next frame on.
func (e *Engine) thaw() {
	if !e.frozen {
		return
	}
	e.frozen = false
	for i := range e.place.moves {
		l := &e.place.layers[i]
		l.base, l.fresh = l.elapsed, true
	}
}

// move works out the state with the movements.
func (e *Engine) move() {
	p := e.place
	if p.moves == 0 {
		return
	}
	copy(p.moved, p.cur)
	copy(p.left, p.cur)
	if e.fading.running {
		e.fading.fade.Done(e.fading.progress, p.done)
	}
	for i := range p.moves {
		l := &p.layers[i]
		l.shares(e.fading.running, p.done)
		l.motion.Apply(l.elapsed, l.share, p.left, p.moved)
	}
}

// shares works out what share of each cell moves.
func (l *layer) shares(fading bool, done track.Still) {
	for i := range l.motion.Cells {
		at := l.motion.Cells[i].First
		if !fading {
			l.share[at] = l.target
			continue
		}
		l.share[at] = l.begin[at] + float32((l.target-l.begin[at])*done[at])
	}
}
