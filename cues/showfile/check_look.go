package showfile

import (
	"fmt"
	"slices"
	"strings"

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
			l.checkMotion(l.show.Locations, p.Moves)
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
			l.checkMotion([]*cues.Location{loc}, p.Moves)
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
