package showfile

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"linkboy/cues"
	"linkboy/cues/timecode"
)

var (
	curves = []string{string(cues.CurveEven), string(cues.CurveSoft), string(cues.CurveIn), string(cues.CurveOut)}
	paths  = cues.PathNames()
)

// cues reads a cue sheet.
func (l *loader) cues(r *reader, n *yaml.Node) []*cues.Cue {
	var sheet []*cues.Cue
	r.items(n, "the cue sheet", func(item *yaml.Node) {
		c := &cues.Cue{Number: len(sheet) + 1, Curve: cues.CurveEven, Path: cues.PathShort, At: r.pos(item)}
		sheet = append(sheet, c)
		r.keys(item, fmt.Sprintf("cue %d", c.Number), schema{
			"look":     need(l.lookName(r, &c.Look, c, "look")),
			"fade":     may(r.intoDuration(&c.Fade, "the fade")),
			"delay":    may(r.intoDuration(&c.Delay, "the delay")),
			"curve":    may(func(n *yaml.Node) { c.Curve = cues.Curve(r.word(n, "curve", curves...)) }),
			"path":     may(func(n *yaml.Node) { c.Path = cues.Path(r.word(n, "path", paths...)) }),
			"spread":   may(func(n *yaml.Node) { c.Spread = r.spread(n) }),
			"timecode": may(func(n *yaml.Node) { c.Timecode = l.timecode(r, n) }),
			"dark":     may(func(n *yaml.Node) { c.Dark = r.yesNo(n, "dark") }),
			"note":     may(func(n *yaml.Node) { c.Note = r.text(n, "a note") }),
			"after": may(func(n *yaml.Node) {
				if d, ok := r.duration(n, "after"); ok {
					c.After = &d
				}
			}),
		})
		l.follows(r, sheet, item)
		if c.After != nil && c.Number == 1 {
			r.sink.add(cues.NewProblem(c.After.At, cues.CodeAfterNothing, "cue 1 runs after nothing",
				"no cue stands before it, so it waits for a person", "take after out, or put it on a later cue"))
		}
	})
	return sheet
}

// timecode reads "01:00:12:08", counted by the timeline, or "01:00:12;08" of
// drop-frame; the zero Code after a problem.
func (l *loader) timecode(r *reader, n *yaml.Node) timecode.Code {
	text := r.text(n, "the time code")
	if n.Kind != yaml.ScalarNode {
		return timecode.Code{}
	}
	code, err := timecode.Parse(text, timecode.ForTimeline(l.show.Timeline))
	if bad, ok := errors.AsType[*timecode.LabelError](err); ok {
		r.problem(n, cues.CodeBadTimecode, fmt.Sprintf("%q is no time code", shorten(text)), bad.Why, bad.Mend)
	}
	return code
}

// follows warns of a last cue whose time code is not after that of the cue
// before it that has one.
func (l *loader) follows(r *reader, sheet []*cues.Cue, item *yaml.Node) {
	c := sheet[len(sheet)-1]
	if c.Timecode.IsZero() {
		return
	}
	for _, before := range slices.Backward(sheet[:len(sheet)-1]) {
		if before.Timecode.IsZero() {
			continue
		}
		if c.Timecode.Time() <= before.Timecode.Time() {
			r.problem(item, cues.CodeTimecodeOrder, fmt.Sprintf("cue %d at %v comes after cue %d at %v", c.Number, c.Timecode, before.Number, before.Timecode),
				"code runs them in the order of their times, not of the cue sheet", "put the cues in the order of their time codes")
		}
		return
	}
}

// spread reads "1.2 s along edge", nil after a problem.
func (r *reader) spread(n *yaml.Node) *cues.Spread {
	text := r.text(n, "the spread")
	if n.Kind != yaml.ScalarNode {
		return nil
	}
	over, group, found := strings.Cut(text, " along ")
	group = strings.TrimSpace(group)
	if !found || !isName(group) {
		r.problem(n, cues.CodeBadTime, fmt.Sprintf("%q is no spread", shorten(text)),
			"it needs a time and the group along which the cells start one after another", "write it like 1.2 s along edge")
		return nil
	}
	d, p := parseDuration(over, r.pos(n))
	if p != nil {
		r.sink.add(p)
		return nil
	}
	return &cues.Spread{Over: d, Along: group, At: r.pos(n)}
}
