package light

import (
	"context"

	"linkboy/colour/transport"
	"linkboy/cues"
	"linkboy/cues/stage"
)

// airsKept is how many airs are kept: some hundred kilobytes each.
const airsKept = 6

// Air is what haze gives the picture of a set-up.
type Air struct {
	Hash   string // of what it was computed for
	Packed []byte // a light map of the blocks of the picture, in gzip; not to be changed
}

// ComputeHaze computes an encoded picture.HazeTask, and gives its air as Air.Packed is.
type ComputeHaze func(ctx context.Context, task []byte) ([]byte, error)

// Haze has the air of stages computed, elsewhere, and keeps the newest. One is computed at
// a time. It is safe for concurrent use.
type Haze struct {
	compute ComputeHaze
	kept    *shelf[Air]
}

// NewHaze keeps nothing yet.
func NewHaze(compute ComputeHaze) *Haze { return &Haze{compute, newShelf[Air](airsKept)} }

// Of gives the air before the camera of a set-up of a stage in a haze that takes a share,
// over 0 and under 1, of the light on 10 m of its way. The error is that of ctx or that of
// ComputeHaze.
func (h *Haze) Of(ctx context.Context, set *stage.Stage, setup *cues.Setup, share float64) (Air, error) {
	task, err := set.Haze(setup, share).AppendBinary(nil)
	if err != nil {
		return Air{}, err
	}
	key := transport.Key(task)
	return h.kept.of(ctx, key, func() (Air, error) {
		packed, err := h.compute(ctx, task)
		return Air{key, packed}, err
	})
}
