package session

import (
	"slices"
	"sync"

	"linkboy/colour/camera"
	"linkboy/cues/play"
	"linkboy/cues/stage"
)

// lens is a site as its camera sees it. Of the two that do the same at a time, each
// uses an eye of its own.
type lens struct {
	stage *stage.Stage
	scene *stage.Scene
	err   error
	eyes  sync.Pool // of *pupil
}

// pupil is an eye with the room that it needs.
type pupil struct {
	eye   *stage.Eye
	cells []camera.Response
}

// newLens builds the stage of a site.
func newLens(s *site) *lens {
	l := &lens{}
	set, problems := stage.Build(s.place)
	if set == nil {
		l.err = problems
		return l
	}
	view, err := s.place.Show.Camera.View()
	if err != nil {
		l.err = err
		return l
	}
	l.stage = set
	l.scene, l.err = set.Scene()
	l.eyes.New = func() any {
		return &pupil{stage.NewEye(set, view), make([]camera.Response, len(set.Place.Sources))}
	}
	return l
}

// Stage gives the location as light sees it, built when it is first asked for, and
// the revision of the plan that it belongs to. The error tells what of it no light can
// be computed for.
func (s *Session) Stage() (*stage.Stage, uint32, error) {
	site, revision := s.here()
	l := site.lens()
	return l.stage, revision, l.err
}

// Scene gives the location as pages draw it from its cameras. It is not to be changed.
func (s *Session) Scene() (*stage.Scene, error) {
	site, revision := s.here()
	l := site.lens()
	if l.err != nil {
		return nil, refuse(Conflict, codeNoPicture, "the camera's picture of "+site.loc.Name+" cannot be drawn: "+l.err.Error(), "run linkboy check")
	}
	scene := *l.scene
	scene.Revision = revision
	return &scene, nil
}

// Seen gives what every source of the stage gives the three channels of the camera, computed from the
// bytes on the wire, in lumens of the balance white; in dst[:0] if it has room. It is
// empty where the camera cannot be told. It never waits for a verb.
func (s *Session) Seen(dst []camera.RGB) []camera.RGB {
	site := s.site.Load()
	l := site.lens()
	if l.err != nil {
		return dst[:0]
	}
	snap := snapshots.Get().(*play.Snapshot)
	defer snapshots.Put(snap)
	s.engine.Snapshot(snap)
	return l.see(site.bytesOf(snap), dst)
}

// LookSeen is Seen of a settled look. The error is a *Refusal.
func (s *Session) LookSeen(name string) ([]camera.RGB, error) {
	site := s.site.Load()
	k, err := site.look(name)
	if err != nil {
		return nil, err
	}
	l := site.lens()
	if l.err != nil {
		return nil, nil
	}
	return l.see(site.place.Frame(k.still, true), nil), nil
}

func (l *lens) see(slots [][]byte, dst []camera.RGB) []camera.RGB {
	p := l.eyes.Get().(*pupil)
	defer l.eyes.Put(p)
	p.eye.See(slots, p.cells)
	dst = slices.Grow(dst[:0], len(p.cells))
	for i := range p.cells {
		dst = append(dst, p.cells[i].RGB)
	}
	return dst
}

// here gives the site with the revision of its plan.
func (s *Session) here() (*site, uint32) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.site.Load(), s.revision
}
