package play

import (
	"slices"
	"time"

	"linkboy/cues/track"
)

// What a byte of a frame is to its layout.
const (
	byteFree   uint8 = iota // nothing is there: it is 0
	byteLight               // a light of 8 bits
	byteCoarse              // the first of a light of 16 bits
	byteFine                // the second
	byteSet                 // no light: a parameter, or what its lamp wants there
)

// kindsOf tells what every byte of a frame of a layout is.
func kindsOf(l *track.Layout) [][]uint8 {
	kinds := make([][]uint8, len(l.Universes))
	for i, u := range l.Universes {
		kinds[i] = make([]uint8, len(u.Base))
		for k, b := range u.Base {
			if b != 0 {
				kinds[i][k] = byteSet
			}
		}
	}
	for i := range l.Slots {
		s := &l.Slots[i]
		at := kinds[s.Universe][s.Offset:]
		switch {
		case s.Param && s.Wide:
			at[0], at[1] = byteSet, byteSet
		case s.Param:
			at[0] = byteSet
		case s.Wide:
			at[0], at[1] = byteCoarse, byteFine
		default:
			at[0] = byteLight
		}
	}
	return kinds
}

// How a byte goes from what was sent to what is to be sent.
const (
	goAtOnce uint8 = iota
	goAlone        // by itself
	goPair         // with the byte after it, as one number
	goLast         // when all the others are there
)

// ways writes how the bytes of one universe go, from what they were to what
// they are. Light goes evenly; what no light is has no way between two values. What
// a lamp that has left needs to give light, such as its dimmer, it keeps until its
// light is out.
func ways(dst, was, is []uint8) {
	for k := 0; k < len(is); k++ {
		a, b := kindAt(was, k), is[k]
		dst[k] = goAtOnce
		switch {
		case b == byteSet:
			continue
		case a == byteSet && b == byteFree:
			dst[k] = goLast
			continue
		}
		dst[k] = goAlone
		if k+1 < len(is) && paired(a, kindAt(was, k+1), b, is[k+1]) {
			dst[k], dst[k+1] = goPair, goAtOnce
			k++
		}
	}
}

func kindAt(kinds []uint8, k int) uint8 {
	if k < len(kinds) {
		return kinds[k]
	}
	return byteFree
}

// paired tells whether two bytes are one light of 16 bits, before or after, and
// nothing else on the other side.
func paired(a, aNext, b, bNext uint8) bool {
	was, is := a == byteCoarse && aNext == byteFine, b == byteCoarse && bNext == byteFine
	free := func(x, y uint8) bool { return x == byteFree && y == byteFree }
	return was && is || was && free(b, bNext) || is && free(a, aNext)
}

// mix writes what is between two universes, at a share 0..1 of the way. What is
// sent beyond the end of was comes from 0.
func mix(dst, was, is []byte, how []uint8, share float64) {
	for k := range dst {
		switch how[k] {
		case goAlone:
			dst[k] = uint8(between(int(byteAt(was, k)), int(is[k]), share))
		case goPair:
			from := int(byteAt(was, k))<<8 | int(byteAt(was, k+1))
			v := between(from, int(is[k])<<8|int(is[k+1]), share)
			dst[k], dst[k+1] = uint8(v>>8), uint8(v)
		case goLast:
			if share < 1 {
				dst[k] = byteAt(was, k)
				continue
			}
			dst[k] = is[k]
		default:
			if k == 0 || how[k-1] != goPair {
				dst[k] = is[k]
			}
		}
	}
}

func byteAt(b []byte, k int) byte {
	if k < len(b) {
		return b[k]
	}
	return 0
}

// between never passes either end.
func between(a, b int, share float64) int {
	if b >= a {
		return a + int(float64(b-a)*share+0.5)
	}
	return a - int(float64(a-b)*share+0.5)
}

