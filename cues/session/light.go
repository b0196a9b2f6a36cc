package session

import (
	"context"
	"fmt"
	"slices"

	"linkboy/cues"
	"linkboy/cues/compile"
)

// Lighter has the light of places computed, elsewhere.
type Lighter interface {
	// Kept gives the finished light of a place if it is at hand.
	Kept(place *compile.Place) (Lighting, bool)
	// Light gives the light of a place, each stage better than the one before. The
	// channel is closed after the last, or when ctx ends; it is read until then. Nothing
	// at all comes of a Lighter that has no light for the place and computes none.
	Light(ctx context.Context, place *compile.Place) <-chan Lighting
}

// Lighting is one stage of the computed light of a place.
type Lighting struct {
	Stage   string // coarse, direct, bounced
	Hash    string // of the place, and of the stage before it is finished
	Encoded []byte // the light map as colour/transport encodes it; not to be changed
	// Metered is there when the light is finished and a look measures by it.
	Metered compile.Metered
	Err     error // it could not be computed; nothing follows
}

// What a Light says beside the stages.
const (
	lightComputing = "computing"
	lightFailed    = "failed"
	lightNone      = "none" // and nobody computes it
)

// lightFinished is the last of the stages: colour/transport's Bounced.
const lightFinished = "bounced"

// Light gives the light of the place that is lit, as far as it is computed. It is not to
// be changed.
func (s *Session) Light() Lighting {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.lighting()
}

// lighting is the light with the word for how far it is. s.mu must be held.
func (s *Session) lighting() Lighting {
	l := s.light
	switch {
	case l.Err != nil:
		l.Stage = lightFailed
	case l.Stage == "":
		l.Stage = lightComputing
	}
	return l
}

// lightState gives how far the light is; nil when nobody computes it. s.mu must be held.
func (s *Session) lightState() *Light {
	if s.lighter == nil {
		return nil
	}
	l := s.lighting()
	return &Light{l.Stage, l.Hash}
}

// illuminate asks for the light of the place that is lit, and anew when that changes.
func (s *Session) illuminate(ctx context.Context) {
	if s.lighter == nil {
		return
	}
	for ctx.Err() == nil {
		s.await(ctx)
	}
}

// await takes in the light of one place, and returns when there is another.
func (s *Session) await(ctx context.Context) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	select {
	case <-s.moved: // to where we look now
	default:
	}
	site := s.site.Load()
	var stages <-chan Lighting
	if !site.isLit { // else it was at hand when the place was compiled
		stages = s.lighter.Light(ctx, site.place)
	}
	for {
		select {
		case <-ctx.Done():
			return
		case <-s.moved:
			return
		case l, open := <-stages:
			if !open {
				stages = nil
				s.noLight(site)
				continue
			}
			s.shed(site.glow, l)
		}
	}
}

// shed takes in one stage of the light of a site. When levels can be solved by it, the
// looks are compiled anew and what stands by with them; the set itself changes with the
// next cue and not before: a set that changes by itself could spoil a take.
func (s *Session) shed(on *glow, l Lighting) {
	for again := true; again; {
		site := s.site.Load()
		if site.glow != on {
			return // the place has changed meanwhile
		}
		lit := litBy(site, l)
		again = !s.lightUp(site, lit, l)
	}
}

// litBy gives a site in a light that its looks wait for; nil where they do not.
func litBy(s *site, l Lighting) *site {
	if l.Metered == nil || !s.waits() {
		return nil
	}
	return s.inLight(l.Metered)
}

// lightUp makes a stage of the light that of a site, which becomes lit when that is not
// nil. It is false when there is another site meanwhile.
func (s *Session) lightUp(on, lit *site, l Lighting) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.site.Load() != on {
		return false
	}
	if l.Err != nil {
		s.log.Warn("the light of a place could not be computed", "location", on.loc.Name, "error", l.Err)
		s.light.Err = l.Err // what there is stays
	} else {
		s.light = l
	}
	if lit != nil {
		s.site.Store(lit)
		s.revision++ // pages draw the looks anew
		s.standAgain()
	}
	s.changed()
	return true
}

// noLight takes in that no more light of a site comes.
func (s *Session) noLight(on *site) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.site.Load() == on && s.light.Stage == "" && s.light.Err == nil {
		s.light.Stage = lightNone
		s.changed()
	}
}

// standAgain makes what stands by ready again. s.mu must be held.
func (s *Session) standAgain() {
	k := s.standby
	if k == nil {
		return
	}
	site := s.site.Load()
	if k.cue > 0 && k.cue <= len(site.loc.Cues) {
		s.standBy(site.loc.Cues[k.cue-1])
		return
	}
	found, err := site.lookOf(k.look, k.dark)
	if err != nil {
		return
	}
	again := *k
	again.still, again.motion, again.fade = found.still, found.motion, nil
	s.standby = &again
	s.wantReady()
}

// waits tells whether a look here needs light that the site has not got.
func (s *site) waits() bool { return s.needs && !s.isLit }

// inLight gives the same site in its light, every look compiled.
func (s *site) inLight(m compile.Metered) *site {
	return s.again(s.place.WithLight(m), s.setup, true)
}

// shotBy gives the same site as another of its set-ups shoots it, every look compiled.
func (s *site) shotBy(u *cues.Setup) *site {
	return s.again(s.place.WithSetup(u), u, s.isLit)
}

func (s *site) again(place *compile.Place, u *cues.Setup, isLit bool) *site {
	out := &site{loc: s.loc, setup: u, place: place, names: s.names, needs: s.needs, isLit: isLit, lens: s.lens, glow: s.glow}
	out.prepareLooks()
	if u == s.setup {
		out.inherit(s)
	}
	out.compileLooks()
	out.compiled = s.compiled
	out.watchFlashes()
	return out
}

// compileLooks compiles every look now.
func (s *site) compileLooks() {
	for _, get := range s.looks {
		get()
	}
}

// outdated tells whether the look that is on went on in another form than it has now:
// before it was edited, or before its levels could be solved.
// s.mu must be held.
func (s *Session) outdated() bool {
	site := s.site.Load()
	if s.now.look == "" {
		return false
	}
	k, err := site.lookOf(s.now.look, s.now.bare)
	return err == nil && !slices.Equal(k.still, s.now.still)
}

// lightWarnings tells what the light of the place lacks. s.mu must be held.
func (s *Session) lightWarnings() []Warning {
	var out []Warning
	if s.light.Err != nil {
		out = append(out, Warning{
			Code: codeLightFailed, Where: s.site.Load().loc.Name,
			Message: fmt.Sprintf("the light of the place could not be computed: %v", s.light.Err),
			Mend:    "see linkboy check; levels at marks are not solved, and everything else works",
		})
	}
	if s.outdated() {
		why := "this look was edited after it went on, and the set shows what it was"
		if site := s.site.Load(); site.isLit && site.place.LookNeedsLight(site.show().Look(site.loc, s.now.look)) {
			why = "this look went on before it was edited, or before the light of the place was computed by which its levels are measured at marks"
		}
		out = append(out, Warning{
			Code: codeLookOutdated, Where: "look " + s.now.look, Mend: "run the look again when a change of light does no harm", Message: why,
		})
	}
	return out
}
