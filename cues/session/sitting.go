package session

import (
	"fmt"

	"linkboy/colour/camera"
	"linkboy/colour/picture"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// Sitting is a location as it is for pictures of all its looks from a set-up: nothing that
// changes meanwhile gets into them.
type Sitting struct {
	site     *site
	revision uint32
	stage    *stage.Stage
	setup    *cues.Setup
	light    Lighting
}

// Sitting gives the location for pictures of its looks from a set-up, "" for the one that is
// chosen. The error is a *Refusal, also while the light is not finished.
func (s *Session) Sitting(setup string) (*Sitting, error) {
	s.mu.Lock()
	site, revision, light := s.site.Load(), s.revision, s.light
	s.mu.Unlock()
	set, u, err := site.vantage(setup)
	if err != nil {
		return nil, err
	}
	if light.Stage != lightFinished {
		return nil, refuse(Conflict, codeNoPicture, "the light of "+site.loc.Name+" is being computed", "ask again when light.stage in /api/state is bounced")
	}
	return &Sitting{site, revision, set, u, light}, nil
}

// Key tells sittings of a session apart: two of one key give the same pictures.
func (s *Sitting) Key() string {
	return fmt.Sprintf("%d/%s/%s", s.revision, s.light.Hash, s.setup.Name)
}

// Task gives what there is to draw, and the names of the looks whose pictures come of it:
// those that compile.
func (s *Sitting) Task(width, height int) (looks []string, task picture.StillsTask, err error) {
	shot := s.site.place.Show.Shot(s.setup)
	view, err := shot.View()
	if err != nil {
		return nil, task, err
	}
	task = picture.StillsTask{
		Place: &s.stage.Place, Light: s.light.Encoded, Lamps: s.stage.Lamps, Camera: s.stage.Camera(s.setup),
		Key: shot.KeyLux(), Over: shot.Over, Matrix: view.Matrix(), Width: width, Height: height,
	}
	eye, seen := stage.NewEye(s.stage, view), make([]camera.Response, len(s.stage.Place.Sources))
	for _, name := range s.site.names {
		k, err := s.site.look(name)
		if err != nil {
			continue // the show's warnings tell why
		}
		eye.See(s.site.place.Frame(k.still, true), seen)
		cells := make([]camera.RGB, len(seen))
		for i := range seen {
			cells[i] = seen[i].RGB
		}
		looks, task.Cells = append(looks, name), append(task.Cells, cells)
	}
	return looks, task, nil
}
