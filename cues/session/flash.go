package session

import (
	"fmt"
	"math"
	"slices"
	"time"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

// The flash rule, after WCAG 2.2 success criterion 2.3.1 and its definitions of
// general and red flash: no more than three flashes within one second. A flash
// is a pair of opposing changes, so seven changes that each turn the one before
// round are more than three flashes. The rule is made for a screen; people who
// stand in the light have more of it in view, so this is the loosest limit.
const (
	flashWindow = time.Second
	mostFlips   = 6
	// slowest is the time of a change from which on it cannot be part of more
	// than three flashes in a second.
	slowest = flashWindow / 3
	// leastRise is the change of a cell's light, as a share of its most, that
	// counts, if the darker of the two is below darkerThan.
	leastRise  = 0.10
	darkerThan = 0.80
	// redShare is R/(R+G+B) in linear sRGB from which a red is saturated, and
	// redMove the u'v' distance that a change to or from it must have.
	redShare = 0.80
	redMove  = 0.20
	// leastArea is the share of the cells that must change together; the rule
	// has a quarter of the central field of view.
	leastArea = 0.25
)

// flashes watches for changes that turn each other round too fast.
type flashes struct {
	flips  []time.Time // within the last second
	moving int         // changes within a second that movement makes by itself
	last   []int8      // direction of the last change, of each cell
	before []colour.XYZ
	after  []colour.XYZ
	warned time.Time // the rule was last broken then; zero for never
}

// watchFlashes finds the cues that flash, once for each site; it gives those found now.
// That takes a while, as light that moves is watched for minutes of its time, so the
// first frame does not wait for it.
func (s *site) watchFlashes() cues.Problems {
	if s.flashed.Load() != nil {
		return nil
	}
	found := s.flashing()
	s.flashed.Store(&found)
	return found
}

// told is what is wrong with the place, and with its cue sheet as far as that is watched.
func (s *site) told() cues.Problems {
	all := slices.Clone(s.compiled)
	if found := s.flashed.Load(); found != nil {
		all = append(all, *found...)
	}
	return all
}

// flashing finds the cues that follow each other so fast that the set flashes,
// before anybody runs them.
func (s *site) flashing() cues.Problems {
	var problems cues.Problems
	var f flashes
	at := time.Unix(0, 0)
	var last settled
	for _, c := range s.loc.Cues {
		k, err := s.lookOf(c.Look, c.Dark)
		timing, timeErr := s.place.Timing(c)
		if err != nil || timeErr != nil {
			f, last = flashes{}, settled{}
			continue
		}
		if c.After == nil {
			f = flashes{}
		} else if after, err := c.After.Real(s.place.Clock()); err == nil {
			at = at.Add(after)
		}
		if last.still != nil && timing.Total() < slowest {
			f.see(s.place, last.still, k.still, at, last.motion, k.motion)
			if !f.warned.IsZero() {
				p := cues.NewProblem(c.At, codeFlashing, fmt.Sprintf("cue %d and those before it flash more than three times a second", c.Number),
					"that can bring on seizures", flashMend)
				p.Severity = cues.Warning
				problems = append(problems, p)
				f = flashes{}
			}
		}
		at, last = at.Add(timing.Total()), k
	}
	return problems
}

// flashMend defers to whoever has the say where the set is.
const flashMend = "slow it down, and tell cast and crew first; local rules may set stricter limits and go first"

// flip notes a change of the set that takes next to no time, to a look with the
// movement m. s.mu must be held.
func (s *Session) flip(from, to track.Still, m *track.Motion) {
	s.flashes.see(s.site.Load().place, from, to, time.Now(), s.now.motion, m)
}

// see notes a change from one still of a place to another. What moves in either
// look flashes too: as often as it does in its worst second.
func (f *flashes) see(place *compile.Place, from, to track.Still, at time.Time, moving ...*track.Motion) {
	f.moving = 0
	for _, m := range moving {
		if m != nil {
			f.moving = max(f.moving, int(2*m.Flashes))
		}
	}
	if n := len(place.Cells); len(f.last) != n {
		f.last, f.before, f.after = make([]int8, n), make([]colour.XYZ, n), make([]colour.XYZ, n)
	}
	place.Shine(from, f.before)
	place.Shine(to, f.after)
	f.note(at, place.Cells)
}

// note counts the change from before to after.
func (f *flashes) note(now time.Time, cells []compile.Cell) {
	changed, opposed := 0, 0
	for i := range cells {
		way := direction(f.before[i], f.after[i], cells[i].MostLumens)
		if way == 0 {
			continue
		}
		changed++
		if f.last[i] != way { // it turns the one before round, or is the first
			opposed++
		}
		f.last[i] = way
	}
	if least := leastArea * float64(len(cells)); changed == 0 || float64(opposed) < least {
		return
	}
	kept := f.flips[:0]
	for _, t := range f.flips {
		if now.Sub(t) < flashWindow {
			kept = append(kept, t)
		}
	}
	f.flips = append(kept, now)
	if len(f.flips)+f.moving > mostFlips {
		f.warned = now
	}
}

// direction gives which way a cell changes in the sense of the flash rule: 1
// brighter or to a saturated red, -1 darker or from one, 0 neither.
func direction(before, after colour.XYZ, most float64) int8 {
	b, a := before.Y/most, after.Y/most
	if math.Abs(a-b) >= leastRise && min(a, b) < darkerThan {
		if a > b {
			return 1
		}
		return -1
	}
	wasRed, isRed := saturatedRed(before), saturatedRed(after)
	if wasRed == isRed || before.Y <= 0 || after.Y <= 0 {
		return 0
	}
	u, v := before.XY().UV(), after.XY().UV()
	if math.Hypot(u.U-v.U, u.V-v.V) <= redMove {
		return 0
	}
	if isRed {
		return 1
	}
	return -1
}

func saturatedRed(c colour.XYZ) bool {
	r, g, b := c.SRGB()
	r, g, b = max(r, 0), max(g, 0), max(b, 0)
	return r > 0 && r/(r+g+b) >= redShare
}
