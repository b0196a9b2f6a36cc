package compile

import (
	"fmt"
	"time"

	"linkboy/colour"
	"linkboy/colour/lamp"
	"linkboy/cues"
	"linkboy/cues/track"
)

// CueFade is the fade of a cue as the sheet runs, from the look of the cue
// before it.
type CueFade struct {
	Cue    *cues.Cue
	From   string // the look before
	Timing Timing
	Steps  []Steps // how smooth it is on every lamp that it moves, in rig order
	fade   *track.Fade
}

// CueFades gives the fades of the cue sheet: not the first cue, which comes from
// no look, nor snaps. What is wrong with a look or a time is told elsewhere
// and left out here.
func (p *Place) CueFades() []CueFade {
	var fades []CueFade
	stills := map[shown]track.Still{}
	var from track.Still
	name := ""
	for _, c := range p.Location.Cues {
		to := p.settled(shown{c.Look, c.Dark}, stills)
		if from != nil && to != nil {
			if f, ok := p.cueFade(c, from, to); ok {
				f.From = name
				fades = append(fades, f)
			}
		}
		from, name = to, c.Look
	}
	return fades
}

// cueFade looks at the fade of one cue; false for a snap.
func (p *Place) cueFade(c *cues.Cue, from, to track.Still) (CueFade, bool) {
	timing, err := p.Timing(c)
	if err != nil || timing.Fade == 0 {
		return CueFade{}, false
	}
	f, err := p.Fade(from, to, timing)
	if err != nil {
		return CueFade{}, false
	}
	return CueFade{Cue: c, Timing: timing, Steps: p.Stepping(f, !c.Dark), fade: f}, true
}

// CheckCues warns of the cues of the sheet whose fade is not smooth on camera,
// and of those in mired that move lamps which show no white.
func (p *Place) CheckCues() cues.Problems {
	var problems cues.Problems
	for _, f := range p.CueFades() {
		problems = append(problems, p.checkSteps(f.Cue, f.Steps)...)
		if f.Timing.Path == cues.PathMired {
			problems = append(problems, p.checkWhites(f.Cue, f.fade)...)
		}
	}
	problems.Sort()
	return problems
}

// shown is a look as a cue shows it.
type shown struct {
	look string
	dark bool
}

// settled gives the still of a look, nil for one that cannot be.
func (p *Place) settled(k shown, known map[shown]track.Still) track.Still {
	if s, ok := known[k]; ok {
		return s
	}
	var s track.Still
	if look := p.Show.Look(p.Location, k.look); look != nil {
		s, _, _ = p.StillOf(look, k.dark)
	}
	known[k] = s
	return s
}

// alike is what lamps have in common that step alike.
type alike struct {
	kind *lamp.Type
	mode *lamp.Mode
	long bool
}

// checkSteps warns, once for each type of lamp and mode, of a fade that jumps
// or shows a stair.
func (p *Place) checkSteps(c *cues.Cue, all []Steps) cues.Problems {
	var order []alike
	lamps, worst := map[alike]int{}, map[alike]Steps{}
	for _, s := range all {
		if !s.TooLong() && !s.TooShort(p.fps()) {
			continue
		}
		i := p.byLamp[s.Lamp]
		key := alike{p.lamps[i].kind, p.lamps[i].mode, s.TooLong()}
		w, known := worst[key]
		if !known {
			order = append(order, key)
			w = s
		}
		w.worse(s)
		worst[key] = w
		lamps[key]++
	}
	var problems cues.Problems
	for _, key := range order {
		if key.long {
			problems = append(problems, p.stairProblem(c, key, lamps[key], worst[key]))
		} else {
			problems = append(problems, p.jumpProblem(c, key, lamps[key], worst[key]))
		}
	}
	return problems
}

