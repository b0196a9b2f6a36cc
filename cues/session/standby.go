package session

import (
	"context"

	"linkboy/cues"
	"linkboy/cues/compile"
	"linkboy/cues/track"
)

// standby is a look or cue made ready to run. It is not changed once it stands by,
// but for fade.
type standby struct {
	cue    int // 0 for a look of no cue sheet
	look   string
	still  track.Still
	motion *track.Motion
	dark   bool
	timing compile.Timing
	note   string
	fade   *track.Fade // from what will be on, once it is compiled
	shot   *shot       // a take instead of a look; nil for a look
}

// Standby makes a look or cue ready to run next.
func (s *Session) Standby(t Target) error {
	if t.Take != 0 {
		if t.Look != "" || t.Cue != nil {
			return refuse(Invalid, codeNoTarget, "both a take and a look or cue are named", "name one of them")
		}
		return s.standShot(ShotRequest{Take: t.Take, Event: t.Event})
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	k, err := s.target(t)
	if err != nil {
		return err
	}
	if k.fade, err = s.site.Load().place.Fade(s.now.still, k.still, k.timing); err != nil {
		return refusalOf(err, "")
	}
	s.standby = k
	s.endCount()
	s.changed()
	return nil
}

// standbyOf resolves a cue of the sheet.
func (s *Session) standbyOf(c *cues.Cue) (*standby, error) {
	site := s.site.Load()
	k, err := site.lookOf(c.Look, c.Dark)
	if err != nil {
		return nil, err
	}
	timing, err := site.place.TimingBy(s.clock(), c)
	if err != nil {
		return nil, refusalOf(err, c.At.String())
	}
	note := c.Note
	if note == "" {
		note = k.look.Note
	}
	return &standby{cue: c.Number, look: c.Look, still: k.still, motion: k.motion, dark: c.Dark, timing: timing, note: note}, nil
}

// advance moves the stand-by on after a change: after a cue of the sheet to
// the next one, after a look by name to the one after the next cue that uses
// it. It wraps at the end. A cue that cannot run is stood by too, so that
// asking for it tells why. s.mu must be held.
func (s *Session) advance(cue int, look string) {
	sheet := s.site.Load().loc.Cues
	if len(sheet) == 0 {
		return
	}
	if cue == 0 {
		from := 0
		if s.standby != nil && s.standby.cue > 0 {
			from = s.standby.cue - 1
		}
		for i := range sheet {
			if c := sheet[(from+i)%len(sheet)]; c.Look == look {
				cue = c.Number
				break
			}
		}
	}
	if cue > 0 {
		s.standBy(sheet[cue%len(sheet)])
	}
}

// standBy puts a cue on stand-by; it is compiled by the preparer.
func (s *Session) standBy(c *cues.Cue) {
	k, err := s.standbyOf(c)
	if err != nil {
		k = &standby{cue: c.Number, look: c.Look, note: err.Error()}
	}
	s.standby = k
	s.wantReady()
}

// wantReady asks the preparer to compile the stand-by.
func (s *Session) wantReady() {
	select {
	case s.ready <- struct{}{}:
	default:
	}
}

// prepare compiles the stand-by, from what will be on, whenever it has changed.
func (s *Session) prepare(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-s.ready:
		}
		s.makeReady()
		s.tellFlashes()
	}
}

func (s *Session) makeReady() {
	s.mu.Lock()
	k, from, place := s.standby, s.now.still, s.site.Load().place
	s.mu.Unlock()
	if k == nil || k.still == nil {
		return
	}
	fade, err := place.Fade(from, k.still, k.timing)
	if err != nil {
		return // whoever runs it is told
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.standby == k {
		k.fade = fade
	}
}

// tellFlashes has the cue sheet of the place watched, and tells what flashes.
func (s *Session) tellFlashes() {
	found := s.site.Load().watchFlashes()
	if len(found) == 0 {
		return
	}
	for _, p := range found {
		s.log.Warn("a cue sheet flashes", "problem", p.Error())
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.changed()
}
