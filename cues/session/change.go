package session

import (
	"math"
	"slices"
	"time"

	"linkboy/cues/compile"
	"linkboy/cues/play"
	"linkboy/cues/track"
)

// departure is the look before: what back goes to once the set has settled.
type departure struct {
	known  bool
	look   string
	cue    int
	still  track.Still
	motion *track.Motion
	dark   bool
	shot   *shot
	// overall is the level it was on under, where the change that left it came with
	// one of its own.
	overall *float64
	timing  compile.Timing // of the change that left it
	// way is how long it takes to go back to it, at the pace of the fades that
	// led here, from where the fade that runs began: going round in the middle
	// of other fades must not be faster than they were.
	way time.Duration
}

// change is a step to another look.
type change struct {
	look   string
	cue    int // 0 for none of the sheet
	still  track.Still
	motion *track.Motion // what moves over it
	goOn   bool          // if that still moves, it goes on from where it is
	dark   bool
	timing compile.Timing
	fade   *track.Fade // compiled ahead; used only if it begins with what is on
	at     *float64    // put it here and hold it
	shot   *shot       // that it shows; nil for a look
	// overall is the level that comes with it; nil leaves it.
	overall *float64
}

// rideWay is how long the fade of a change without a time is made when it is
// to be ridden: riding needs a way.
const rideWay = time.Second

// run makes a change of look: it ends work light and kill. s.mu must be held.
func (s *Session) run(c change) error {
	if c.at != nil && c.timing.Total() == 0 {
		c.timing.Fade, c.fade = rideWay, nil
	}
	opt := play.StartOptions{Dark: c.dark, Motion: c.motion, GoOn: c.goOn}
	if c.at != nil {
		opt.At, opt.Hold = *c.at, true
	}
	again := c.look == s.now.look
	snap := s.snapshot()
	left := departure{
		known: true, look: s.now.look, cue: s.now.cue, still: s.now.still, motion: s.now.motion, dark: s.now.dark,
		shot: s.now.shot, timing: c.timing, way: s.rest(snap),
	}
	if c.overall != nil {
		left.overall = new(s.now.overall)
	}
	if again { // the same look once more leaves the way back open
		left = s.before
		left.way = s.wayBack(snap)
	}
	if err := s.start(c.fade, c.still, c.timing, opt, s.leaving(again, snap), c.look); err != nil {
		return err
	}
	s.before, s.now.changeID = left, s.now.fadeID
	s.now.look, s.now.cue, s.now.still, s.now.motion, s.now.dark = c.look, c.cue, c.still, c.motion, c.dark
	s.now.shot = c.shot
	s.overallWith(c)
	s.now.bare = c.dark
	s.leaveWork()
	s.now.pointing = nil
	s.now.killed, s.now.short, s.loaded = false, 0, nil
	if c.shot == nil {
		s.visited[s.site.Load().loc.Name] = c.look
	}
	s.wantReady() // the stand-by will start from another look
	return nil
}

// overallWith moves overall to the level that comes with a change, in its time.
func (s *Session) overallWith(c change) {
	if c.overall == nil || *c.overall == s.now.overall {
		return
	}
	s.now.overall = *c.overall
	if !s.now.work { // else leaving work light goes there
		s.glideTo(s.now.overall, max(c.timing.Total(), glideSteps))
	}
}

// leaving names what a change goes away from.
func (s *Session) leaving(again bool, snap *play.Snapshot) string {
	switch {
	case s.now.killed:
		return ""
	case s.now.work:
		return workName
	case s.now.pointing != nil:
		return pointName(s.now.pointing.lamp)
	case again && s.running(snap):
		return s.now.fadeFrom
	}
	return s.now.look
}

// rest is how long it takes until the look that is on is there.
func (s *Session) rest(snap *play.Snapshot) time.Duration {
	switch {
	case s.now.killed:
		return killBack + s.now.short
	case s.now.overlaid():
		return workOff + s.now.short
	case s.running(snap):
		return snap.Remaining + s.now.short
	}
	return s.now.short
}

// wayBack is how long the way back to the look before is from here.
func (s *Session) wayBack(snap *play.Snapshot) time.Duration {
	if s.turns(snap) {
		return s.before.way + time.Duration(math.Round(snap.Progress*float64(snap.Total)))
	}
	return max(s.before.timing.Total(), s.rest(snap))
}

// turns tells whether the fade from the look before still runs, so that back
// turns it round.
func (s *Session) turns(snap *play.Snapshot) bool {
	return s.running(snap) && s.now.fadeID == s.now.changeID && !s.now.killed && !s.now.overlaid()
}

// start compiles the fade from what is on now, unless ready does it already,
// and hands it to the engine. Nothing waits for a follow cue or a count any more.
func (s *Session) start(ready *track.Fade, to track.Still, timing compile.Timing, opt play.StartOptions, fromName, toName string) error {
	on := s.onSet(s.snapshot())
	fade := ready
	if fade == nil || !slices.Equal(fade.From, on) {
		var err error
		if fade, err = s.site.Load().place.Fade(on, to, timing); err != nil {
			return refusalOf(err, "")
		}
	}
	if fade.Total < slowest {
		s.flip(fade.From, to, opt.Motion)
	}
	id, err := s.engine.Start(fade, opt)
	if err != nil {
		return stopped(err)
	}
	s.now.fadeID, s.now.fadeFrom, s.now.fadeTo = id, fromName, toName
	s.now.fade, s.now.timing = fade, timing
	s.follow, s.count, s.trying = nil, nil, ""
	return nil
}