func (p *Place) stairProblem(c *cues.Cue, key alike, n int, s Steps) *cues.Problem {
	mend := fmt.Sprintf("fade in %s at most", short(s.Longest))
	if s.Shortest > s.Longest {
		mend = "no time is smooth there: hide the fade, or start it from a little light"
	}
	if fine := finer(key.kind, key.mode); fine != "" {
		mend = fmt.Sprintf("use the lamps in mode %q, or %s", fine, mend)
	}
	return cues.NewProblem(fadeAt(c), cues.CodeFadeSteps,
		fmt.Sprintf("cue %d at %s: %s in %d bits, which shows as a stair", c.Number, p.Location.Name, counted(n, key.kind, "fades", "fade"), s.Bits),
		fmt.Sprintf("in %s its codes, up to %.2f stops apart, are held for up to %.1f frames of the camera", short(s.Time), s.Largest, s.Held), mend)
}

func (p *Place) jumpProblem(c *cues.Cue, key alike, n int, s Steps) *cues.Problem {
	return cues.NewProblem(fadeAt(c), cues.CodeFadeJumps,
		fmt.Sprintf("cue %d at %s: %s so fast that it shows as jumps", c.Number, p.Location.Name, counted(n, key.kind, "fades", "fade")),
		fmt.Sprintf("%s is %.0f frames of the camera for a way that takes %.0f to look smooth", short(s.Time), s.Time.Seconds()*p.fps(), s.Shortest.Seconds()*p.fps()),
		fmt.Sprintf("fade in %s or more, or flip in no time", short(s.Shortest)))
}

// checkWhites warns of the lamps that a fade in mired moves but that do not go
// from white to white.
func (p *Place) checkWhites(c *cues.Cue, f *track.Fade) cues.Problems {
	n := 0
	var first *cues.RigLamp
	for i := range p.lamps {
		l := &p.lamps[i]
		for at := l.first; at < l.first+l.n; at++ {
			cell := &p.Cells[at]
			if cell.changes(f.From, f.To) && !cell.betweenWhites(f) {
				if n++; first == nil {
					first = l.lamp
				}
				break
			}
		}
	}
	if n == 0 {
		return nil
	}
	who := first.ID + " shows no white and goes"
	if n > 1 {
		who = fmt.Sprintf("%s and %d more show no white and go", first.ID, n-1)
	}
	return cues.Problems{cues.NewProblem(fadeAt(c), cues.CodePathNoWhite,
		fmt.Sprintf("cue %d at %s: %s the short way", c.Number, p.Location.Name, who),
		"a path in mired leads from white to white, within a Duv of 0.05 of the Planckian locus",
		"use path short for all, or give those lamps whites in both looks")}
}

// betweenWhites tells whether both ends of a fade are whites on c, or one of
// them is dark.
func (c *Cell) betweenWhites(f *track.Fade) bool {
	a, b := c.mix.Light(c.get(f.From)), c.mix.Light(c.get(f.To))
	white := func(light colour.XYZ) bool {
		_, ok := tintOf(light.XY())
		return ok
	}
	return a.Y <= 0 || b.Y <= 0 || white(a) && white(b)
}

// finer names the mode of the type with the same cells and 16 bits for every
// emitter, "" when there is none or it is mode.
func finer(kind *lamp.Type, mode *lamp.Mode) string {
	for _, m := range kind.Modes {
		if m != mode && m.Cells == mode.Cells && m.Curve == mode.Curve && bits(m) == 16 {
			return m.Name
		}
	}
	return ""
}

// bits gives the bits of the coarsest emitter channel of a mode.
func bits(m *lamp.Mode) int {
	least := 16
	for _, ch := range m.Channels {
		if ch.Param == nil {
			least = min(least, ch.Bits)
		}
	}
	return least
}

func counted(n int, kind *lamp.Type, one, more string) string {
	if n == 1 {
		return fmt.Sprintf("1 lamp of type %s %s", kind.Name, one)
	}
	return fmt.Sprintf("%d lamps of type %s %s", n, kind.Name, more)
}

// short writes a time to a hundredth of a second.
func short(d time.Duration) string {
	return fmt.Sprintf("%.4g s", d.Round(10*time.Millisecond).Seconds())
}

// fadeAt is where the fade of a cue is written, else the cue.
func fadeAt(c *cues.Cue) cues.Pos {
	if c.Fade.At.Line > 0 {
		return c.Fade.At
	}
	return c.At
}
