package session

import (
	"fmt"
	"slices"

	"linkboy/cues"
	"linkboy/cues/track"
)

// Location switches to another place of the show, at once: to the look it had
// when it was left, else to that of its first cue. Work light and kill stay.
func (s *Session) Location(name string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	show := s.Show()
	loc := show.Location(name)
	if loc == nil {
		return unknownLocation(show, name)
	}
	if loc == s.site.Load().loc {
		return nil
	}
	loaded := s.loaded
	s.loaded = nil
	site, light, problems := newSite(show, loc, s.setupAt(loc), s.lighter, nil)
	if site == nil {
		s.loaded = loaded
		return refusalOf(problems.Errors()[0], "location "+name)
	}
	if err := s.arrive(site, light, state{Look: s.visited[name]}); err != nil {
		return stopped(err)
	}
	s.settle()
	s.changed()
	return nil
}

func unknownLocation(show *cues.Show, name string) *Refusal {
	var known []string
	for _, l := range show.Locations {
		known = append(known, l.Name)
	}
	return refuse(Unknown, cues.CodeUnknownLocation, fmt.Sprintf("the show has no location %q", name), nearest(name, known, "locations"))
}

// arrive makes a place the one that is lit, in the look that is remembered of
// it. s.mu must be held.
func (s *Session) arrive(site *site, light Lighting, kept state) error {
	still, shot := kept.Shot.opens(site.place)
	look, cue, motion := kept.Look, 0, (*track.Motion)(nil)
	if shot == nil {
		look, cue = s.opening(site, kept)
		still = site.place.Dark()
	}
	if look != "" && shot == nil {
		k, _ := site.look(look) // opening has seen that it can be shown
		still, motion = k.still, k.motion
	}
	shown, moves := still, motion
	if s.now.work {
		shown, moves = site.place.Work(), nil
	}
	s.turn(site.loc)
	if err := s.engine.LoadMoving(site.place.Layout, slices.Clone(shown), moves); err != nil {
		return err
	}
	s.site.Store(site)
	s.light = light
	select {
	case s.moved <- struct{}{}:
	default:
	}
	s.revision++
	// Floor light is on after a switch, also in the look of a dark cue: people have just come.
	s.now.look, s.now.cue, s.now.still, s.now.motion, s.now.dark, s.now.shot = look, cue, still, motion, false, shot
	s.now.bare = false
	s.now.fadeID, s.now.fade, s.now.under, s.now.short, s.now.pointing, s.trying = 0, nil, nil, 0, nil, ""
	s.before, s.follow, s.count, s.standby, s.flashes = departure{}, nil, nil, nil, flashes{}
	s.timed(site.loc.Cues)
	if look != "" && shot == nil {
		s.visited[site.loc.Name] = look
	}
	if n := kept.Standby; n >= 1 && n <= len(site.loc.Cues) {
		s.standBy(site.loc.Cues[n-1])
		return nil
	}
	if cue == 0 && look == "" && len(site.loc.Cues) > 0 {
		s.standBy(site.loc.Cues[0])
	} else {
		s.advance(cue, look)
	}
	return nil
}

// opening chooses the look to begin with: the one kept, else that of the first
// cue that can be shown, else none, which leaves the floor light.
func (s *Session) opening(site *site, kept state) (look string, cue int) {
	if kept.Look != "" {
		if _, err := site.look(kept.Look); err == nil {
			if n := kept.Cue; n >= 1 && n <= len(site.loc.Cues) && site.loc.Cues[n-1].Look == kept.Look {
				return kept.Look, n
			}
			return kept.Look, 0
		}
		s.loaded = append(s.loaded, Warning{
			Code: codeLookGone, Where: site.loc.Name, Mend: "run the look that should be on",
			Message: fmt.Sprintf("the look %q that was on cannot be shown any more", kept.Look),
		})
	}
	for _, c := range site.loc.Cues {
		if _, err := site.look(c.Look); err == nil {
			return c.Look, c.Number
		}
	}
	return "", 0
}
