package session

import (
	"fmt"
	"reflect"
	"sync"

	"linkboy/colour"
	"linkboy/colour/camera"
	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/play"
	"linkboy/cues/track"
)

// TryRequest asks for a look as edits would make it that nobody has made yet.
type TryRequest struct {
	Look string
	// Live shows it on the set too, where the look is the one that is on.
	Live bool
	// Sketch gives the show that runs with the edits done to it, sharing all but looks and
	// cast with it; ok is false where it cannot. Whole gives it in any case, and takes its
	// time. Both are nil when there are no edits: then what was tried goes from the set.
	Sketch func(show *cues.Show) (edited *cues.Show, ok bool)
	Whole  func() (*cues.Show, error)
}

// Tried is a look as edits would make it.
type Tried struct {
	Look string `json:"look"`
	Live bool   `json:"live"` // it is on the set
	Why  string `json:"why"`  // why it is not, where that was asked for
	// XYZ is the settled light of every cell, X Y Z with Y in lumens; RGB what every
	// source gives the channels of the camera, as LookSeen. One number after the other.
	XYZ   []float32 `json:"xyz"`
	RGB   []float32 `json:"rgb"`
	Paint LookPaint `json:"paint"`
}

// trial is a look compiled to be tried.
type trial struct {
	on, at *site // what runs, and that with the edits
	look   *cues.Look
	still  track.Still
	motion *track.Motion
	report compile.Report
	edited bool
}

// Try gives a look as edits would make it, and shows it on the set where that is asked
// for: by a short fade, from what is on, the newest for all before it. Nothing is kept.
// Any change of what is on ends it, and so does a change of the show. The error is a
// *Refusal; while the set is hot nothing can be tried.
func (s *Session) Try(r TryRequest) (Tried, error) {
	if err := s.coolSet(); err != nil {
		return Tried{}, err
	}
	k, err := s.sketched(r)
	if err != nil {
		return Tried{}, err
	}
	t := Tried{Look: r.Look, Paint: k.at.paintOf(k.look, &k.report), XYZ: flatXYZ(k.at.light(k.still)), RGB: []float32{}}
	if l := k.at.lens(); l.err == nil {
		t.RGB = flatRGB(l.see(k.at.place.Frame(k.still, true), nil))
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.hot {
		return Tried{}, hotSet()
	}
	if !k.edited || !r.Live {
		return t, s.dropTrial(r.Look)
	}
	if t.Why = s.whyBlind(k); t.Why != "" {
		return t, nil
	}
	t.Live = true
	return t, s.showTrial(k.still, k.motion, r.Look)
}

func hotSet() *Refusal {
	return refuse(Conflict, codeHot, "the set is hot: nothing is tried on it", "wait for the cut")
}

func (s *Session) coolSet() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.hot {
		return hotSet()
	}
	return nil
}

// sketched compiles the look that is tried, by the short way where that will do.
func (s *Session) sketched(r TryRequest) (*trial, error) {
	on, bare := s.lit(r.Look)
	if r.Sketch == nil && r.Whole == nil {
		return on.trial(on, r.Look, bare)
	}
	if r.Sketch != nil {
		if show, ok := r.Sketch(on.show()); ok {
			if k, err := s.painted(on, show).trial(on, r.Look, bare); err == nil {
				k.edited = true
				return k, nil
			}
		}
	}
	if r.Whole == nil {
		return nil, refuse(Conflict, cues.CodeBadEdit, "these edits cannot be tried", "make them")
	}
	show, err := r.Whole()
	if err != nil {
		return nil, err
	}
	at, err := s.rebuilt(on, show)
	if err != nil {
		return nil, err
	}
	k, err := at.trial(on, r.Look, bare)
	if err != nil {
		return nil, err
	}
	k.edited = true
	return k, nil
}

// lit gives what is lit, and whether a look is on there as a dark cue shows it.
func (s *Session) lit(look string) (at *site, bare bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.site.Load(), s.now.look == look && s.now.bare
}

// painted gives a site with other looks and another cast, in its light when those need it,
// as the first level that is measured at a mark does.
func (s *Session) painted(on *site, show *cues.Show) *site {
	loc := show.Location(on.loc.Name)
	place := on.place.Painted(show, loc)
	at := &site{loc: loc, setup: on.setup, place: place, names: show.LookNames(loc), needs: place.NeedsLight(), isLit: on.isLit, lens: on.lens, glow: on.glow}
	if at.waits() {
		at.shine(s.lightOf(on, place))
	}
	return at
}

// shine has the looks of a site solved in a light; nil leaves it as it is.
func (s *site) shine(light compile.Metered) {
	if light != nil {
		s.place, s.isLit = s.place.WithLight(light), true
	}
}

