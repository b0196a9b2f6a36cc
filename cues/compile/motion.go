package compile

import (
	"fmt"
	"math"
	"time"

	"linkboy/colour"
	"linkboy/colour/emitters"
	"linkboy/cues"
	"linkboy/cues/generator"
	"linkboy/cues/track"
)

// moving is the movement that paint has given a cell.
type moving struct {
	of    *cues.Motion
	k, n  int       // which cell of how many in its group
	other colour.XY // the far end's colour, of a movement between colours
}

// The periods of movement: two frames make no wave, and a noise is kept whole.
const (
	leastPeriod = 50 * time.Millisecond
	mostPeriod  = time.Hour
	mostNoise   = time.Minute
)

// usual is what holds of a kind of noise where a show does not say; the depths
// and times are common practice, no source.
var usual = map[cues.MotionKind]struct {
	period time.Duration
	depth  colour.Level
}{
	cues.Flame:     {400 * time.Millisecond, 0.3},
	cues.Screen:    {3 * time.Second, 0.6},
	cues.Lightning: {8 * time.Second, 1},
	cues.Passing:   {6 * time.Second, 1},
}

const (
	usualDuty    = 0.5
	usualPassing = 2 * time.Second // along the group
	// passingShare is the width of a light that passes, as a share of the time it takes.
	passingShare = 2
)

// moves notes the movement of a paint on the cells of its group.
func (w *painter) moves(paint *cues.Paint, cells []int, colours []colour.XY) {
	m := paint.Moves
	switch {
	case m == nil && len(colours) > 0: // what went between the colours under it has none
		for _, i := range cells {
			if t := &w.cells[i]; t.moving != nil && t.moving.of.Between == cues.BetweenColours {
				t.moving = nil
			}
		}
	case m != nil && m.Kind == cues.NoMotion:
		for _, i := range cells {
			w.cells[i].moving = nil
		}
	case m != nil:
		for k, i := range cells {
			t := &w.cells[i]
			t.moving = &moving{of: m, k: k, n: len(cells)}
			if m.Between == cues.BetweenColours && len(colours) == 2 {
				t.moving.other = colours[1]
				if t.colour == colours[1] {
					t.moving.other = colours[0]
				}
			}
		}
	}
}

// mover compiles the movement of one look.
type mover struct {
	w       *painter
	still   track.Still
	motion  *track.Motion
	sources map[*cues.Motion]int32 // -1 for one that cannot be
	timing  map[*cues.Motion]motionTiming
	ways    map[change]track.Moving
	walker  walker
}

// motionTiming is a movement's times in real time.
type motionTiming struct {
	period, spread time.Duration
	table          time.Duration // in which the table is gone through
}

// motion compiles what moves in the look over its still; nil when nothing does.
func (w *painter) motion(still track.Still) *track.Motion {
	m := &mover{w: w, still: still, motion: &track.Motion{}, sources: map[*cues.Motion]int32{},
		timing: map[*cues.Motion]motionTiming{}, ways: map[change]track.Moving{}}
	for i := range w.cells {
		if t := &w.cells[i]; t.moving != nil && t.painted && t.level > 0 {
			m.cell(i, t)
		}
	}
	if len(m.motion.Cells) == 0 {
		return nil
	}
	return m.motion
}

// cell adds one cell.
func (m *mover) cell(i int, t *target) {
	source, ok := m.source(t.moving.of)
	if !ok {
		return
	}
	c := &m.w.place.Cells[i]
	way := m.way(c, t)
	if way.N == 0 {
		return
	}
	way.First, way.Source, way.Phase = int32(c.First), source, m.phase(t.moving)
	m.motion.Cells = append(m.motion.Cells, way)
}

// way finds the way of a cell from rest to its far end; its N is 0 when it has
// none. Cells with the same ends share it.
func (m *mover) way(c *Cell, t *target) track.Moving {
	rest := c.get(m.still)
	far := m.far(c, t, rest)
	ch := change{mix: c.mix}
	same := true
	for k := range c.N {
		ch.from[k], ch.to[k] = math.Float32bits(float32(rest[k])), math.Float32bits(float32(far[k]))
		same = same && ch.from[k] == ch.to[k]
	}
	if same {
		return track.Moving{}
	}
	way, known := m.ways[ch]
	if known {
		return way
	}
	var k knots
	if t.moving.of.Between == cues.BetweenColours {
		k = m.walker.walk(&ch, cues.PathShort, m.w.place.Balance)
	}
	out := m.motion
	way = track.Moving{N: int32(c.N), Knots: int32(len(k.times)), TimeAt: int32(len(out.Times)), ValueAt: int32(len(out.Values))}
	out.Times = append(out.Times, k.times...)
	for at := range c.N {
		out.Values = append(out.Values, float32(rest[at]))
	}
	out.Values = append(out.Values, k.values...)
	for at := range c.N {
		out.Values = append(out.Values, float32(far[at]))
	}
	m.ways[ch] = way
	return way
}

