package showfile

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"linkboy/colour"
	"linkboy/colour/lamp"
	"linkboy/cues"
)

// checkShowLooks checks what looks of the show name, which must be in some
// location.
func (l *loader) checkShowLooks() {
	for _, k := range l.show.Looks {
		l.checkCharacter(k)
		for _, p := range k.Paint {
			if l.groupSomewhere(p.On, p.At) {
				l.checkSettings(l.show.Locations, &p)
			}
			l.checkLevel(l.show.Locations, p.Level)
		}
	}
	if len(l.show.Locations) == 0 {
		l.checkFrom(nil, l.show.Looks)
		l.checkCast(nil, l.show.Looks)
	}
}

// checkLooks checks the looks that loc can show: its own, and how those of
// the show come out here.
func (l *loader) checkLooks(loc *cues.Location) {
	for _, k := range loc.Looks {
		l.checkCharacter(k)
		for _, p := range k.Paint {
			if l.groupHere(loc, p.On, p.At) {
				l.checkSettings([]*cues.Location{loc}, &p)
			}
			l.checkLevel([]*cues.Location{loc}, p.Level)
		}
	}
	looks := slices.Concat(loc.Looks, l.show.Looks)
	l.checkFrom(loc, looks)
	l.checkCast(loc, looks)
	for _, k := range looks {
		l.checkLit(loc, k)
		for _, p := range k.Paint {
			g := loc.Group(p.On)
			if g != nil && len(p.Colours) > 1 && g.Cells() > 0 && len(p.Colours) > g.Cells() {
				l.add(p.At, cues.CodePatternCrowded, fmt.Sprintf("%d colours on group %q of %s", len(p.Colours), g.Name, loc.Name),
					fmt.Sprintf("it has only %d cells", g.Cells()), "take colours out, or put its lamps in a mode with more cells")
			}
		}
	}
}

// checkLit warns of paint that has a colour but stays dark: it has no level
// and none of the paint under it gave its lamps one.
func (l *loader) checkLit(loc *cues.Location, k *cues.Look) {
	if l.broken[loc.File] || l.broken["show.yaml"] {
		return
	}
	lit := map[*cues.RigLamp]bool{}
	for _, ancestor := range l.show.Lineage(loc, k) {
		for _, p := range ancestor.Paint {
			g := loc.Group(p.On)
			if g == nil || len(g.Members) == 0 {
				continue
			}
			if !p.Level.IsZero() {
				for _, m := range g.Members {
					lit[m.Lamp] = true
				}
			} else if len(p.Colours) > 0 && !slices.ContainsFunc(g.Members, func(m cues.Member) bool { return lit[m.Lamp] }) {
				l.add(p.At, cues.CodeNoLevel, fmt.Sprintf("paint on %q has a colour but no level", p.On),
					"no paint under it gives it one, so it stays dark", "add a level, like level: 40%")
			}
		}
	}
}

func (l *loader) checkCharacter(k *cues.Look) {
	if k.Wears == "" || !l.showRead || l.show.Character(k.Wears) != nil {
		return
	}
	l.tell(unknownProblem(l.places[place{k, "wears"}], cues.CodeUnknownCharacter,
		fmt.Sprintf("look %q wears %q, who is not in the cast", k.Name, k.Wears), k.Wears, l.characters()), k.Wears)
}

func (l *loader) characters() []string {
	names := make([]string, len(l.show.Cast))
	for i, c := range l.show.Cast {
		names[i] = c.Name
	}
	return names
}

// checkFrom tells looks that start from nothing known, and rings.
func (l *loader) checkFrom(loc *cues.Location, looks []*cues.Look) {
	ringed := map[*cues.Look]bool{}
	for _, k := range looks {
		at := l.places[place{k, "from"}]
		if k.From != "" && l.show.Base(loc, k) == nil {
			if !l.showRead {
				continue
			}
			known := slices.DeleteFunc(l.show.LookNames(loc), func(name string) bool { return name == k.Name })
			l.tell(unknownProblem(at, cues.CodeUnknownLook, fmt.Sprintf("look %q starts from %q, which is no look", k.Name, k.From), k.From, known), k.From)
			continue
		}
		ring := []string{k.Name}
		seen := map[*cues.Look]bool{k: true}
		for b := l.show.Base(loc, k); b != nil && !ringed[b]; b = l.show.Base(loc, b) {
			ring = append(ring, b.Name)
			if b == k {
				for member := range seen {
					ringed[member] = true
				}
				l.tell(cues.NewProblem(at, cues.CodeFromCycle, "looks start from each other: "+strings.Join(ring, " from "),
					"none of them has a beginning", "take from out of one of them"), "")
				break
			}
			if seen[b] {
				break
			}
			seen[b] = true
		}
	}
}

