package compile

import (
	"math"
	"time"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/colour/lamp"
	"linkboy/cues/track"
)

// How often a fade is looked at: the rate of DMX512 with all its slots
// (ANSI E1.11), but often enough to tell codes of 8 bits apart, and no more
// often than any fade needs.
const (
	lookRate  = 44
	fewLooks  = 1024 // in 8 bits
	midLooks  = 512  // in 16 bits, where most codes are passed over
	mostLooks = 8192
)

// player plays the moves of one fade cell by cell. Cells with the same move
// are played once.
type player struct {
	place *Place
	fade  *track.Fade
	least map[int]float64 // lumens that floor light keeps, by the first slot of a cell
	known map[played]Steps
	wires map[*lamp.Mode]*wire
	way   []float64 // of the move that is played
}

// played is a move of one cell.
type played struct {
	mode     *lamp.Mode
	mix      *emitters.Cell
	from, to [emitters.Max]float32
	knots    int32
	at       int32
	length   float32
	least    float64
	ease     track.Ease
}

func newPlayer(p *Place, f *track.Fade, floor bool) *player {
	out := &player{place: p, fade: f, least: map[int]float64{}, known: map[played]Steps{}, wires: map[*lamp.Mode]*wire{}}
	if floor {
		for _, c := range p.Layout.Floor {
			out.least[int(c.First)] = float64(c.Least)
		}
	}
	return out
}

// cell tells how smooth a move is on a cell of l.
func (p *player) cell(l *rigged, c *Cell, m *track.Move) Steps {
	key := played{mode: l.mode, mix: c.mix, knots: m.Knots, length: m.Length, ease: m.Curve, least: p.least[c.First]}
	if m.Knots > 0 {
		key.at = m.TimeAt
	}
	copy(key.from[:], p.fade.From[c.First:c.First+c.N])
	copy(key.to[:], p.fade.To[c.First:c.First+c.N])
	s, ok := p.known[key]
	if !ok {
		s = p.play(l, c, m)
		p.known[key] = s
	}
	return s
}

// play looks at a move of c from its start to its end.
func (p *player) play(l *rigged, c *Cell, m *track.Move) Steps {
	alone := &track.Fade{
		From: p.fade.From[c.First : c.First+c.N], To: p.fade.To[c.First : c.First+c.N], Total: 1,
		Times: p.fade.Times, Values: p.fade.Values,
		Moves: []track.Move{{N: m.N, Length: 1, Curve: m.Curve, Knots: m.Knots, TimeAt: m.TimeAt, ValueAt: m.ValueAt}},
	}
	s := Steps{Time: time.Duration(float64(m.Length) * float64(p.fade.Total)), Longest: longest, Bits: 16}
	w := p.wire(l, c)
	few := midLooks
	for k := range c.N {
		if s.Bits = min(s.Bits, w.bits[k]); w.bits[k] == 8 {
			few = fewLooks
		}
	}
	looks := min(max(int(s.Time.Seconds()*lookRate), few), mostLooks)
	st := &stair{wire: w, mix: c.mix, black: p.place.black() * c.MostLumens, least: p.least[c.First], looks: looks}
	still := make(track.Still, c.N)
	p.way = p.way[:0]
	far := 0.0
	var last colour.OKLab
	for i := range looks + 1 {
		alone.At(float64(i)/float64(looks), still)
		var drives emitters.Drives
		for k, v := range still {
			drives[k] = float64(v)
		}
		st.look(i, drives)
		lab := c.mix.Light(drives).Scale(1 / c.MostLumens).OKLab()
		if i > 0 {
			far += apart(lab, last)
		}
		last = lab
		p.way = append(p.way, far)
	}
	fps := p.place.fps()
	s.Largest = st.largest
	s.Held = st.held * s.Time.Seconds() * fps
	s.Shortest = time.Duration(frames(p.way) / fps * float64(time.Second))
	if st.held > 0 {
		s.Longest = time.Duration(min(codeFrames/fps/st.held, longest.Seconds()) * float64(time.Second))
	}
	return s
}

