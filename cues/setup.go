package cues

import "slices"

// Setup is one camera position, and what it changes of every look: who turns the
// camera round wants the set the other way round too.
type Setup struct {
	Name   string
	Camera Point
	LookAt Point // what its middle shows: over a mark, the chest of who stands there
	LensMM float64
	// Own is what the set-up says of its camera; what it leaves out, the show's
	// camera says. See Show.Shot.
	Own Camera
	// Trims change levels of lamps, after all else: those of a lamp in two trimmed
	// groups add up.
	Trims []Trim
	// Swaps have two groups do each other's job: what looks paint on one, and
	// measure under it, is on the other.
	Swaps []Swap
	// Mirrors are groups whose order turns round, for patterns and spreads; MirrorAll
	// is all of them.
	Mirrors   []Named
	MirrorAll bool
	At        Pos
}

// Trim moves the lamps of a group by so many stops in one set-up.
type Trim struct {
	Group string
	Stops float64
	At    Pos
}

// Swap is two groups that do each other's job in one set-up.
type Swap [2]Named

// Named is the name of a group where it is written.
type Named struct {
	Group string
	At    Pos
}

// Doing gives the group whose lamps do the job of group in the set-up: itself,
// unless it is swapped. A nil set-up changes nothing.
func (u *Setup) Doing(group string) string {
	if u == nil {
		return group
	}
	for _, s := range u.Swaps {
		switch group {
		case s[0].Group:
			return s[1].Group
		case s[1].Group:
			return s[0].Group
		}
	}
	return group
}

// Mirrored tells whether the order of a group turns round in the set-up.
func (u *Setup) Mirrored(group string) bool {
	return u != nil && (u.MirrorAll || slices.ContainsFunc(u.Mirrors, func(n Named) bool { return n.Group == group }))
}

// Turns tells whether the set-up changes anything of a look.
func (u *Setup) Turns() bool {
	return u != nil && (len(u.Trims) > 0 || len(u.Swaps) > 0 || len(u.Mirrors) > 0 || u.MirrorAll)
}

// ShotBy gives the clock of a camera that is set up as u says: its own rate where it
// has one. A nil set-up changes nothing.
func (c Clock) ShotBy(u *Setup) Clock {
	if u != nil && u.Own.FPS > 0 {
		c.Capture = u.Own.FPS
	}
	return c
}
