package showfile

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"linkboy/colour"
	"linkboy/cues"
)

// Ranges of movement.
var (
	depths = span{1, 100}
	duties = span{1, 99}
	cycles = span{-100, 100}
	seeds  = span{0, 1e9}
)

// moves reads the movement of a paint; nil after a problem. The word none ends
// what paint before it moves.
func (r *reader) moves(n *yaml.Node) *cues.Motion {
	if n.Kind == yaml.ScalarNode {
		if r.word(n, "word for moves", string(cues.NoMotion)) == "" {
			return nil
		}
		return &cues.Motion{Kind: cues.NoMotion, At: r.pos(n)}
	}
	m := &cues.Motion{Between: cues.BetweenLevels, At: r.pos(n)}
	before := len(r.sink.problems)
	seen := map[string]*yaml.Node{}
	on := func(key string, read func(*yaml.Node)) entry {
		return may(func(n *yaml.Node) { seen[key] = n; read(n) })
	}
	whole := r.keys(n, "the movement", schema{
		"wave":   on("wave", func(n *yaml.Node) { m.Kind = cues.MotionKind(r.word(n, "wave", cues.Waves()...)) }),
		"noise":  on("noise", func(n *yaml.Node) { m.Kind = cues.MotionKind(r.word(n, "noise", cues.Noises()...)) }),
		"period": on("period", r.intoDuration(&m.Period, "the period")),
		"between": on("between", func(n *yaml.Node) {
			m.Between = cues.Between(r.word(n, "between", string(cues.BetweenLevels), string(cues.BetweenColours)))
		}),
		"depth":  on("depth", func(n *yaml.Node) { m.Depth = colour.Level(r.shareOf(n, "the depth", depths)) }),
		"spread": on("spread", func(n *yaml.Node) { m.Spread = r.motionSpread(n) }),
		"phase":  on("phase", func(n *yaml.Node) { r.percent(&m.Phase, "the phase")(n) }),
		"duty":   on("duty", func(n *yaml.Node) { m.Duty = r.shareOf(n, "the duty", duties) }),
		"seed":   on("seed", func(n *yaml.Node) { m.Seed = uint64(r.whole(n, "the seed", seeds)) }),
	})
	if !whole || len(r.sink.problems) > before || r.sink.dropped > 0 || !r.motionWhole(n, m, seen) {
		return nil
	}
	return m
}

// motionWhole checks that what a movement says belongs together.
func (r *reader) motionWhole(n *yaml.Node, m *cues.Motion, seen map[string]*yaml.Node) bool {
	refuse := func(at *yaml.Node, what, why, mend string) bool {
		r.problem(at, cues.CodeBadMotion, what, why, mend)
		return false
	}
	wave, noise := seen["wave"], seen["noise"]
	switch {
	case wave != nil && noise != nil:
		return refuse(noise, "a movement is both a wave and a noise", "it is not clear which is meant", "keep one of them")
	case wave == nil && noise == nil:
		return refuse(n, "a movement is neither a wave nor a noise", "it is not clear how it goes",
			"add wave: "+list(cues.Waves())+", or noise: "+list(cues.Noises()))
	case wave != nil && m.Period.IsZero():
		return refuse(n, "a wave has no period", "it is not clear how fast it goes", "add a period, like period: 4 beats")
	case !m.Period.IsZero() && m.Period.Amount == 0:
		return refuse(seen["period"], "a movement has a period of no time", "it would be everywhere at once", "write a longer time")
	}
	for _, odd := range []struct {
		key  string
		fits bool
		of   string
	}{
		{"duty", m.Kind == cues.Pulse, "a pulse"}, {"phase", m.Kind.IsWave(), "a wave"}, {"seed", !m.Kind.IsWave(), "a noise"},
	} {
		if at := seen[odd.key]; at != nil && !odd.fits {
			return refuse(at, fmt.Sprintf("the movement %s has a %s", m.Kind, odd.key), "only "+odd.of+" has one", "take it out")
		}
	}
	if m.Spread.Set && m.Spread.Time.IsZero() && !m.Kind.IsWave() {
		return refuse(seen["spread"], fmt.Sprintf("the spread of the movement %s is in cycles", m.Kind),
			"a noise has none that are alike", "write a time from the first cell to the last, like 2 s")
	}
	return true
}

// motionSpread reads how far cells are behind each other: "1 cycle" or a time.
func (r *reader) motionSpread(n *yaml.Node) cues.MotionSpread {
	text := r.text(n, "the spread")
	amount, unit, ok := splitAmount(text)
	if ok && (unit == "cycle" || unit == "cycles") {
		if !cycles.holds(amount) {
			r.problem(n, cues.CodeOutOfRange, fmt.Sprintf("%s is out of range for the spread", shorten(text)),
				"it can be "+cycles.String()+" cycles", "write a number in that range")
		}
		return cues.MotionSpread{Cycles: amount, Set: true}
	}
	d, _ := r.duration(n, "the spread")
	return cues.MotionSpread{Time: d, Set: true}
}

// shareOf reads a share that is written as a percentage.
func (r *reader) shareOf(n *yaml.Node, what string, in span) float64 {
	v, _ := r.quantity(n, what, "%", in, true)
	return hundredth(v)
}

// checkMotion checks that the times of a movement are times by the clocks of
// the places where it may run.
func (l *loader) checkMotion(locs []*cues.Location, m *cues.Motion) {
	if m == nil {
		return
	}
	for _, loc := range locs {
		for _, d := range []cues.Duration{m.Period, m.Spread.Time} {
			l.checkTime(loc, d)
		}
	}
}
