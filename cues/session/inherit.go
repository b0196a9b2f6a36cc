package session

import (
	"reflect"
	"strings"

	"linkboy/cues"
)

// inherit takes over the looks that another site of the same location has compiled and
// that are the same here: most edits are of one look of many, and to watch one that moves
// for flashes costs more than all else. Looks that are measured at marks are compiled
// anew, as their light may be another.
func (s *site) inherit(old *site) {
	if !alikeBut(s, old) {
		return
	}
	for _, name := range s.names {
		look, was := s.show().Look(s.loc, name), old.show().Look(old.loc, name)
		get := old.looks[shown{name, false}]
		if was == nil || get == nil || s.place.LookNeedsLight(look) || !sameLook(s, look, old, was) {
			continue
		}
		k := get() // now: what is kept must not keep the site before it
		k.look = look
		again := func() settled { return k }
		s.looks[shown{name, false}], s.looks[shown{name, true}] = again, again
	}
}

// alikeBut tells whether two sites differ in their looks, their cast and their cue sheet at
// most, and in nothing that other looks are compiled by.
func alikeBut(a, b *site) bool {
	show := func(s *site) cues.Show {
		out := *s.show()
		out.Dir, out.Title, out.Cast, out.Looks, out.Locations = "", "", nil, nil, nil
		if out.Safety.Floor.Colour.Cast != "" || out.Safety.Work.Colour.Cast != "" {
			out.Cast = s.show().Cast
		}
		return out
	}
	loc := func(s *site) cues.Location {
		out := *s.loc
		out.Title, out.Looks, out.Cues = "", nil, nil
		return out
	}
	return a.loc.Name == b.loc.Name && a.setupName() == b.setupName() &&
		reflect.DeepEqual(show(a), show(b)) && reflect.DeepEqual(loc(a), loc(b))
}

// sameLook tells whether a look says the same at two sites, with all that it starts from
// and everybody whose colours it has.
func sameLook(a *site, look *cues.Look, b *site, was *cues.Look) bool {
	mine, others := a.show().Lineage(a.loc, look), b.show().Lineage(b.loc, was)
	return reflect.DeepEqual(mine, others) && reflect.DeepEqual(a.worn(look, mine), b.worn(was, others))
}

// worn gives whose colours the paint of a look names.
func (s *site) worn(look *cues.Look, lineage []*cues.Look) map[string]*cues.Character {
	who := map[string]*cues.Character{"": s.show().Wears(s.loc, look)}
	for _, layer := range lineage {
		for _, paint := range layer.Paint {
			for _, c := range paint.Colours {
				if name, _, dotted := strings.Cut(c.Cast, "."); dotted {
					who[name] = s.show().Character(name)
				}
			}
		}
	}
	return who
}
