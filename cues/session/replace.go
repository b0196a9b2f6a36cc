package session

import (
	"fmt"
	"reflect"
	"slices"
	"time"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/play"
	"linkboy/cues/track"
)

// editFade is how long what a change of the show does to the set takes: long
// enough to be no jump, short enough to follow a hand.
const editFade = 300 * time.Millisecond

// Replace takes in a changed show, loaded without errors and not to be changed,
// without disturbing what is on. What is on keeps its bytes; looks, cue sheet,
// rig and plan are those of the new show, and what stands by is the same cue, if
// it is still there.
//
// With live, the look that is on takes its new form in a short fade, if the change
// gave it one; else it stays as it is until it is run again, and a warning says so.
// Lamps that left the rig go dark in that fade, lamps that came show what the look
// has for them, without live nothing.
//
// While the set is hot the change waits for the cut, and waits is true. The error is
// a *Refusal when the show cannot be lit from here: what runs is then as it was.
func (s *Session) Replace(show *cues.Show, live bool) (waits bool, err error) {
	s.replacing.Lock()
	defer s.replacing.Unlock()
	for {
		if s.queueIfHot(show, live) {
			return true, nil
		}
		r, err := s.renew(show, live)
		if err != nil {
			return false, err
		}
		if done, err := s.exchange(r); done || err != nil {
			return false, err
		}
	}
}

// renewal is a site and the one that is to take its place.
type renewal struct {
	old, next *site
	live      bool
	light     Lighting // of next, where it is not that of old
	sameLight bool
	carry     *compile.Carry
}

// renew compiles the place that is lit anew, of another show.
func (s *Session) renew(show *cues.Show, live bool) (*renewal, error) {
	old := s.site.Load()
	loc := show.Location(old.loc.Name)
	if loc == nil {
		r := unknownLocation(show, old.loc.Name)
		r.Kind, r.Code = Conflict, codeLocationLit
		r.Message = fmt.Sprintf("the location %q is lit, and the changed show has none of that name", old.loc.Name)
		r.Mend = "give it its name back, or switch to another location first"
		return nil, r
	}
	s.mu.Lock()
	setup := s.setupAt(loc)
	s.mu.Unlock()
	next, light, problems := newSite(show, loc, setup, s.lighter, old)
	if next == nil {
		r := refusalOf(problems.Errors()[0], "location "+loc.Name)
		r.Kind = Conflict
		return nil, r
	}
	r := &renewal{old: old, next: next, live: live, light: light}
	r.next.compileLooks()
	if s.lighter != nil {
		s.relight(r)
	}
	r.carry = old.place.Carry(r.next.place)
	return r, nil
}

// relight lets a place keep its light if nothing that it falls on or comes from has
// changed.
func (s *Session) relight(r *renewal) {
	a, b := r.old.lens().stage, r.next.lens().stage
	if a == nil || b == nil || !reflect.DeepEqual(a.Place, b.Place) {
		return
	}
	s.mu.Lock()
	light := s.light
	s.mu.Unlock()
	done := light.Stage != "" && !r.old.waits()
	switch {
	case !r.next.waits():
	case light.Metered != nil:
		r.next = r.next.inLight(light.Metered)
	case done:
		return // finished, and not taken apart: nobody measured by it
	}
	r.sameLight, r.next.glow = true, r.old.glow
}

// exchange makes the new site the one that is lit. It is false when something else
// was done to the place meanwhile.
func (s *Session) exchange(r *renewal) (done bool, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.site.Load() != r.old || s.hot {
		return false, nil
	}
	to, edited := s.aim(r)
	edited = edited || s.trying != "" // what was tried was of the show before
	if err := s.bring(r, to, edited); err != nil {
		return false, stopped(err)
	}
	s.carryNow(r, to, edited)
	s.carrySheet(r)
	if !r.sameLight {
		s.light = r.light
		select {
		case s.moved <- struct{}{}:
		default:
		}
	}
	s.revision++
	s.leftOut, s.trying = nil, ""
	s.wantReady()
	s.settle()
	s.changed()
	return true, nil
}

// aim gives what the look that is on is to be at the new site, and whether that is
// more than what is left of what it was.
func (s *Session) aim(r *renewal) (to track.Still, edited bool) {
	is := s.shownAt(r.next)
	to = r.kept(s.now.still, is)
	if !r.live || is == nil || s.now.shot == nil && r.next.waits() && r.next.place.LookNeedsLight(r.next.show().Look(r.next.loc, s.now.look)) {
		return to, false // what is measured cannot be told until the light is there
	}
	if was := s.shownAt(r.old); was != nil && slices.Equal(r.carry.Still(was, is, is), is) && r.movesAsBefore(s.now.look, s.now.bare) {
		return to, false // this change did nothing to it; what others left undone stays so
	}
	return is, true
}

// movesAsBefore tells whether a look has the movement that it had.
func (r *renewal) movesAsBefore(look string, dark bool) bool {
	was, is := r.old.motionOf(look, dark), r.next.motionOf(look, dark)
	return was == nil && is == nil || r.carry.Same() && reflect.DeepEqual(was, is)
}

