package showfile

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"linkboy/colour"
	"linkboy/cues"
)

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
