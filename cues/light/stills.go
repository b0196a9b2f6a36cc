package light

import (
	"context"
	"fmt"

	"linkboy/colour/transport"
	"linkboy/cues/session"
)

const (
	// StillWidth and StillHeight are the size of a look's small picture: that of a cue on a
	// phone, whose screen has two dots a pixel.
	StillWidth, StillHeight = 208, 128
	// stillsKept is for how many sittings pictures are kept, some ten kilobytes for each look.
	stillsKept = 8
)

// DrawStills draws an encoded picture.StillsTask, and gives each picture as PNG.
type DrawStills func(ctx context.Context, task []byte) ([][]byte, error)

// Stills has small pictures of looks drawn, elsewhere, and keeps the newest. Those of a
// sitting are drawn together, one sitting at a time. It is safe for concurrent use.
type Stills struct {
	draw DrawStills
	kept *shelf[map[string]Still]
}

// Still is the small picture of a look.
type Still struct {
	Hash string // of the picture
	PNG  []byte // not to be changed
}

// NewStills keeps nothing yet.
func NewStills(draw DrawStills) *Stills {
	return &Stills{draw, newShelf[map[string]Still](stillsKept)}
}

// Of gives the pictures of a sitting, by the names of its looks. The error is that of ctx or
// that of DrawStills, or tells what cannot be drawn.
func (s *Stills) Of(ctx context.Context, sitting *session.Sitting) (map[string]Still, error) {
	return s.kept.of(ctx, sitting.Key, func() (map[string]Still, error) {
		names, slots := sitting.Looks()
		t, err := sitting.Stage.Stills(sitting.Setup, sitting.Light, slots, StillWidth, StillHeight)
		if err != nil {
			return nil, err
		}
		task, err := t.AppendBinary(nil)
		if err != nil {
			return nil, err
		}
		drawn, err := s.draw(ctx, task)
		if err != nil {
			return nil, err
		}
		if len(drawn) != len(names) {
			return nil, fmt.Errorf("%d pictures were drawn of %d looks", len(drawn), len(names))
		}
		all := map[string]Still{}
		for i, name := range names {
			all[name] = Still{transport.Key(drawn[i]), drawn[i]}
		}
		return all, nil
	})
}