// lightOf gives the light of a site to measure by; nil where it is not finished, and when
// another site is lit by now. Until a look measures by it, it is kept in its small form
// alone: place is one whose looks do, and its light falls as that of the site.
func (s *Session) lightOf(on *site, place *compile.Place) compile.Metered {
	s.mu.Lock()
	same, light := s.site.Load() == on, s.light
	s.mu.Unlock()
	if !same {
		return nil
	}
	if light.Metered != nil || s.lighter == nil || light.Stage != lightFinished {
		return light.Metered
	}
	kept, ok := s.lighter.Kept(place)
	if !ok {
		return nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.site.Load() == on && s.light.Hash == kept.Hash {
		s.light.Metered = kept.Metered
	}
	return kept.Metered
}

// rebuilt compiles the place that is on from another show, in its light where that falls
// as it did.
func (s *Session) rebuilt(on *site, show *cues.Show) (*site, error) {
	loc := show.Location(on.loc.Name)
	if loc == nil {
		return nil, unknownLocation(show, on.loc.Name)
	}
	place, problems := compile.Location(show, loc)
	if place == nil {
		return nil, refusalOf(problems.Errors()[0], "location "+loc.Name)
	}
	setup := loc.Setup(on.setupName())
	place = place.WithSetup(setup)
	at := &site{loc: loc, setup: setup, place: place, names: show.LookNames(loc), needs: place.NeedsLight(), glow: &glow{}}
	at.lens = sync.OnceValue(func() *lens { return newLens(&site{loc: loc, setup: setup, place: place}) })
	if !at.needs {
		return at, nil
	}
	a, b := on.lens().stage, at.lens().stage
	if a != nil && b != nil && reflect.DeepEqual(a.Place, b.Place) {
		at.shine(s.lightOf(on, place))
	}
	return at, nil
}

// trial compiles a look of the site to be tried where on runs.
func (s *site) trial(on *site, name string, bare bool) (*trial, error) {
	look := s.show().Look(s.loc, name)
	if look == nil {
		return nil, refuse(Unknown, cues.CodeUnknownLook, fmt.Sprintf("there is no look %q at %s", name, s.loc.Name), nearest(name, s.names, "looks"))
	}
	k := &trial{on: on, at: s, look: look}
	var problems cues.Problems
	if k.still, k.motion, k.report, problems = s.place.MovingOf(look, bare); k.still == nil {
		return nil, refusalOf(problems.Errors()[0], "look "+name)
	}
	return k, nil
}

// whyBlind tells why a trial cannot be shown on the set now, "" when it can. s.mu must be
// held.
func (s *Session) whyBlind(k *trial) string {
	snap := s.snapshot()
	switch {
	case s.site.Load() != k.on:
		return "the place has just changed"
	case s.now.look != k.look.Name || s.now.shot != nil:
		return fmt.Sprintf("look %q is not the one that is on", k.look.Name)
	case s.now.killed:
		return "all is killed"
	case s.now.work:
		return "work light is on"
	case s.now.pointing != nil:
		return "a lamp is pointed at"
	case s.running(snap):
		return "a fade runs"
	case s.count != nil:
		return "a cue is counted in"
	case !k.at.isLit && k.at.place.LookNeedsLight(k.look):
		return "its levels are measured at marks, and the light of the place is not there yet"
	case k.at.place.Layout != k.on.place.Layout && !k.on.place.Carry(k.at.place).Same():
		return "the edits change the rig too"
	}
	return ""
}

// showTrial brings what is tried to the set. s.mu must be held.
func (s *Session) showTrial(still track.Still, motion *track.Motion, look string) error {
	if err := s.slideTo(still, motion); err != nil {
		return err
	}
	if s.trying != look {
		s.trying = look
		s.wantReady() // a cue starts from elsewhere now
		s.changed()
	}
	return nil
}

// dropTrial brings the set back from what is tried of a look. s.mu must be held.
func (s *Session) dropTrial(look string) error {
	if s.trying != look || look == "" {
		return nil
	}
	if err := s.slideTo(s.now.still, s.now.motion); err != nil {
		return err
	}
	s.trying = ""
	s.wantReady()
	s.changed()
	return nil
}

// slideTo fades from what is on to a still, in the time of an edit. It is no fade of the
// session: nobody holds, rides or turns it. s.mu must be held.
func (s *Session) slideTo(to track.Still, motion *track.Motion) error {
	fade, err := s.site.Load().place.Fade(s.onSet(s.snapshot()), to, compile.Timing{Fade: editFade})
	if err != nil {
		return refusalOf(err, "")
	}
	s.flip(fade.From, to, motion)
	_, err = s.engine.Start(fade, play.StartOptions{Dark: s.now.dark, Motion: motion, GoOn: true})
	return stopped(err)
}

// tryWarnings tells a take that rolls, or is about to, what it has on set. s.mu must be held.
func (s *Session) tryWarnings() []Warning {
	if s.trying == "" {
		return nil
	}
	return []Warning{{
		Code: codeTried, Where: "look " + s.trying, Mend: "cut, then save it or let it go",
		Message: fmt.Sprintf("the set shows look %q as it is being tried, which is in no file", s.trying),
	}}
}

func flatXYZ(cells []colour.XYZ) []float32 {
	out := make([]float32, 0, 3*len(cells))
	for _, c := range cells {
		out = append(out, float32(c.X), float32(c.Y), float32(c.Z))
	}
	return out
}

func flatRGB(seen []camera.RGB) []float32 {
	out := make([]float32, 0, 3*len(seen))
	for _, c := range seen {
		out = append(out, float32(c.R), float32(c.G), float32(c.B))
	}
	return out
}
