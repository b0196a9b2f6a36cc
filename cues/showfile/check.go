package showfile

import (
	"errors"
	"fmt"
	"slices"

	"linkboy/cues"
)

// check tells what does not fit together in a show whose files could each be
// understood.
func (l *loader) check() {
	l.once, l.broken = map[onceKey]bool{}, map[string]bool{}
	for _, p := range l.sink.problems.Errors() {
		l.broken[p.File] = true
	}
	l.checkColours()
	l.checkSafety()
	l.checkShowLooks()
	for _, loc := range l.show.Locations {
		l.checkAddresses(loc)
		l.checkOutputs(loc)
		l.checkRig(loc)
		l.checkLooks(loc)
		l.checkCues(loc)
		l.checkWalks(loc)
		for _, u := range loc.Setups {
			for _, n := range groupsOf(u) {
				l.groupHere(loc, n.Group, n.At)
			}
		}
		l.checkGroupsUsed(loc)
	}
}

// onceKey keeps a problem of the show from being told for every location.
type onceKey struct {
	at   cues.Pos
	code string
	name string
}

// tell tells a problem about name at a place once.
func (l *loader) tell(p *cues.Problem, name string) {
	key := onceKey{p.Pos, p.Code, name}
	if !l.once[key] {
		l.once[key] = true
		l.sink.add(p)
	}
}

func (l *loader) add(at cues.Pos, code, what, why, mend string) {
	l.tell(cues.NewProblem(at, code, what, why, mend), what)
}

// groupHere checks that loc has a group.
func (l *loader) groupHere(loc *cues.Location, name string, at cues.Pos) bool {
	if name == "" || loc.Group(name) != nil {
		return true
	}
	l.tell(unknownProblem(at, cues.CodeUnknownGroup, fmt.Sprintf("no group is named %q in %s", name, loc.Name), name, groupNames(loc)), name)
	return false
}

func groupNames(loc *cues.Location) []string {
	names := make([]string, len(loc.Groups))
	for i, g := range loc.Groups {
		names[i] = g.Name
	}
	return names
}

// groupSomewhere checks that any location has a group. What is meant for every
// location must fit one of them; in the others it lights what is there.
func (l *loader) groupSomewhere(name string, at cues.Pos) bool {
	var known []string
	for _, loc := range l.show.Locations {
		if name == "" || loc.Group(name) != nil {
			return true
		}
		for _, g := range groupNames(loc) {
			if !slices.Contains(known, g) {
				known = append(known, g)
			}
		}
	}
	if name == "" || len(l.show.Locations) == 0 {
		return true
	}
	l.tell(unknownProblem(at, cues.CodeUnknownGroup, fmt.Sprintf("no location has a group %q", name), name, known), name)
	return false
}

// checkRig warns of lamps that cannot be lit or drawn, and refuses a lamp in
// two places.
func (l *loader) checkRig(loc *cues.Location) {
	if len(loc.Rig) == 0 && !l.broken[loc.File] && !l.broken["kit.yaml"] {
		l.add(cues.Pos{File: loc.File}, cues.CodeNoLamps, loc.Name+" has no lamps", "its rig is empty", "add a rig")
	}
	grouped := map[*cues.RigLamp]bool{}
	for _, g := range loc.Groups {
		for _, m := range g.Members {
			grouped[m.Lamp] = true
		}
	}
	stands := map[*cues.KitLamp]*cues.RigLamp{}
	for _, r := range loc.Rig {
		if other := stands[r.Lamp]; other != nil {
			l.add(r.At, cues.CodeLampTwice, fmt.Sprintf("lamp %q stands at %q and at %q", r.Lamp.ID, other.ID, r.ID),
				fmt.Sprintf("it is one lamp; the other place is at line %d", other.At.Line), "name another lamp of the kit in one of the two")
		}
		stands[r.Lamp] = r
		if !grouped[r] && !l.broken[loc.File] {
			l.add(r.At, cues.CodeUngrouped, fmt.Sprintf("lamp %q is in no group", r.ID), "looks paint groups, so no look can light it", "add it to a group")
		}
		if r.Lamp.Mode.Cells > 1 && r.Along == (cues.Point{}) {
			l.add(r.At, cues.CodeNoDirection, fmt.Sprintf("lamp %q has %d cells and no along", r.ID, r.Lamp.Mode.Cells),
				"it is not known where each cell is", "add along: the way from cell 1 to the last cell, like [1, 0, 0]")
		}
	}
}