// swap brings the wire from what was on it when a place was replaced to what
// the new one puts there: no byte jumps, whatever has changed.
type swap struct {
	runs  bool
	begun time.Time
	over  time.Duration
	was   [][]byte // on the wire when it began
	how   [][]uint8
	sent  [][]byte // room for what is between
}

func newSwap(l *track.Layout) swap {
	s := swap{was: l.NewFrame(), sent: l.NewFrame(), how: make([][]uint8, len(l.Universes))}
	for i := range s.how {
		s.how[i] = make([]uint8, len(s.sent[i]))
	}
	return s
}

// begin takes what p left on the wire as the start of the way to next. What a
// place before p is still darkening is on the wire too.
func (s *swap) begin(next, p, before *place, now time.Time, over time.Duration) {
	s.runs, s.begun, s.over = true, now, over
	for i, a := range next.addresses {
		clear(s.was[i])
		bytes, kinds := p.on(a)
		for q := before; q != nil && bytes == nil; q = q.before {
			bytes, kinds = q.parting.on(a, q)
		}
		copy(s.was[i], bytes)
		copy(s.sent[i], s.was[i]) // until the next frame
		ways(s.how[i], kinds, next.kinds[i])
	}
}

// on gives what is on the wire of a port-address; nil for nothing.
func (p *place) on(a uint16) (bytes []byte, kinds []uint8) {
	k, known := slices.BinarySearch(p.addresses, a)
	if !known {
		return nil, nil
	}
	return p.wire()[k], p.kinds[k]
}

// on is that of a place that parts.
func (g *parting) on(a uint16, p *place) (bytes []byte, kinds []uint8) {
	k, known := slices.BinarySearch(g.addresses, a)
	if !known || g.left == 0 {
		return nil, nil
	}
	_, kinds = p.on(a)
	return g.slots[k], kinds
}

// shareOf is how much of a way is done, 0..1.
func shareOf(gone, over time.Duration) float64 {
	if gone >= over {
		return 1
	}
	return max(float64(gone)/float64(over), 0)
}

// blend brings what is sent to a time; the place has been rendered.
func (p *place) blend(at time.Time) {
	s := &p.swap
	if !s.runs {
		return
	}
	share := shareOf(at.Sub(s.begun), s.over)
	if share >= 1 {
		s.runs = false
		return
	}
	for i := range s.sent {
		mix(s.sent[i], s.was[i], p.frame[i], s.how[i], share)
	}
}

// wire is what the place sends: its frame, or what is between on the way there.
func (p *place) wire() [][]byte {
	if p.swap.runs {
		return p.swap.sent
	}
	return p.frame
}

// Replace changes the location that is on: its layout and its state become l and
// s, and the bytes go there from what is on the wire within over, evenly, also
// those of lamps that are no longer there, which go dark. No fade runs
// afterwards: whoever wants one to go on starts it anew, at its progress. Kill,
// overall and floor light stay; a kill, a snap and a fade in no time end the way
// at once. The movement m of s, nil for none, goes on in the time of the one that
// was on. Neither l nor its parts nor m may be changed from now on; s is copied. It
// returns an error if they do not fit each other, ErrBusy or ErrStopped.
func (e *Engine) Replace(l *track.Layout, s track.Still, m *track.Motion, over time.Duration) error {
	p, err := loadable(l, s, m)
	if err != nil {
		return err
	}
	return e.send(command{kind: doReplace, place: p, over: over})
}

func (e *Engine) replace(c command) {
	if e.killed { // nothing is on that could go on the way
		c.over = 0
	}
	c.place.inTimeOf(e.place)
	e.leave(e.place, c.place, c.given, c.over)
	e.fading.end()
	e.moved, e.started, e.done = false, false, time.Time{}
	e.first, e.stale = true, true
}

// arrive ends the way to what is on: what comes now is to be seen at once.
func (e *Engine) arrive() {
	if e.place.swap.runs {
		e.place.swap.runs, e.stale = false, true
	}
	for p := e.parted; p != nil; p = p.before {
		p.parting.over = 0
	}
}
