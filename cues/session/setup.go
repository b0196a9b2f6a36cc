package session

import (
	"fmt"
	"slices"
	"time"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/showfile"
)

// setupFade is how long the set takes to the look that is on as another set-up has it,
// when nothing else is said: quick between takes, and no jump.
const setupFade = time.Second

// SetupRequest asks for a set-up of the location.
type SetupRequest struct {
	Setup string // "" is the first
	Fade  string // "1 s"; "" is that
}

// Setup chooses the set-up that is shot: every look is compiled as it trims it, and the
// stand-by with them; times are those of its camera. The look that is on fades there;
// under work light or a kill it waits for what covers it to go. It is for between
// takes: while a cue runs, or one is to follow by itself, it is refused.
func (s *Session) Setup(r SetupRequest) error {
	for {
		on := s.site.Load()
		u, err := on.setupNamed(r.Setup)
		if err != nil {
			return err
		}
		if u == on.setup {
			return nil
		}
		// Compiling takes a while, which other verbs do not wait for.
		if done, err := s.shootBy(on, on.shotBy(u), r.Fade); done {
			return err
		}
	}
}

// shootBy puts next in the place of the site on; done is false when that is on no more.
func (s *Session) shootBy(on, next *site, fade string) (done bool, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.site.Load() != on {
		return false, nil
	}
	if s.hot {
		return true, refuse(Conflict, codeHot, "a take rolls: the set-up stays as it is", "cut first")
	}
	if s.rideable(s.snapshot()) || s.follow != nil {
		return true, refuse(Conflict, codeCueRuns, "a cue runs, or one is to follow by itself: the set-up stays as it is",
			"choose the set-up when the set has settled, or snap first")
	}
	timing := compile.Timing{Fade: setupFade}
	if fade != "" {
		d, problem := showfile.ParseDuration(fade)
		if problem != nil {
			return true, refusalOf(problem, "fade")
		}
		if timing.Fade, err = d.Real(next.place.Clock()); err != nil {
			return true, refusalOf(err, "fade")
		}
	}
	s.site.Store(next)
	s.revision++ // pages draw the looks anew
	s.setups[next.loc.Name] = next.setup.Name
	if next.setup == next.loc.Setups[0] {
		delete(s.setups, next.loc.Name)
	}
	s.loaded = nil
	if err := s.reshoot(next, timing); err != nil {
		return true, err
	}
	s.standAgain()
	s.wantReady()
	s.settle()
	s.changed()
	return true, nil
}

// reshoot takes what is on, and what was on before, to the looks of a new site of the
// same place. s.mu must be held.
func (s *Session) reshoot(next *site, timing compile.Timing) error {
	if b := &s.before; b.known && b.look != "" {
		if k, err := next.lookOf(b.look, b.dark); err == nil {
			b.still, b.motion = k.still, k.motion
		}
	}
	k, err := next.lookOf(s.now.look, s.now.bare)
	if err != nil {
		return nil // no look is on, or one that is no more: what there is stays
	}
	if s.now.overlaid() || s.now.killed {
		s.now.still, s.now.motion, s.now.under, s.now.short = k.still, k.motion, nil, 0
		return nil
	}
	if slices.Equal(k.still, s.now.still) && k.motion == nil && s.now.motion == nil && s.trying == "" {
		return nil
	}
	before := s.now.motion
	s.now.motion = k.motion // that the fade leads to
	if err := s.start(nil, k.still, timing, s.startOf(), s.now.look, s.now.look); err != nil {
		s.now.motion = before
		return err
	}
	s.now.still = k.still
	return nil
}

// setupAt gives the set-up that was chosen at a location, else its first, nil for none.
func (s *Session) setupAt(loc *cues.Location) *cues.Setup {
	if name := s.setups[loc.Name]; name != "" {
		if u := loc.Setup(name); u != nil {
			return u
		}
		delete(s.setups, loc.Name)
		s.loaded = append(s.loaded, Warning{
			Code: codeSetupGone, Where: loc.Name, Mend: "choose the set-up that is shot",
			Message: fmt.Sprintf("the set-up %q that was chosen is no part of the location any more", name),
		})
	}
	if len(loc.Setups) == 0 {
		return nil
	}
	return loc.Setups[0]
}

// setupNamed finds a set-up of the site; "" is the first.
func (s *site) setupNamed(name string) (*cues.Setup, error) {
	if u := s.loc.Setup(name); u != nil {
		return u, nil
	}
	if name == "" {
		if len(s.loc.Setups) == 0 {
			return nil, nil
		}
		return s.loc.Setups[0], nil
	}
	var known []string
	for _, u := range s.loc.Setups {
		known = append(known, u.Name)
	}
	return nil, refuse(Unknown, cues.CodeUnknownSetup, fmt.Sprintf("there is no set-up %q at %s", name, s.loc.Name), nearest(name, known, "set-ups"))
}

func (s *site) setupName() string {
	if s.setup == nil {
		return ""
	}
	return s.setup.Name
}
