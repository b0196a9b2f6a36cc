package compile

import (
	"math"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/cues"
)

// deepest is how often a half of the way may be halved again: knots are then
// 1/8192 of the fade apart at the nearest.
const deepest = 11

// recentPoints is how many points of a way are kept at hand, 2 to the power of
// recentBits.
const (
	recentBits   = 8
	recentPoints = 1 << recentBits
)

// sameMix is the difference of two drives' shares of a mix that counts as none;
// drives come from float32, which has 24 bits.
const sameMix = 1e-6

// walker finds the knots of cells one after another.
type walker struct {
	mix   *emitters.Cell
	white colour.XY
	way   path
	scale float64 // of lumens to shares of the cell's most light
	n     int

	// fixed is set when each half of the way changes only in level: drives are
	// those of before, then from half-way on those of after, times a level.
	fixed         bool
	before, after lit

	// held is set when a light out of reach keeps its lightness and hue.
	held bool
	// cornered is set when the way may have corners beside those of the solver.
	cornered bool
	recent   []point // by the hash of their time, when cornered

	// What the ends' own mixes differ from the solver's, per unit of light.
	odd            bool
	first, last    emitters.Drives
	times, results []float32
}

// lit is a mix and its light.
type lit struct {
	drives emitters.Drives
	light  float64 // as a share of the cell's most light
}

// point is a moment of the way.
type point struct {
	t      float64
	drives emitters.Drives
	light  colour.XYZ // as a share of the cell's most light
	lab    colour.OKLab
	bright bool // enough to judge its colour
}

// walk finds the knots of one change.
func (w *walker) walk(ch *change, kind cues.Path, white colour.XY) knots {
	var from, to emitters.Drives
	for i := range from {
		from[i] = float64(math.Float32frombits(ch.from[i]))
		to[i] = float64(math.Float32frombits(ch.to[i]))
	}
	w.begin(ch.mix, from, to, kind, white)
	a, b := w.end(0, from), w.end(1, to)
	m, q1, q3 := w.at(0.5), w.at(0.25), w.at(0.75)
	w.split(&a, &q1, &m, deepest)
	w.keep(&m)
	w.split(&m, &q3, &b, deepest)
	return knots{append([]float32(nil), w.times...), append([]float32(nil), w.results...)}
}

// begin sets the walker up for the way between two mixes of a cell.
func (w *walker) begin(mix *emitters.Cell, from, to emitters.Drives, kind cues.Path, white colour.XY) {
	var full emitters.Drives
	for i := range mix.Len() {
		full[i] = 1
	}
	times, results, recent := w.times[:0], w.results[:0], w.recent
	*w = walker{mix: mix, white: white, n: mix.Len(), scale: 1 / mix.Light(full).Y, times: times, results: results, recent: recent}
	a, b := mix.Light(from).Scale(w.scale), mix.Light(to).Scale(w.scale)
	if w.n < 3 && (kind == cues.PathRound || kind == cues.PathOther) {
		kind = cues.PathShort // a gamut that is a line has no circle
	}
	w.way = newPath(a, b, kind, white)
	if w.way.kind == cues.PathDark {
		w.fixed, w.before, w.after = true, lit{from, a.Y}, lit{to, b.Y}
		return
	}
	if same, brighter := oneMix(lit{from, a.Y}, lit{to, b.Y}); same {
		w.fixed, w.before, w.after = true, brighter, brighter
		w.way.kind = cues.PathShort
		return
	}
	w.first = w.difference(from, w.way.a)
	w.last = w.difference(to, w.way.b)
	w.odd = w.first != emitters.Drives{} || w.last != emitters.Drives{}
	switch w.way.kind {
	case cues.PathRound, cues.PathOther, cues.PathWhite:
		w.held = w.n >= 3 // a gamut that is a line has no room to give way in chroma
	}
	w.cornered = w.odd || w.held
	if !w.cornered {
		return
	}
	if w.recent == nil {
		w.recent = make([]point, recentPoints)
	}
	for i := range w.recent {
		w.recent[i].t = -1
	}
}

// oneMix tells whether two mixes differ in nothing but level, as they do when
// one is dark, and gives the brighter one.
func oneMix(a, b lit) (bool, lit) {
	if a.light > b.light {
		a, b = b, a
	}
	if b.light <= 0 {
		return true, b
	}
	k := a.light / b.light
	for i := range b.drives {
		if math.Abs(a.drives[i]-b.drives[i]*k) > sameMix*k {
			return false, b
		}
	}
	return true, b
}