// checkGroupsUsed warns of groups that nothing names: a slip in the name of a
// group would otherwise go unseen, as looks of the show pass over groups that
// a location lacks.
func (l *loader) checkGroupsUsed(loc *cues.Location) {
	if l.broken[loc.File] || l.broken["show.yaml"] {
		return
	}
	used := map[string]bool{l.show.Safety.Floor.On: true, l.show.Safety.Work.On: true}
	var painted []string
	for _, looks := range [][]*cues.Look{loc.Looks, l.show.Looks} {
		for _, k := range looks {
			for _, p := range k.Paint {
				used[p.On] = true
				painted = append(painted, p.On)
			}
		}
	}
	for _, u := range loc.Setups {
		for _, n := range groupsOf(u) {
			used[n.Group] = true
		}
	}
	for _, c := range loc.Cues {
		if c.Spread != nil {
			used[c.Spread.Along] = true
		}
	}
	for _, g := range loc.Groups {
		if used[g.Name] {
			continue
		}
		mend := "paint it in a look, or take it out"
		if near := cues.Nearest(g.Name, painted); near != "" && loc.Group(near) == nil {
			mend = fmt.Sprintf("write %q, which looks do paint", near)
		}
		l.add(g.At, cues.CodeUnpainted, fmt.Sprintf("no look paints group %q", g.Name), "its lamps stay dark, or another group lights them", mend)
	}
}

// groupsOf lists the groups that a set-up names.
func groupsOf(u *cues.Setup) []cues.Named {
	var out []cues.Named
	for _, t := range u.Trims {
		out = append(out, cues.Named{Group: t.Group, At: t.At})
	}
	for _, s := range u.Swaps {
		out = append(out, s[:]...)
	}
	return append(out, u.Mirrors...)
}

func (l *loader) checkCues(loc *cues.Location) {
	for _, c := range loc.Cues {
		if c.Look != "" && l.showRead && l.show.Look(loc, c.Look) == nil {
			l.tell(unknownProblem(l.places[place{c, "look"}], cues.CodeUnknownLook,
				fmt.Sprintf("cue %d needs a look %q that is not there", c.Number, c.Look), c.Look, l.show.LookNames(loc)), c.Look)
		}
		if c.Spread != nil {
			l.groupHere(loc, c.Spread.Along, c.Spread.At)
		}
		l.checkTimes(loc, c)
	}
}

// checkTimes checks that every time of a cue is a real time by the clock of
// its location, in each of its set-ups.
func (l *loader) checkTimes(loc *cues.Location, c *cues.Cue) {
	times := []cues.Duration{c.Fade, c.Delay}
	if c.After != nil {
		times = append(times, *c.After)
	}
	if c.Spread != nil {
		times = append(times, c.Spread.Over)
	}
	for _, d := range times {
		l.checkTime(loc, d)
	}
}

// checkTime checks that a time is a real one by the clock of a location, in each of its
// set-ups.
func (l *loader) checkTime(loc *cues.Location, d cues.Duration) {
	for _, u := range append([]*cues.Setup{nil}, loc.Setups...) {
		_, err := d.Real(l.show.Clock(loc).ShotBy(u))
		var p *cues.Problem
		if errors.As(err, &p) && (l.showRead || p.Code != cues.CodeNoTempo) {
			l.tell(p, d.String())
		}
	}
}
