package showfile

import (
	"fmt"
	"slices"

	"linkboy/colour/lamp"
	"linkboy/cues"
)

// checkLevel checks what a level is measured under and where: in one of the
// locations it is meant for.
func (l *loader) checkLevel(locs []*cues.Location, level cues.Level) {
	if len(locs) == 0 {
		return
	}
	var groups, marks []string
	for _, loc := range locs {
		groups = append(groups, groupNames(loc)...)
		marks = append(marks, markNames(loc)...)
	}
	if level.Group != "" && !slices.Contains(groups, level.Group) {
		l.tell(unknownProblem(level.At, cues.CodeUnknownGroup, fmt.Sprintf("the level is under group %q, which is not there", level.Group), level.Group, distinct(groups)), level.Group)
	}
	if level.Mark != "" && !slices.Contains(marks, level.Mark) {
		l.tell(unknownProblem(level.At, cues.CodeUnknownMark, fmt.Sprintf("the level is measured at mark %q, which is not there", level.Mark), level.Mark, distinct(marks)), level.Mark)
	}
}

func distinct(names []string) []string {
	names = slices.Clone(names)
	slices.Sort(names)
	return slices.Compact(names)
}

// owned is a parameter and the type of lamp that has it.
type owned struct {
	*lamp.Param
	of string
}

// parameters lists what can be set on a group, over all of locs.
func parameters(locs []*cues.Location, group string) []owned {
	var out []owned
	for _, loc := range locs {
		g := loc.Group(group)
		if g == nil {
			continue
		}
		for _, m := range g.Members {
			for i := range m.Lamp.Lamp.Mode.Channels {
				if p := m.Lamp.Lamp.Mode.Channels[i].Param; p != nil {
					out = append(out, owned{p, m.Lamp.Lamp.Type.Name})
				}
			}
		}
	}
	return out
}

// members counts the members of a group over all of locs.
func members(locs []*cues.Location, group string) int {
	n := 0
	for _, loc := range locs {
		if g := loc.Group(group); g != nil {
			n += len(g.Members)
		}
	}
	return n
}

// checkSettings checks that some lamp of the painted group has each parameter
// that is set, and that all that have it can take the value.
func (l *loader) checkSettings(locs []*cues.Location, p *cues.Paint) {
	if len(p.Set) == 0 {
		return
	}
	all := parameters(locs, p.On)
	for _, s := range p.Set {
		var known []string
		found := false
		for _, param := range all {
			known = append(known, param.Name)
			if param.Name == s.Param {
				found = true
				l.checkSetting(s, param)
			}
		}
		if !found && members(locs, p.On) > 0 {
			l.tell(unknownProblem(s.At, cues.CodeUnknownParameter, fmt.Sprintf("no lamp of group %q has a parameter %q", p.On, s.Param), s.Param, distinct(known)), s.Param)
		}
	}
}

func (l *loader) checkSetting(s cues.Setting, p owned) {
	in := span{p.Min, p.Max}
	switch unit := l.units[s.At]; {
	case unit != "" && unit != p.Unit:
		l.tell(cues.NewProblem(s.At, cues.CodeBadUnit, fmt.Sprintf("%s %s is in the wrong unit for %s", short(s.Value), unit, s.Param),
			unitWhy(p.Unit), "write "+withUnit(short(s.Value), p.Unit)), s.Param)
	case !in.holds(s.Value):
		l.tell(cues.NewProblem(s.At, cues.CodeOutOfRange, fmt.Sprintf("%s is out of range for %s of %s", short(s.Value), s.Param, p.of),
			"it can be "+withUnit(in.String(), p.Unit), "write a value in that range"), s.Param)
	}
}