// motion gives the movement of the look that is on at the new site. It is the very same
// one where the change did nothing to the look, so that a fade lets it go on. s.mu must be
// held.
func (s *Session) motion(r *renewal, edited bool) *track.Motion {
	if r.carry.Same() && !edited {
		return s.now.motion
	}
	return r.next.motionOf(s.now.look, s.now.bare)
}

// kept gives a still of the old site at the new one; is is that of the look, nil for none.
func (r *renewal) kept(s, is track.Still) track.Still {
	dark := r.next.place.Dark()
	if is == nil {
		return r.carry.Still(s, dark, dark)
	}
	if r.live {
		return r.carry.Still(s, is, is)
	}
	return r.carry.Still(s, is, dark)
}

// shownAt is what is on, a look or a take, as a site shows it; nil where it cannot be.
func (s *Session) shownAt(at *site) track.Still {
	if s.now.shot == nil {
		return at.stillOf(s.now.look, s.now.bare)
	}
	still, _ := s.now.shot.on(at.place)
	return still
}

// stillOf is the still of a look, nil where it cannot be shown.
func (s *site) stillOf(look string, dark bool) track.Still {
	k, err := s.lookOf(look, dark)
	if err != nil {
		return nil
	}
	return k.still
}

// motionOf is the movement of a look, nil for none.
func (s *site) motionOf(look string, dark bool) *track.Motion {
	k, err := s.lookOf(look, dark)
	if err != nil {
		return nil
	}
	return k.motion
}

// bring brings the set to the new site. s.mu must be held.
func (s *Session) bring(r *renewal, to track.Still, edited bool) error {
	place, snap := r.next.place, s.snapshot()
	is := s.shownAt(r.next)
	on := slices.Clone(s.onSet(snap))
	running := s.running(snap) && !s.now.killed && s.now.fade != nil
	shown := r.kept(on, is)
	switch {
	case s.now.work:
		shown = place.Work()
	case s.now.pointing != nil:
		if shown = s.pointedAt(r); shown == nil {
			shown = to
		}
	case s.now.killed:
		shown = to
	case edited:
		shown = to
	}
	if r.carry.Same() && (s.now.killed || slices.Equal(shown, on) && !edited || running && !s.now.overlaid() && !edited) {
		return nil
	}
	s.turnIfElsewhere(r)
	if running && !s.now.overlaid() {
		return s.moveFade(r, to, edited, snap)
	}
	motion := s.motion(r, edited)
	if s.now.overlaid() || s.now.killed {
		motion = nil
	}
	if r.carry.Same() {
		s.flip(on, shown, motion)
	}
	return s.engine.Replace(place.Layout, shown, motion, editFade)
}

// moveFade lets the fade that runs go on at the new site from where it is, to where
// the look goes now. What the engine makes of it differs from what is on by less
// than the edit did, and goes over in the time of an edit.
func (s *Session) moveFade(r *renewal, to track.Still, edited bool, snap *play.Snapshot) error {
	place, is := r.next.place, s.shownAt(r.next)
	if !edited || !slices.Equal(s.now.fade.To, s.now.still) { // it may go to what work light covered
		to = r.kept(s.now.fade.To, is)
	}
	timing := place.Able(s.now.timing)
	fade, err := place.Fade(r.kept(s.now.fade.From, is), to, timing)
	if err != nil {
		return err
	}
	at := play.StartOptions{At: snap.Progress, Hold: snap.Held, Dark: s.now.dark, Motion: s.motion(r, edited)}
	if err := s.engine.Replace(place.Layout, fade.From, nil, editFade); err != nil {
		return err
	}
	id, err := s.engine.Start(fade, at)
	if err != nil {
		return err
	}
	if s.now.changeID == s.now.fadeID {
		s.now.changeID = id
	}
	if s.follow != nil && s.follow.fade == s.now.fadeID {
		s.follow.fade = id
	}
	s.now.fadeID, s.now.fade, s.now.timing = id, fade, timing
	return nil
}

// turnIfElsewhere tells the output of the new site where its universes or their ways
// differ.
func (s *Session) turnIfElsewhere(r *renewal) {
	if !slices.Equal(r.old.loc.Ports(), r.next.loc.Ports()) || !reflect.DeepEqual(r.old.loc.Outputs, r.next.loc.Outputs) {
		s.turn(r.next.loc)
	}
}

// carryNow takes what is on, and what it covers or came from, to the new site.
func (s *Session) carryNow(r *renewal, to track.Still, edited bool) {
	s.now.motion = s.motion(r, edited)
	is := s.shownAt(r.next)
	s.now.still = to
	s.carryPointing(r)
	if s.now.under != nil {
		s.now.under = r.kept(s.now.under, is)
	}
	if s.now.shot != nil {
		_, s.now.shot = s.now.shot.on(r.next.place)
	}
	if b := &s.before; b.known {
		was := r.next.stillOf(b.look, b.dark)
		if b.shot != nil {
			was, b.shot = b.shot.on(r.next.place)
		}
		if was == nil {
			was = r.kept(b.still, nil)
		}
		b.still, b.motion, b.timing = was, r.next.motionOf(b.look, b.dark), r.next.place.Able(b.timing)
	}
	if !r.carry.Same() {
		s.flashes = flashes{}
	}
	s.site.Store(r.next)
}