// far gives the drives of the far end. Less light is the same mix, dimmer: a
// movement of level keeps its colour whatever the policy.
func (m *mover) far(c *Cell, t *target, rest emitters.Drives) emitters.Drives {
	if t.moving.of.Between == cues.BetweenColours {
		_, s := m.w.answer(c, t.there())
		return s.Drives
	}
	depth := float64(depthOf(t.moving.of))
	for k := range rest {
		rest[k] *= 1 - depth
	}
	return rest
}

// there gives the target at the far end of a movement between colours.
func (t *target) there() *target {
	far := *t
	far.colour = along([]colour.XY{t.colour, t.moving.other}, float64(depthOf(t.moving.of)))
	return &far
}

func depthOf(of *cues.Motion) colour.Level {
	switch {
	case of.Depth > 0:
		return of.Depth
	case of.Kind.IsWave():
		return 1
	}
	return usual[of.Kind].depth
}

// phase gives how far ahead of its source a cell is.
func (m *mover) phase(t *moving) uint32 {
	of, timing := t.of, m.timing[t.of]
	if of.Kind == cues.Flame && !of.Spread.Set { // each by itself
		return scatter(of.Seed, t.k)
	}
	ahead := turns(of.Phase)
	if of.Spread.Cycles != 0 {
		return ahead - turns(of.Spread.Cycles*float64(t.k)/float64(t.n))
	}
	return ahead - turns(float64(timing.spread)*share(t.k, t.n-1)/float64(timing.table))
}

// turns gives periods in 2^-32 of one, without whole ones.
func turns(periods float64) uint32 {
	_, part := math.Modf(periods)
	return uint32(int64(math.Round(part * (1 << 32))))
}

// scatter gives cells phases that have nothing in common: the mixer of
// SplitMix64 (Steele, Lea, Flood 2014).
func scatter(seed uint64, k int) uint32 {
	x := seed + uint64(k+1)*0x9E3779B97F4A7C15
	x = (x ^ x>>30) * 0xBF58476D1CE4E5B9
	x = (x ^ x>>27) * 0x94D049BB133111EB
	return uint32((x ^ x>>31) >> 32)
}

// source gives the source of a movement, made on first use; false for one
// whose times cannot be, which is told once.
func (m *mover) source(of *cues.Motion) (int32, bool) {
	if at, known := m.sources[of]; known {
		return at, at >= 0
	}
	m.sources[of] = -1
	timing, problem := m.times(of)
	if problem != nil {
		m.w.add(problem)
		return -1, false
	}
	s := track.Source{Period: timing.period}
	switch of.Kind {
	case cues.Sine:
		s.Table = generator.Sine()
	case cues.Ramp:
		s.Table = generator.Ramp()
	case cues.Pulse:
		duty := of.Duty
		if duty == 0 {
			duty = usualDuty
		}
		s.Table, s.Steps = generator.Pulse(duty), true
	case cues.Flame:
		s.Table = generator.Flame(timing.period, of.Seed)
	case cues.Screen:
		s.Table = generator.Screen(timing.period, of.Seed)
	case cues.Lightning:
		s.Table = generator.Lightning(timing.period, of.Seed)
	case cues.Passing:
		s.Table = generator.Passing(timing.period, timing.spread/passingShare, of.Seed)
	}
	if !of.Kind.IsWave() {
		s.Period = time.Duration(len(s.Table)) * time.Second / generator.Rate
	}
	timing.table = s.Period
	m.timing[of] = timing
	at := int32(len(m.motion.Sources))
	m.sources[of] = at
	m.motion.Sources = append(m.motion.Sources, s)
	return at, true
}

// times gives the times of a movement by the clock of the location.
func (m *mover) times(of *cues.Motion) (motionTiming, *cues.Problem) {
	p := m.w.place
	clock := p.Show.Clock(p.Location)
	timing := motionTiming{period: usual[of.Kind].period}
	var err error
	if !of.Period.IsZero() {
		if timing.period, err = of.Period.Real(clock); err != nil {
			return timing, err.(*cues.Problem)
		}
	}
	most := mostPeriod
	if !of.Kind.IsWave() {
		most = mostNoise
	}
	if timing.period < leastPeriod || timing.period > most {
		at := of.Period.At
		if at.Line == 0 {
			at = of.At
		}
		return timing, cues.NewProblem(at, cues.CodeOutOfRange,
			fmt.Sprintf("look %q at %s: %s is out of range for the period of a movement", m.w.look.Name, p.Location.Name, of.Period),
			fmt.Sprintf("%s goes from %s to %s", of.Kind, leastPeriod, most), "write a time in that range")
	}
	if of.Kind == cues.Passing {
		timing.spread = usualPassing
	}
	if of.Spread.Set && !of.Spread.Time.IsZero() {
		if timing.spread, err = of.Spread.Time.Real(clock); err != nil {
			return timing, err.(*cues.Problem)
		}
	}
	return timing, nil
}