// difference gives what drives differ from the solver's mix for the same
// light, per unit of light. Both give that light, so the difference alone
// gives none.
func (w *walker) difference(drives emitters.Drives, lab colour.OKLab) emitters.Drives {
	var own point
	w.solve(lab, &own)
	light := w.mix.Light(drives).Y * w.scale
	var d emitters.Drives
	if light <= 0 {
		return d
	}
	odd := false
	for i := range w.n {
		d[i] = (drives[i] - own.drives[i]) / light
		odd = odd || math.Abs(d[i])*light > sameMix
	}
	if !odd {
		return emitters.Drives{}
	}
	return d
}

// solve puts the solver's own mix for a light into p, and the light itself. A
// colour out of reach gives way in chromaticity and keeps its OKLab lightness,
// so that lightness never turns back.
func (w *walker) solve(lab colour.OKLab, p *point) {
	light := lab.XYZ()
	if lab.L <= 0 || light.Y <= 0 {
		return
	}
	s := w.mix.Solve(light.XY(), 1, w.white)
	most := s.Most * w.scale
	if most <= 0 {
		return
	}
	wanted := light.Y
	if s.Clipped {
		root := lab.L / s.Reached.XYZ(1).OKLab().L
		wanted = root * root * root
	}
	level := min(wanted/most, 1)
	p.bright = level >= uvFrom
	p.drives = s.Drives
	for i := range w.n {
		p.drives[i] *= level
	}
	if s.Clipped || wanted > most {
		w.shine(p)
		return
	}
	p.light, p.lab = light, lab
}

// end is a point at an end of the way, with the drives it is to have.
func (w *walker) end(t float64, drives emitters.Drives) point {
	p := point{t: t, drives: drives, bright: w.at(t).bright}
	w.shine(&p)
	return p
}

// shine works out the light of a point from its drives.
func (w *walker) shine(p *point) {
	p.light = w.mix.Light(p.drives).Scale(w.scale)
	p.lab = p.light.OKLab()
}

// at gives a point of the way. Where every segment is looked at closely most
// points are asked for again soon after.
func (w *walker) at(t float64) point {
	if !w.cornered {
		return w.pass(t)
	}
	// Times are binary fractions, so their bits are spread by Fibonacci hashing
	// (Knuth, TAOCP vol. 3, 6.4).
	recent := &w.recent[math.Float64bits(t)*0x9E3779B97F4A7C15>>(64-recentBits)]
	if recent.t != t {
		*recent = w.pass(t)
	}
	return *recent
}

// pass works out a point of the way.
func (w *walker) pass(t float64) point {
	lab := w.way.at(t)
	p := point{t: t}
	switch {
	case w.fixed:
		of := &w.before
		if t > 0.5 {
			of = &w.after
		}
		if of.light > 0 {
			k := max(lab.XYZ().Y, 0) / of.light
			for i := range w.n {
				p.drives[i] = min(of.drives[i]*k, 1)
			}
			w.shine(&p)
		}
	default:
		if w.held {
			lab = w.inReach(lab, t)
		}
		w.solve(lab, &p)
		if w.odd {
			w.blend(&p.drives, t)
			w.shine(&p)
		}
	}
	return p
}

// blend adds what is left, at t, of the ends' own mixes: all of it at its end,
// nothing at the other, and no more than keeps every drive within 0..1. What
// it adds gives no light, so the light stays that of the way.
func (w *walker) blend(d *emitters.Drives, t float64) {
	late := t * t * (3 - 2*t)
	light := w.mix.Light(*d).Y * w.scale
	var add emitters.Drives
	room := 1.0
	for i := range w.n {
		add[i] = light * ((1-late)*w.first[i] + late*w.last[i])
		switch {
		case add[i] < 0:
			room = min(room, d[i]/-add[i])
		case add[i] > 0:
			room = min(room, (1-d[i])/add[i])
		}
	}
	for i := range w.n {
		d[i] = min(max(d[i]+room*add[i], 0), 1)
	}
}

// split keeps the knots between a and b, which has m at its middle.
func (w *walker) split(a, m, b *point, deeper int) {
	left, right := w.at((a.t+m.t)/2), w.at((m.t+b.t)/2)
	if deeper == 0 || w.straight(a, &left, m) && w.straight(m, &right, b) {
		w.keep(m)
		return
	}
	w.split(a, &left, m, deeper-1)
	w.keep(m)
	w.split(m, &right, b, deeper-1)
}

// keep makes p a knot.
func (w *walker) keep(p *point) {
	w.times = append(w.times, float32(p.t))
	for i := range w.n {
		w.results = append(w.results, float32(p.drives[i]))
	}
}
