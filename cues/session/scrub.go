package session

import (
	"slices"
	"sync"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

// CueSeen is Seen in the middle of a cue of the sheet, at a share 0..1 of its time, as
// it runs from the look of the cue before, the first from the dark. It touches nothing that
// is on. The error is a *Refusal.
func (s *Session) CueSeen(number int, at float64) ([]camera.RGB, error) {
	site, slots, err := s.cueBytes(number, at)
	if err != nil {
		return nil, err
	}
	l := site.lens()
	if l.err != nil {
		return nil, nil
	}
	return l.see(slots, nil), nil
}

// CueCells is Cells in the middle of a cue, as CueSeen.
func (s *Session) CueCells(number int, at float64) ([]colour.XYZ, error) {
	site, slots, err := s.cueBytes(number, at)
	if err != nil {
		return nil, err
	}
	cells := make([]colour.XYZ, len(site.place.Cells))
	site.place.Light(slots, cells)
	return cells, nil
}

// cueBytes gives what the wire would carry.
func (s *Session) cueBytes(number int, at float64) (*site, [][]byte, error) {
	if err := checkShare("at", &at); err != nil {
		return nil, nil, err
	}
	s.mu.Lock()
	site, clock := s.site.Load(), s.clock()
	s.mu.Unlock()
	cue, err := site.cue(number)
	if err != nil {
		return nil, nil, err
	}
	timing, err := site.place.TimingBy(clock, cue)
	if err != nil {
		return nil, nil, refusalOf(err, cue.At.String())
	}
	fade, err := s.rolls.get(site, number, timing)
	if err != nil {
		return nil, nil, err
	}
	still := make(track.Still, len(fade.To))
	fade.At(at, still)
	return site, site.place.Frame(still, !cue.Dark), nil
}

// rolls are cues compiled from the ones before them, kept while somebody scrubs over
// them.
type rolls struct {
	mu   sync.Mutex
	site *site // that they are of
	kept []roll
}

// roll is one of them.
type roll struct {
	number int
	timing compile.Timing
	fade   *track.Fade
}

// mostRolls is how many are kept, the newest used first: a finger stays among a few.
const mostRolls = 16

// get gives the fade of a cue. One compiles at a time, so that a finger that drags
// asks for one core.
func (r *rolls) get(site *site, number int, timing compile.Timing) (*track.Fade, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.site != site {
		r.site, r.kept = site, nil
	}
	for i, k := range r.kept {
		if k.number == number && k.timing == timing {
			copy(r.kept[1:i+1], r.kept[:i])
			r.kept[0] = k
			return k.fade, nil
		}
	}
	fade, err := compileRoll(site, number, timing)
	if err != nil {
		return nil, err
	}
	r.kept = slices.Insert(r.kept, 0, roll{number, timing, fade})
	r.kept = r.kept[:min(len(r.kept), mostRolls)]
	return fade, nil
}

func compileRoll(site *site, number int, timing compile.Timing) (*track.Fade, error) {
	cue := site.loc.Cues[number-1]
	to, err := site.lookOf(cue.Look, cue.Dark)
	if err != nil {
		return nil, err
	}
	from := site.place.Dark()
	if number > 1 {
		last := site.loc.Cues[number-2]
		before, err := site.lookOf(last.Look, last.Dark)
		if err != nil {
			return nil, err
		}
		from = before.still
	}
	fade, err := site.place.Fade(from, to.still, timing)
	if err != nil {
		return nil, refusalOf(err, "")
	}
	return fade, nil
}