// checkCast tells names of colours that mean nothing: for every look as it is
// run, as a look can be worn by another character than the one it starts from.
func (l *loader) checkCast(loc *cues.Location, looks []*cues.Look) {
	if !l.showRead {
		return
	}
	base := map[*cues.Look]bool{}
	for _, k := range looks {
		base[l.show.Base(loc, k)] = true
	}
	for _, k := range looks {
		who, line := l.show.Wears(loc, k), l.show.Lineage(loc, k)
		dressed := slices.ContainsFunc(line, func(k *cues.Look) bool { return k.Wears != "" })
		abstract := base[k] && !usedInCue(loc, k)
		for _, c := range paintColours(line) {
			switch {
			case c.Cast == "":
			case strings.Contains(c.Cast, "."):
				l.checkDotted(c)
			case who != nil:
				l.checkOwn(k, who, c)
			case !dressed && !abstract:
				l.tell(cues.NewProblem(c.At, cues.CodeWearsNobody, fmt.Sprintf("look %q paints %q but wears nobody", k.Name, c.Cast),
					"a plain name is a colour of the character that is worn", "add wears: to the look, or write whose colour it is, like warden.lead"), k.Name)
			}
		}
	}
}

func usedInCue(loc *cues.Location, k *cues.Look) bool {
	return loc != nil && slices.ContainsFunc(loc.Cues, func(c *cues.Cue) bool { return c.Look == k.Name })
}

func (l *loader) checkOwn(k *cues.Look, who *cues.Character, c cues.Colour) {
	own := ownNames(who)
	if !slices.Contains(own, c.Cast) {
		l.tell(unknownProblem(c.At, cues.CodeUnknownColour,
			fmt.Sprintf("look %q wears %s, who owns no colour %q", k.Name, who.Name, c.Cast), c.Cast, own), who.Name)
	}
}

// checkDotted checks a colour that says whose it is.
func (l *loader) checkDotted(c cues.Colour) {
	name, own, dotted := strings.Cut(c.Cast, ".")
	if !dotted || !l.showRead {
		return
	}
	who := l.show.Character(name)
	if who == nil {
		l.tell(unknownProblem(c.At, cues.CodeUnknownCharacter, fmt.Sprintf("%q names %q, who is not in the cast", c.Cast, name), name, l.characters()), name)
		return
	}
	if known := ownNames(who); !slices.Contains(known, own) {
		l.tell(unknownProblem(c.At, cues.CodeUnknownColour, fmt.Sprintf("%s owns no colour %q", name, own), own, known), name)
	}
}

func ownNames(c *cues.Character) []string {
	names := make([]string, len(c.Colours))
	for i, own := range c.Colours {
		names[i] = own.Name
	}
	return names
}

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

// checkColours checks that light can have each colour that is written out.
func (l *loader) checkColours() {
	balance, err := colour.CCT{T: l.show.Camera.Balance}.XY()
	if err != nil {
		return // told where the balance stands
	}
	check := func(c cues.Colour) {
		if c.Form == nil {
			return
		}
		if _, err := c.Form.Chromaticity(balance); err != nil {
			l.impossible(c, err)
		}
	}
	for _, character := range l.show.Cast {
		for _, own := range character.Colours {
			check(own.Colour)
		}
	}
	looks := slices.Clone(l.show.Looks)
	for _, loc := range l.show.Locations {
		looks = append(looks, loc.Looks...)
	}
	for _, c := range paintColours(looks) {
		check(c)
	}
	for _, c := range []cues.Colour{l.show.Safety.Floor.Colour, l.show.Safety.Work.Colour} {
		check(c)
		if c.Cast != "" {
			l.checkDotted(c)
		}
	}
}

// paintColours lists the colours that looks paint with.
func paintColours(looks []*cues.Look) []cues.Colour {
	var out []cues.Colour
	for _, k := range looks {
		for _, p := range k.Paint {
			out = append(out, p.Colours...)
		}
	}
	return out
}

func (l *loader) impossible(c cues.Colour, err error) {
	why, mend := err.Error(), "choose a colour that light can have"
	var known *colour.Error
	if errors.As(err, &known) {
		why, mend = known.Why, known.Mend
	}
	l.add(c.At, cues.CodeColourImpossible, fmt.Sprintf("%s is no colour of light", shorten(c.Form.String())), why, mend)
}
