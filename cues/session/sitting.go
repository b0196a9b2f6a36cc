package session

import (
	"fmt"

	"linkboy/cues"
	"linkboy/cues/stage"
)

// Sitting is a location as it is for pictures of all its looks from a set-up: nothing that
// changes meanwhile gets into them. Nothing of it is to be changed.
type Sitting struct {
	Stage *stage.Stage
	Setup *cues.Setup
	Light []byte // the light map as colour/transport encodes it
	// Key tells sittings of a session apart: two of one key give the same pictures.
	Key  string
	site *site
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
	return &Sitting{set, u, light.Encoded, fmt.Sprintf("%d/%s/%s", revision, light.Hash, u.Name), site}, nil
}

// Looks gives the names of the looks that compile, and the bytes that each sends.
func (s *Sitting) Looks() (names []string, slots [][][]byte) {
	for _, name := range s.site.names {
		k, err := s.site.look(name)
		if err != nil {
			continue // the show's warnings tell why
		}
		names, slots = append(names, name), append(slots, s.site.place.Frame(k.still, true))
	}
	return names, slots
}