// wire is one cell of a mode by itself: its emitter channels, one after another.
type wire struct {
	kind *lamp.Type
	mode *lamp.Mode
	bits [emitters.Max]int
	at   [emitters.Max]int // slot of each emitter

	bytes [2 * emitters.Max]byte
	lit   [1]emitters.Drives
}

// wire makes the wire of c's mode, once.
func (p *player) wire(l *rigged, c *Cell) *wire {
	if w, ok := p.wires[l.mode]; ok {
		return w
	}
	w := &wire{kind: l.kind, mode: &lamp.Mode{Name: l.mode.Name, Cells: 1, Curve: l.mode.Curve}}
	for _, ch := range l.mode.Channels {
		if ch.Param != nil || ch.Cell != c.Index {
			continue
		}
		w.bits[ch.Emitter], w.at[ch.Emitter] = ch.Bits, w.mode.Footprint
		ch.Cell, ch.Offset = 0, w.mode.Footprint
		w.mode.Footprint += ch.Bits / 8
		w.mode.Channels = append(w.mode.Channels, ch)
	}
	p.wires[l.mode] = w
	return w
}

// write puts drives on the wire.
func (w *wire) write(d emitters.Drives) {
	w.lit[0] = d
	w.mode.Encode(w.kind, w.lit[:], nil, w.bytes[:])
}

// read gives the drives that the lamp makes of what is on the wire.
func (w *wire) read() emitters.Drives {
	w.mode.Decode(w.kind, w.bytes[:w.mode.Footprint], w.lit[:])
	return w.lit[0]
}

// code gives what the channel of an emitter holds.
func (w *wire) code(emitter int) int {
	at := w.at[emitter]
	if w.bits[emitter] == 16 {
		return int(w.bytes[at])<<8 | int(w.bytes[at+1])
	}
	return int(w.bytes[at])
}

// set makes the channel of an emitter hold a code.
func (w *wire) set(emitter, code int) {
	at := w.at[emitter]
	if w.bits[emitter] == 16 {
		w.bytes[at], w.bytes[at+1] = byte(code>>8), byte(code)
		return
	}
	w.bytes[at] = byte(code)
}

// stair follows the codes of a cell through a fade.
type stair struct {
	wire  *wire
	mix   *emitters.Cell
	black float64 // lumens
	least float64 // lumens under which floor light hides every step
	looks int     // of the whole fade

	codes   [emitters.Max]int
	since   [emitters.Max]int // look at which the code came
	going   [emitters.Max]int // up 1, down -1, or 0 before it has moved
	largest float64           // stops
	held    float64           // share of the fade that a code is held, of those whose steps are seen
}

// look sees the codes at look i of the fade.
func (s *stair) look(i int, d emitters.Drives) {
	w := s.wire
	w.write(d)
	var now [emitters.Max]int
	n := s.mix.Len()
	for k := range n {
		now[k] = w.code(k)
	}
	if i > 0 {
		for k := range n {
			if now[k] != s.codes[k] {
				s.step(i, k, &now)
			}
		}
	}
	s.codes = now
}

// step sees an emitter go on from its code toward another. The others are as
// they were, so that its first code on the way is a step by itself; but those
// that hold the same codes, as emitters of one drive do, step with it.
func (s *stair) step(i, k int, now *[emitters.Max]int) {
	way := 1
	if now[k] < s.codes[k] {
		way = -1
	}
	n := s.mix.Len()
	for e := range n {
		s.wire.set(e, s.codes[e])
	}
	before := s.mix.Light(s.wire.read()).Y
	for e := range n {
		if s.codes[e] == s.codes[k] && now[e] == now[k] && s.wire.bits[e] == s.wire.bits[k] {
			s.wire.set(e, s.codes[e]+way)
		}
	}
	after := s.mix.Light(s.wire.read()).Y
	if max(before, after) <= s.least {
		s.since[k], s.going[k] = i, 0
		return
	}
	stops := math.Abs(math.Log2((after + s.black) / (before + s.black)))
	s.largest = max(s.largest, stops)
	if stops > codeStep && s.going[k] == way {
		held := float64(i-s.since[k]) / float64(s.looks) / float64(way*(now[k]-s.codes[k]))
		s.held = max(s.held, held)
	}
	s.since[k], s.going[k] = i, way
}
