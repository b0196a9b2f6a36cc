package session

import (
	"context"
	"fmt"
	"slices"
	"time"

	"linkboy/cues/compile"
	"linkboy/cues/play"
	"linkboy/cues/take"
	"linkboy/cues/track"
)

// ShotRequest asks for what a take really had.
type ShotRequest struct {
	Take  int64  `json:"take"`
	Event int    `json:"event,omitempty"` // 0 is at roll
	Fade  string `json:"fade,omitempty"`  // "" is a second
}

// AsShot is a take that is on the set again.
type AsShot struct {
	Take  int64         `json:"take"`
	Event int           `json:"event"`
	Name  string        `json:"name"` // scene/slate/number
	Lamps take.Recalled `json:"lamps"`
}

// shotFade is how long a take takes to come back where nobody says.
const shotFade = time.Second

// shot is a moment of a take that the set shows again. It is not changed.
type shot struct {
	Take   int64      `json:"take"`
	Name   string     `json:"name"`
	Moment take.Event `json:"moment"`
	lamps  take.Recalled
}

// look is what the state calls it.
func (k *shot) look() string { return "as shot " + k.Name }

func (k *shot) told() *AsShot {
	if k == nil {
		return nil
	}
	return &AsShot{k.Take, k.Moment.N, k.Name, k.lamps}
}

// on gives the still of a shot at a place, and the shot with what becomes of its lamps
// there.
func (k *shot) on(p *compile.Place) (track.Still, *shot) {
	still, lamps := p.Recall(&k.Moment)
	again := *k
	again.lamps = lamps
	return still, &again
}

// AsShot shows again what the lamps had in a take, by a fade, under the overall level
// of then. Lamps that are of another type or mode now mix the same light; what is not
// here is told in the state.
func (s *Session) AsShot(r ShotRequest) error {
	return s.withShot(r, func(ready *standby) error {
		if err := s.runCue(ready.change()); err != nil {
			return err
		}
		s.settle()
		return nil
	})
}

// standShot makes a take ready to come back with the next cue.
func (s *Session) standShot(r ShotRequest) error {
	return s.withShot(r, func(ready *standby) error {
		s.standby = ready
		s.wantReady()
		return nil
	})
}

// withShot reads a take, which waits for the disk, and uses it at the place that is on
// then, with s.mu held.
func (s *Session) withShot(r ShotRequest, use func(*standby) error) error {
	k, err := s.shotOf(r.Take, r.Event)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	ready, err := s.shotTarget(k, r.Fade)
	if err != nil {
		return err
	}
	if err := use(ready); err != nil {
		return err
	}
	s.changed()
	return nil
}

// shotOf reads a moment of a take.
func (s *Session) shotOf(id int64, event int) (*shot, error) {
	t, e, err := s.takeMoment(id, event)
	if err != nil {
		return nil, err
	}
	return &shot{Take: t.ID, Name: t.Name(), Moment: *e}, nil
}

func (s *Session) takeMoment(id int64, event int) (*take.Take, *take.Event, error) {
	if s.journal == nil {
		return nil, nil, noJournal()
	}
	ctx, cancel := context.WithTimeout(context.Background(), diskWait)
	defer cancel()
	t, err := s.journal.Get(ctx, id)
	if err != nil {
		return nil, nil, takeRefusal(err)
	}
	e := t.Find(event)
	if e == nil {
		return nil, nil, refuse(Unknown, codeUnknownTake, fmt.Sprintf("take %s has no event %d", t.Name(), event), fmt.Sprintf("it has 1 to %d; 1 is at roll", len(t.Events)))
	}
	if len(e.Lamps) == 0 {
		return nil, nil, refuse(Conflict, codeUnknownTake, fmt.Sprintf("nothing of the lamps was kept at event %d of take %s", e.N, t.Name()), "choose another event of it")
	}
	return t, e, nil
}

// shotTarget makes a shot ready at the place that is on. s.mu must be held.
func (s *Session) shotTarget(k *shot, fade string) (*standby, error) {
	timing := compile.Timing{Fade: shotFade}
	if fade != "" {
		var err error
		if timing.Fade, err = s.duration(fade, "fade"); err != nil {
			return nil, err
		}
	}
	still, k := k.on(s.site.Load().place)
	return &standby{look: k.look(), still: still, dark: k.Moment.Dark, timing: timing, shot: k}, nil
}

// change is the change that a stand-by is made ready for.
func (k *standby) change() change {
	c := change{look: k.look, cue: k.cue, still: k.still, motion: k.motion, dark: k.dark, timing: k.timing, fade: k.fade, shot: k.shot}
	if k.shot != nil {
		c.overall = new(compile.Overall(&k.shot.Moment))
	}
	return c
}

// TakeDiffers tells how the set as it is differs from what a take had at an event,
// 0 for roll, worst first.
func (s *Session) TakeDiffers(id int64, event int) ([]take.Difference, error) {
	_, e, err := s.takeMoment(id, event)
	if err != nil {
		return nil, err
	}
	snap := snapshots.Get().(*play.Snapshot)
	defer snapshots.Put(snap)
	s.engine.Snapshot(snap)
	site := s.site.Load()
	return take.Compare(e.Lamps, site.place.Recorded(slices.Clone(site.bytesOf(snap)))), nil
}

// opens gives what a place starts with when a take was on again; nothing without one.
func (k *shot) opens(p *compile.Place) (track.Still, *shot) {
	if k == nil {
		return nil, nil
	}
	return k.on(p)
}
