package session

import (
	"fmt"
	"sync"
	"sync/atomic"

	"linkboy/colour"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/play"
	"linkboy/cues/track"
)

// site is a location with everything compiled that does not depend on what is
// on. Looks are compiled when they are first asked for. It is safe for
// concurrent use.
type site struct {
	loc      *cues.Location
	setup    *cues.Setup // that shoots it; nil where the location has none
	place    *compile.Place
	names    []string // of looks
	looks    map[shown]func() settled
	flashed  atomic.Pointer[cues.Problems] // cues that flash; nil until they are watched
	lens     func() *lens                  // what its camera sees, made when it is first asked for
	compiled cues.Problems                 // those of compiling the place
	needs    bool                          // a look has a level that is measured at a mark
	isLit    bool                          // and there is the light to solve it by
	glow     *glow                         // shared by all sites that are lit alike
}

// glow stands for the light of a place: sites that a show had one after the other
// and that light falls in alike share one.
type glow struct{ _ byte } // pointers to nothing need not differ

// shown is a look as a cue shows it: a dark one has no floor light to count in levels.
type shown struct {
	look string
	dark bool
}

// settled is a look compiled.
type settled struct {
	look     *cues.Look
	still    track.Still   // not to be changed; nil when a problem is an error
	motion   *track.Motion // what moves over it; nil when nothing does
	levels   []compile.MeasuredLevel
	problems cues.Problems
}

// newSite compiles a location as one of its set-ups shoots it, in its light where a
// look needs that and the light is at hand; nil when it has errors. Looks that are the same
// at old, nil for none, are not compiled again.
func newSite(show *cues.Show, loc *cues.Location, setup *cues.Setup, lighter Lighter, old *site) (*site, Lighting, cues.Problems) {
	place, problems := compile.Location(show, loc)
	if place == nil {
		return nil, Lighting{}, problems
	}
	place = place.WithSetup(setup)
	s := &site{loc: loc, setup: setup, place: place, names: show.LookNames(loc), needs: place.NeedsLight(), compiled: problems, glow: &glow{}}
	light := Lighting{}
	if s.needs && lighter != nil {
		if kept, ok := lighter.Kept(place); ok && kept.Metered != nil {
			s.place, s.isLit, light = place.WithLight(kept.Metered), true, kept
		}
	}
	s.prepareLooks()
	if old != nil {
		s.inherit(old)
	}
	s.lens = sync.OnceValue(func() *lens { return newLens(s) })
	return s, light, problems
}

// show is the show that the site is of.
func (s *site) show() *cues.Show { return s.place.Show }

// clock is that of the location as its set-up shoots it.
func (s *site) clock() cues.Clock { return s.place.Clock() }

// prepareLooks makes the looks ready to be compiled when they are first asked for.
func (s *site) prepareLooks() {
	s.looks = map[shown]func() settled{}
	for _, name := range s.names {
		look := s.show().Look(s.loc, name)
		s.looks[shown{name, false}] = s.compiler(look, false)
		s.looks[shown{name, true}] = s.looks[shown{name, false}]
		if s.place.LookNeedsLight(look) {
			s.looks[shown{name, true}] = s.compiler(look, true)
		}
	}
}

func (s *site) compiler(look *cues.Look, dark bool) func() settled {
	return sync.OnceValue(func() settled {
		still, motion, report, problems := s.place.MovingOf(look, dark)
		return settled{look, still, motion, report.Levels, problems}
	})
}

// look gives a look compiled, or the refusal that says why not.
func (s *site) look(name string) (settled, error) { return s.lookOf(name, false) }

// lookOf gives a look compiled as a cue shows it, or the refusal that says why not.
func (s *site) lookOf(name string, dark bool) (settled, error) {
	get, ok := s.looks[shown{name, dark}]
	if !ok {
		r := refuse(Unknown, cues.CodeUnknownLook, fmt.Sprintf("there is no look %q at %s", name, s.loc.Name), nearest(name, s.names, "looks"))
		return settled{}, r
	}
	k := get()
	if k.still == nil {
		r := refusalOf(k.problems.Errors()[0], "look "+name)
		r.Kind = Conflict // the request is right, the show is not
		return settled{}, r
	}
	return k, nil
}

// cue gives a cue of the sheet by its number.
func (s *site) cue(number int) (*cues.Cue, error) {
	if number >= 1 && number <= len(s.loc.Cues) {
		return s.loc.Cues[number-1], nil
	}
	mend := fmt.Sprintf("the cue sheet of %s has cues 1 to %d", s.loc.Name, len(s.loc.Cues))
	if len(s.loc.Cues) == 0 {
		mend = fmt.Sprintf("add cues to the location %s, or run a look by its name", s.loc.Name)
	}
	return nil, refuse(Unknown, cues.CodeUnknownCue, fmt.Sprintf("there is no cue %d at %s", number, s.loc.Name), mend)
}

// light gives the settled light of every cell in a still, as the wire carries it.
func (s *site) light(still track.Still) []colour.XYZ {
	cells := make([]colour.XYZ, len(s.place.Cells))
	s.place.Light(s.place.Frame(still, true), cells)
	return cells
}

// bytesOf gives the bytes of the site on the wire, nil just after a change of location,
// while the frame may still be one of the place before.
func (s *site) bytesOf(snap *play.Snapshot) [][]byte {
	universes := s.place.Layout.Universes
	if len(snap.Slots) != len(universes) {
		return nil
	}
	for i := range universes {
		if snap.Addresses[i] != universes[i].Address || len(snap.Slots[i]) != len(universes[i].Base) {
			return nil
		}
	}
	return snap.Slots
}

// nearest hints at the word that was meant, or lists what there is.
func nearest(word string, known []string, what string) string {
	if near := cues.Nearest(word, known); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	if len(known) == 0 {
		return fmt.Sprintf("there are no %s here", what)
	}
	return fmt.Sprintf("the %s here are %s", what, list(known))
}

// listed is how many names an answer gives before it says how many more there are.
const listed = 12

func list(names []string) string {
	text := ""
	for i, n := range names {
		if i == listed {
			return fmt.Sprintf("%s and %d more", text, len(names)-listed)
		}
		if i > 0 {
			text += ", "
		}
		text += n
	}
	return text
}
