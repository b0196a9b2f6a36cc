package compile

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"linkboy/cues"
	"linkboy/cues/track"
)

// Timing is how a change runs, in real time. The zero Timing is a snap.
type Timing struct {
	Fade  time.Duration // of each cell, from its start to its end
	Delay time.Duration // before anything moves
	// Spread is the time over which the cells of the group Along start one
	// after another, in its order; all other cells start at once.
	Spread time.Duration
	Along  string
	Curve  cues.Curve // "" is even
	Path   cues.Path  // "" is short
}

// Total is the time until the last cell has arrived.
func (t Timing) Total() time.Duration { return t.Delay + t.Spread + t.Fade }

// PathBack gives the path that leads back the way that a fade of this timing has
// come at a progress, 0..1 of its total, of the cells that start first. Before
// the middle of a way through white or dark, and before half of a long way
// round, that is not the way itself.
func (t Timing) PathBack(progress float64) cues.Path {
	if t.Fade <= 0 {
		return t.Path
	}
	curve, err := ease(t.Curve)
	if err != nil {
		return t.Path
	}
	gone := progress*float64(t.Total()) - float64(t.Delay)
	if curve.At(gone/float64(t.Fade)) >= 0.5 {
		return t.Path
	}
	switch t.Path {
	case cues.PathWhite, cues.PathDark:
		return cues.PathShort
	case cues.PathOther:
		return cues.PathRound
	}
	return t.Path
}

// Timing gives the timing of a cue in real time, by the clock of the place.
// The error is a *cues.Problem.
func (p *Place) Timing(c *cues.Cue) (Timing, error) {
	return p.TimingBy(p.Clock(), c)
}

// TimingBy is Timing by another clock.
func (p *Place) TimingBy(clock cues.Clock, c *cues.Cue) (Timing, error) {
	t := Timing{Curve: c.Curve, Path: c.Path}
	var err error
	if t.Fade, err = c.Fade.Real(clock); err != nil {
		return Timing{}, err
	}
	if t.Delay, err = c.Delay.Real(clock); err != nil {
		return Timing{}, err
	}
	if c.Spread != nil {
		t.Along = c.Spread.Along
		if t.Spread, err = c.Spread.Over.Real(clock); err != nil {
			return Timing{}, err
		}
	}
	return t, nil
}

// ease gives the ease of a curve.
func ease(c cues.Curve) (track.Ease, error) {
	switch c {
	case cues.CurveEven, "":
		return track.Linear, nil
	case cues.CurveSoft:
		return track.Soft, nil
	case cues.CurveIn:
		return track.In, nil
	case cues.CurveOut:
		return track.Out, nil
	}
	return track.Linear, cues.NewProblem(cues.Pos{}, cues.CodeBadWord, fmt.Sprintf("%q is no curve", c),
		"a fade moves even, soft, in or out", hint(string(c), []string{"even", "soft", "in", "out"}, "use even"))
}

// check refuses a timing that cannot be.
func (p *Place) check(t Timing) error {
	for _, d := range []time.Duration{t.Fade, t.Delay, t.Spread} {
		if d < 0 {
			return cues.NewProblem(cues.Pos{}, cues.CodeOutOfRange, fmt.Sprintf("%s is a negative time", d),
				"nothing can happen before it was asked for", "write 0 s or more")
		}
		if d > 24*time.Hour {
			return cues.NewProblem(cues.Pos{}, cues.CodeTimeTooLong, fmt.Sprintf("%s is longer than a day", d),
				"a cue takes a day at most", "write a shorter time")
		}
	}
	if t.Spread > 0 && p.Location.Group(t.Along) == nil {
		return cues.NewProblem(cues.Pos{}, cues.CodeUnknownGroup, fmt.Sprintf("nothing to spread along: %q", t.Along),
			p.Location.Name+" has no such group", hint(t.Along, p.groupNames(), "name a group of the location"))
	}
	known := cues.PathNames()
	if t.Path == "" || slices.Contains(known, string(t.Path)) {
		return nil
	}
	return cues.NewProblem(cues.Pos{}, cues.CodeBadWord, fmt.Sprintf("%q is no path", t.Path),
		"a fade goes "+strings.Join(known, ", "), hint(string(t.Path), known, "use short"))
}

func (p *Place) groupNames() []string {
	var names []string
	for _, g := range p.Location.Groups {
		names = append(names, g.Name)
	}
	return names
}
